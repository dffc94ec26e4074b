#include "widgets/drawing.hpp"

#include "widgets/widgets.hpp"

#include <algorithm>
#include <cmath>
#include <imgui_internal.h>

namespace aumbry::gui {

namespace {

ImVec2 along(ImVec2 from, ImVec2 to, float share) {
    return {from.x + (to.x - from.x) * share, from.y + (to.y - from.y) * share};
}

float distance(ImVec2 a, ImVec2 b) {
    return std::hypot(b.x - a.x, b.y - a.y);
}

} // namespace

void severity_sign(const Theme& theme, contract::Severity severity) {
    const float size = ImGui::GetTextLineHeight();
    const ImVec2 corner = ImGui::GetCursorScreenPos();
    ImDrawList& list = *ImGui::GetWindowDrawList();
    const ImU32 colour = packed(theme.palette.*colour_of(severity));
    const ImU32 paper = packed(theme.palette.sheet);
    const ImVec2 middle{corner.x + size / 2, corner.y + size / 2};
    const float half = size / 2;
    const char* letter = "!";
    ImU32 ink_of_letter = paper;
    float lower = 0;
    switch (severity) {
    case contract::Severity::problem:
        list.AddQuadFilled({middle.x, middle.y - half}, {middle.x + half, middle.y},
                           {middle.x, middle.y + half}, {middle.x - half, middle.y}, colour);
        break;
    case contract::Severity::warning:
        list.AddNgonFilled(middle, half, colour, 8);
        break;
    case contract::Severity::caution:
        list.AddTriangleFilled({middle.x, middle.y - half},
                               {middle.x + half, middle.y + half * 0.85F},
                               {middle.x - half, middle.y + half * 0.85F}, colour);
        lower = size * 0.1F;
        break;
    case contract::Severity::note:
        list.AddCircle(middle, half * 0.9F, colour, 24, theme.px(1.5F));
        letter = "i";
        ink_of_letter = colour;
        break;
    }
    const float letters = size * 0.72F;
    const ImVec2 room = theme.text->CalcTextSizeA(letters, 1000, 0, letter);
    list.AddText(theme.text, letters, {middle.x - room.x / 2, middle.y - room.y / 2 + lower},
                 ink_of_letter, letter);
    ImGui::Dummy({size, size});
    ImGui::SameLine();
}

void broken_line(ImDrawList& list, ImVec2 from, ImVec2 to, ImU32 colour, float thickness,
                 float dash, bool dots) {
    const float length = distance(from, to);
    if (length <= 0 || dash <= 0) return;
    const float gap = dash * 0.5F;
    const float period = dots ? dash + 2 * gap + thickness : dash + gap;
    for (float at = 0; at < length; at += period) {
        list.AddLine(along(from, to, at / length),
                     along(from, to, std::min(1.0F, (at + dash) / length)), colour, thickness);
        const float dot = at + dash + gap;
        if (dots && dot < length) {
            list.AddLine(along(from, to, dot / length),
                         along(from, to, std::min(1.0F, (dot + thickness) / length)), colour,
                         thickness);
        }
    }
}

void hatch(ImDrawList& list, ImVec2 min, ImVec2 max, ImU32 colour, float step) {
    if (step <= 0) return;
    const float width = max.x - min.x;
    const float height = max.y - min.y;
    for (float at = step; at < width + height; at += step) {
        const ImVec2 low{min.x + std::max(0.0F, at - height), min.y + std::min(at, height)};
        const ImVec2 high{min.x + std::min(at, width), min.y + std::max(0.0F, at - width)};
        list.AddLine(low, high, colour, 1);
    }
}

void arrow(ImDrawList& list, ImVec2 from, ImVec2 to, ImU32 colour, float thickness, float head,
           bool both) {
    const float length = distance(from, to);
    if (length <= 0) return;
    list.AddLine(from, to, colour, thickness);
    const ImVec2 way{(to.x - from.x) / length, (to.y - from.y) / length};
    const auto tip = [&](ImVec2 at, float sign) {
        const ImVec2 back{at.x - sign * way.x * head, at.y - sign * way.y * head};
        const ImVec2 side{-way.y * head * 0.45F, way.x * head * 0.45F};
        list.AddTriangleFilled(at, {back.x + side.x, back.y + side.y},
                               {back.x - side.x, back.y - side.y}, colour);
    };
    tip(to, 1);
    if (both) tip(from, -1);
}

void centred(ImDrawList& list, ImFont* font, ImVec2 min, ImVec2 max, ImU32 colour,
             const std::string& text) {
    const ImVec2 size = font->CalcTextSizeA(font->FontSize, FLT_MAX, 0, text.c_str());
    list.AddText(
        font, font->FontSize,
        {std::floor((min.x + max.x - size.x) / 2), std::floor((min.y + max.y - size.y) / 2)},
        colour, text.c_str());
}

void centred_upwards(ImDrawList& list, ImFont* font, ImVec2 min, ImVec2 max, ImU32 colour,
                     const std::string& text) {
    const float size = font->FontSize;
    const float length = font->CalcTextSizeA(size, FLT_MAX, 0, text.c_str()).x;
    const float left = std::floor((min.x + max.x - size) / 2);
    float along_line = std::floor((min.y + max.y + length) / 2);
    const char* at = text.c_str();
    const char* end = at + text.size();
    while (at < end) {
        unsigned int letter = 0;
        at += std::max(1, ImTextCharFromUtf8(&letter, at, end));
        const ImFontGlyph* glyph = font->FindGlyph(static_cast<ImWchar>(letter));
        if (glyph == nullptr) continue;
        if (glyph->Visible) {
            // What is to the right when read lies above on the screen.
            const auto turned = [&](float x, float y) { return ImVec2{left + y, along_line - x}; };
            list.PrimReserve(6, 4);
            list.PrimQuadUV(turned(glyph->X0, glyph->Y0), turned(glyph->X1, glyph->Y0),
                            turned(glyph->X1, glyph->Y1), turned(glyph->X0, glyph->Y1),
                            {glyph->U0, glyph->V0}, {glyph->U1, glyph->V0}, {glyph->U1, glyph->V1},
                            {glyph->U0, glyph->V1}, colour);
        }
        along_line -= glyph->AdvanceX;
    }
}

void told_in_text(const std::string& text) {
    ImGui::LogText("%s\n", text.c_str());
}

void section(const Theme& theme, const std::string& title, const std::string& remark) {
    ImGui::PushFont(theme.figure);
    ink(theme, &Palette::text, title);
    ImGui::PopFont();
    if (remark.empty()) return;
    ImGui::SameLine();
    ImGui::PushFont(theme.small);
    ImGui::SetCursorPosY(ImGui::GetCursorPosY() + theme.figure->FontSize - theme.small->FontSize -
                         theme.px(2));
    ink(theme, &Palette::quiet, remark);
    ImGui::PopFont();
}

void named_figure(const Theme& theme, const std::string& name, const std::string& figure,
                  float width) {
    const float room = width > 0 ? width : ImGui::GetContentRegionAvail().x;
    const float start = ImGui::GetCursorPosX();
    ink(theme, &Palette::quiet, name);
    ImGui::SameLine(0, 0);
    const float text = ImGui::CalcTextSize(figure.c_str()).x;
    ImGui::SetCursorPosX(std::max(ImGui::GetCursorPosX() + theme.px(8), start + room - text));
    ink(theme, &Palette::text, figure);
}

void headings(const std::vector<std::string>& titles, const std::vector<int>& right) {
    ImGui::TableNextRow(ImGuiTableRowFlags_Headers);
    for (int column = 0; column < static_cast<int>(titles.size()); ++column) {
        ImGui::TableNextColumn();
        const std::string& title = titles[static_cast<std::size_t>(column)];
        if (std::find(right.begin(), right.end(), column) != right.end()) push_right(title);
        ImGui::TextUnformatted(title.c_str());
    }
}

void push_right(const std::string& text) {
    const float room = ImGui::GetContentRegionAvail().x - ImGui::CalcTextSize(text.c_str()).x;
    if (room > 0) ImGui::SetCursorPosX(ImGui::GetCursorPosX() + room);
}

bool action(const State& state, const std::string& label, bool enabled) {
    ImGui::BeginDisabled(!enabled);
    const bool clicked = ImGui::Button(label.c_str());
    ImGui::EndDisabled();
    state.mark(label);
    return clicked;
}

bool main_action(const State& state, const std::string& label, bool enabled) {
    const Palette& palette = state.theme.palette;
    // Without its colour while it cannot be pressed: a pale one would be hard to read.
    if (!enabled) return action(state, label, false);
    for (const ImGuiCol part : {ImGuiCol_Button, ImGuiCol_ButtonHovered, ImGuiCol_ButtonActive})
        ImGui::PushStyleColor(part, vec(palette.link));
    ImGui::PushStyleColor(ImGuiCol_Text, vec(palette.sheet));
    const bool clicked = action(state, label);
    ImGui::PopStyleColor(4);
    return clicked;
}

} // namespace aumbry::gui
