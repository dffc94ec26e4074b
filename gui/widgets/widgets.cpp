#include "widgets/widgets.hpp"

#include "views/text_views.hpp"

#include <imgui_internal.h>

namespace aumbry::gui {

void ink(const Theme& theme, Colour Palette::*colour, const std::string& text) {
    ImGui::PushStyleColor(ImGuiCol_Text, vec(theme.palette.*colour));
    ImGui::TextUnformatted(text.data(), text.data() + text.size());
    ImGui::PopStyleColor();
}

void ink_wrapped(const Theme& theme, Colour Palette::*colour, const std::string& text) {
    ImGui::PushTextWrapPos(0);
    ink(theme, colour, text);
    ImGui::PopTextWrapPos();
}

void ink_right(const Theme& theme, Colour Palette::*colour, const std::string& text) {
    const float room = ImGui::GetContentRegionAvail().x;
    const float width = ImGui::CalcTextSize(text.data(), text.data() + text.size()).x;
    if (width < room) ImGui::SetCursorPosX(ImGui::GetCursorPosX() + room - width);
    ink(theme, colour, text);
}

std::string shortened(const std::string& text, float width) {
    const char* begin = text.data();
    const char* end = begin + text.size();
    if (ImGui::CalcTextSize(begin, end).x <= width) return text;
    const float room = std::max(0.0F, width - ImGui::CalcTextSize("...").x);
    const char* rest = begin;
    ImGui::GetFont()->CalcTextSizeA(ImGui::GetFontSize(), room, 0, begin, end, &rest);
    return std::string(begin, rest) + "...";
}

bool link(const State& state, const std::string& text, const std::string& id) {
    const ImVec2 size = ImGui::CalcTextSize(text.data(), text.data() + text.size());
    // On the line of the texts beside it, as text would be.
    const float lowered = ImGui::GetCurrentWindow()->DC.CurrLineTextBaseOffset;
    ImVec2 corner = ImGui::GetCursorScreenPos();
    corner.y += lowered;
    ImGui::PushID(id.c_str());
    const bool clicked =
        ImGui::InvisibleButton("link", {std::max(size.x, 1.0F), std::max(size.y + lowered, 1.0F)});
    const bool hovered = ImGui::IsItemHovered() || ImGui::IsItemFocused();
    ImGui::PopID();
    const ImU32 colour = packed(state.theme.palette.link);
    ImDrawList& list = *ImGui::GetWindowDrawList();
    list.AddText(corner, colour, text.data(), text.data() + text.size());
    if (ImGui::GetCurrentContext()->LogEnabled)
        ImGui::LogRenderedText(&corner, text.data(), text.data() + text.size());
    if (hovered) {
        ImGui::SetMouseCursor(ImGuiMouseCursor_Hand);
        list.AddLine({corner.x, corner.y + size.y}, {corner.x + size.x, corner.y + size.y}, colour);
    }
    state.mark(id);
    return clicked;
}

void nothing_here(const Theme& theme, const std::string& sentence) {
    const ImVec2 room = ImGui::GetContentRegionAvail();
    const ImVec2 size = ImGui::CalcTextSize(sentence.c_str(), nullptr, false, room.x);
    ImGui::SetCursorPos({ImGui::GetCursorPosX() + std::max(0.0F, (room.x - size.x) / 2),
                         ImGui::GetCursorPosY() + std::max(0.0F, (room.y - size.y) / 3)});
    ink_wrapped(theme, &Palette::quiet, sentence);
}

std::string plain(const Fault& fault) {
    return fault.right.empty() ? fault.wrong : fault.wrong + "; " + fault.right;
}

const char* word_of(contract::Severity severity) {
    switch (severity) {
    case contract::Severity::problem:
        return "Problem";
    case contract::Severity::warning:
        return "Warning";
    case contract::Severity::caution:
        return "Caution";
    case contract::Severity::note:
        return "Note";
    }
    return "";
}

Colour Palette::*colour_of(contract::Severity severity) {
    switch (severity) {
    case contract::Severity::problem:
    case contract::Severity::warning:
        return &Palette::problem;
    case contract::Severity::caution:
        return &Palette::caution;
    case contract::Severity::note:
        return &Palette::quiet;
    }
    return &Palette::quiet;
}

std::string unsigned_text(const std::string& difference) {
    return difference.starts_with('-') || difference.starts_with('+') ? difference.substr(1)
                                                                      : difference;
}

std::string change_in_words(const Figure& figure) {
    const std::string difference = views::text_of(figure).difference;
    if (difference.empty()) return "";
    const bool less = difference.front() == '-';
    const char* word =
        figure.name == "ready" ? (less ? "earlier" : "later") : (less ? "less" : "more");
    return unsigned_text(difference) + ' ' + word;
}

Colour Palette::*colour_of_difference(const Figure& figure) {
    const std::string difference = views::text_of(figure).difference;
    if (difference.empty()) return &Palette::quiet;
    const bool less = difference.front() == '-';
    return less == (figure.name != "yield") ? &Palette::fine : &Palette::caution;
}

} // namespace aumbry::gui
