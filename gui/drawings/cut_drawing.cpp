#include "drawings/cut_drawing.hpp"

#include "drawings/cut_marks.hpp"
#include "widgets/drawing.hpp"
#include "widgets/keys.hpp"
#include "widgets/widgets.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace aumbry::gui {

namespace {

std::string words_of(const print::BookPart& part, const std::string& unit) {
    std::string text = part.number + "  " + part.title;
    if (!part.piece.empty()) text += "\n" + part.piece;
    text += "\nfinished " + print::size_with_unit(part.length, part.width, unit);
    if (part.cut_length > 0)
        text += "\ncut " + print::size_with_unit(part.cut_length, part.cut_width, unit);
    if (!part.grain.empty()) text += "\ngrain " + part.grain;
    if (const std::string edges = print::edges_in_words(part); !edges.empty())
        text += "\nedges: " + edges;
    if (const std::string faces = print::faces_in_words(part); !faces.empty()) text += "\n" + faces;
    text += "\n" + std::to_string(part.count) + " in the whole job";
    return text;
}

float width_of(ImFont* font, const std::string& text) {
    return font->CalcTextSizeA(font->FontSize, FLT_MAX, 0, text.c_str()).x;
}

/// Writes as much of number, name and size as fits, lying or standing.
void name_part(ImDrawList& list, const Theme& theme, ImVec2 min, ImVec2 max,
               const print::BookPart& part, const std::string& size, std::vector<ImVec4>& taken) {
    ImFont* font = theme.small;
    const float line = font->FontSize;
    const float width = max.x - min.x - theme.px(4);
    const float height = max.y - min.y - theme.px(2);
    const bool standing = height > width;
    const float run = standing ? height : width;
    const float depth = standing ? width : height;
    const ImU32 colour = packed(theme.palette.text);
    if (depth < line) return;
    std::vector<std::string> texts;
    const std::string name = part.number + "  " + part.title;
    if (width_of(font, name) <= run)
        texts.push_back(name);
    else if (width_of(font, part.number) <= run)
        texts.push_back(part.number);
    else
        return;
    if (width_of(font, size) <= run && depth >= 2 * line) {
        texts.push_back(size);
    } else if (texts[0] == name && width_of(font, name + "   " + size) <= run) {
        texts[0] = name + "   " + size;
    }
    const float all = line * static_cast<float>(texts.size());
    float longest = 0;
    for (const std::string& text : texts) longest = std::max(longest, width_of(font, text));
    const ImVec2 half{(standing ? all : longest) / 2, (standing ? longest : all) / 2};
    const ImVec2 centre{(min.x + max.x) / 2, (min.y + max.y) / 2};
    taken.emplace_back(centre.x - half.x, centre.y - half.y, centre.x + half.x, centre.y + half.y);
    for (std::size_t i = 0; i < texts.size(); ++i) {
        const float from = static_cast<float>(i) * line - all / 2;
        if (standing) {
            const float middle = (min.x + max.x) / 2;
            centred_upwards(list, font, {middle + from, min.y}, {middle + from + line, max.y},
                            colour, texts[i]);
        } else {
            const float middle = (min.y + max.y) / 2;
            centred(list, font, {min.x, middle + from}, {max.x, middle + from + line}, colour,
                    texts[i]);
        }
    }
}

/// The titles of the pieces whose parts the job cuts, in the order of its parts.
std::vector<std::string> pieces_of(const print::CutBook& book) {
    std::vector<std::string> pieces;
    for (const print::BookPart& part : book.parts) {
        if (std::find(pieces.begin(), pieces.end(), part.piece) == pieces.end())
            pieces.push_back(part.piece);
    }
    return pieces;
}

/// A light tint of its own for each piece of furniture, over a white ground; they come round again
/// after six.
void fill_of_piece(ImDrawList& list, const Theme& theme, const print::CutBook& book,
                   const std::string& piece, ImVec2 min, ImVec2 max) {
    const Palette& palette = theme.palette;
    const std::array<Colour, 6> tints{palette.link,    palette.caution, palette.quiet,
                                      palette.problem, palette.fine,    palette.wood_edge};
    const std::vector<std::string> pieces = pieces_of(book);
    const auto at = std::find(pieces.begin(), pieces.end(), piece) - pieces.begin();
    list.AddRectFilled(min, max, packed(palette.field));
    list.AddRectFilled(min, max, packed(tints[static_cast<std::size_t>(at) % tints.size()], 0.18F));
}

/// One arrow with two heads, the way the sheet's grain runs.
void grain_arrow(ImDrawList& list, const Theme& theme, ImVec2 min, ImVec2 max,
                 contract::SheetGrain grain) {
    if (grain == contract::SheetGrain::none) return;
    const bool along = grain == contract::SheetGrain::length;
    const float room = (along ? max.x - min.x : max.y - min.y) - theme.px(8);
    const float across = along ? max.y - min.y : max.x - min.x;
    const float length = std::min(theme.px(30), room);
    const float head = theme.px(3);
    if (length < 4 * head || across < 3 * head) return;
    const ImU32 colour = packed(theme.palette.quiet);
    const float inset = theme.px(7);
    const ImVec2 end{max.x - inset, max.y - inset};
    const ImVec2 start = along ? ImVec2{end.x - length, end.y} : ImVec2{end.x, end.y - length};
    list.AddLine(start, end, colour, theme.px(1));
    for (const auto& [tip, way] : {std::pair{start, 1.0F}, std::pair{end, -1.0F}}) {
        for (const float side : {-1.0F, 1.0F}) {
            const ImVec2 barb = along ? ImVec2{tip.x + way * head, tip.y + side * head}
                                      : ImVec2{tip.x + side * head, tip.y + way * head};
            list.AddLine(tip, barb, colour, theme.px(1));
        }
    }
}

void offcut(ImDrawList& list, const Theme& theme, const Placing& placing,
            const contract::Offcut& offcut, const std::string& unit) {
    const ImVec2 min = placing.at(offcut.x, offcut.y);
    const ImVec2 max = placing.at(offcut.x + offcut.length, offcut.y + offcut.width);
    if (!offcut.keep) return;
    hatch(list, min, max, packed(theme.palette.quiet, 0.5F), theme.px(9));
    list.AddRect(min, max, packed(theme.palette.quiet), 0, 0, theme.px(1));
    const std::string text = "keep " + print::bare_size(offcut.length, offcut.width, unit);
    const float width = width_of(theme.small, text);
    const float line = theme.small->FontSize;
    if (width > max.x - min.x || line > max.y - min.y) return;
    const ImVec2 middle{(min.x + max.x) / 2, (min.y + max.y) / 2};
    list.AddRectFilled({middle.x - width / 2 - theme.px(3), middle.y - line / 2 - theme.px(1)},
                       {middle.x + width / 2 + theme.px(3), middle.y + line / 2 + theme.px(1)},
                       packed(theme.palette.field));
    centred(list, theme.small, min, max, packed(theme.palette.text), text);
}

void zoom_about(CuttingState& memory, ImVec2 from_middle, float factor) {
    const float before = memory.zoom;
    memory.zoom = std::clamp(before * factor, 0.5F, 40.0F);
    const float real = memory.zoom / before;
    // What lies under the point stays there.
    memory.offset.x = from_middle.x - (from_middle.x - memory.offset.x) * real;
    memory.offset.y = from_middle.y - (from_middle.y - memory.offset.y) * real;
}

void move(CuttingState& memory, ImVec2 middle) {
    const ImGuiIO& io = ImGui::GetIO();
    if (ImGui::IsItemHovered() && io.MouseWheel != 0)
        zoom_about(memory, {io.MousePos.x - middle.x, io.MousePos.y - middle.y},
                   std::pow(1.2F, io.MouseWheel));
    if (ImGui::IsItemActivated()) memory.dragged = false;
    if (ImGui::IsItemActive() && ImGui::IsMouseDragging(0, 4)) {
        memory.dragged = true;
        memory.offset.x += io.MouseDelta.x;
        memory.offset.y += io.MouseDelta.y;
    }
    if (io.WantTextInput || io.KeyCtrl) return;
    if (pressed('=')) zoom_about(memory, {0, 0}, 1.25F);
    if (pressed('-')) zoom_about(memory, {0, 0}, 0.8F);
    if (pressed('0')) {
        memory.zoom = 1;
        memory.offset = {0, 0};
    }
}

/// Where a plan stands in the region: fitted into it, then zoomed and moved.
Placing placing_of(const DrawnPlan& plan, const CuttingState& memory, const Theme& theme,
                   ImVec2 corner, ImVec2 room) {
    const float margin = theme.px(4);
    const float fit = std::min((room.x - 2 * margin) / static_cast<float>(plan.length),
                               (room.y - 2 * margin) / static_cast<float>(plan.width));
    const ImVec2 middle{corner.x + room.x / 2, corner.y + room.y / 2};
    Placing placing;
    placing.scale = fit * memory.zoom;
    placing.origin = {
        middle.x + memory.offset.x - static_cast<float>(plan.length) * placing.scale / 2,
        middle.y + memory.offset.y - static_cast<float>(plan.width) * placing.scale / 2};
    return placing;
}

/// The sheet or board itself, with what is left of it.
void draw_ground(ImDrawList& list, const Theme& theme, const Placing& placing,
                 const print::CutBook& book, const DrawnPlan& plan) {
    const Palette& palette = theme.palette;
    const ImVec2 min = placing.at(0, 0);
    const ImVec2 max = placing.at(plan.length, plan.width);
    list.AddRectFilled(min, max, packed(palette.field));
    list.AddRect(min, max, packed(palette.text), 0, 0, theme.px(1.5F));
    for (const contract::Offcut& each : *plan.offcuts)
        offcut(list, theme, placing, each, book.length_unit);
}

/// A part from corner `a` to corner `b`.
void draw_part(ImDrawList& list, const Theme& theme, const print::CutBook& book,
               const DrawnPlan& plan, const print::PlacedPart& placed, ImVec2 a, ImVec2 b,
               bool chosen, std::vector<ImVec4>& taken) {
    const Palette& palette = theme.palette;
    const print::BookPart& part = book.parts[placed.part];
    fill_of_piece(list, theme, book, part.piece, a, b);
    if (part.grain_fixed && !plan.board) grain_arrow(list, theme, a, b, plan.grain);
    draw_edges(list, theme, placed.edges, a, b);
    list.AddRect(a, b, packed(chosen ? palette.link : palette.quiet), 0, 0,
                 theme.px(chosen ? 2.5F : 1));
    const std::string size =
        print::bare_size(placed.rotated ? placed.width : placed.length,
                         placed.rotated ? placed.length : placed.width, book.length_unit);
    if (!plan.board || b.y - a.y >= theme.small->FontSize + theme.px(2))
        return name_part(list, theme, a, b, part, size, taken);
    // A board is too thin to be written on: the names stand below.
    ImGui::PushFont(theme.small);
    const std::string name =
        shortened(part.number + "  " + part.title + "  " + size, b.x - a.x - theme.px(6));
    ImGui::PopFont();
    centred(list, theme.small, {a.x, b.y + theme.px(3)},
            {b.x, b.y + theme.px(3) + theme.small->FontSize}, packed(palette.text), name);
}

} // namespace

std::vector<DrawnPlan> drawn_plans(const print::CutBook& book) {
    std::vector<DrawnPlan> plans;
    for (const print::SheetPage& sheet : book.sheets) {
        DrawnPlan plan;
        plan.id = sheet.id;
        plan.title = sheet.title;
        plan.source = sheet.source;
        plan.which = sheet.from_which;
        plan.quality = sheet.quality;
        plan.length = sheet.length;
        plan.width = sheet.width;
        plan.clean_up = sheet.clean_up;
        plan.yield = sheet.yield;
        plan.grain = sheet.grain;
        plan.placed = &sheet.placed;
        plan.offcuts = &sheet.offcuts;
        plan.cuts = &sheet.cuts;
        plan.pieces = &sheet.pieces;
        plans.push_back(std::move(plan));
    }
    for (const print::BoardGroup& group : book.boards) {
        for (const print::BoardPage& board : group.boards) {
            DrawnPlan plan;
            plan.id = board.id;
            plan.title = group.title;
            plan.source = board.source;
            plan.which =
                board.copies == 1 ? "one board" : std::to_string(board.copies) + " boards alike";
            plan.quality = group.quality;
            plan.length = board.length;
            plan.width = board.width;
            plan.grain = contract::SheetGrain::length;
            plan.board = true;
            plan.placed = &board.placed;
            plan.offcuts = &board.offcuts;
            plans.push_back(std::move(plan));
        }
    }
    return plans;
}

void draw_plan(State& state, Intents& intents, const print::CutBook& book, const DrawnPlan& plan) {
    const Theme& theme = state.theme;
    CuttingState& memory = state.cutting;
    const ImVec2 corner = ImGui::GetCursorScreenPos();
    const ImVec2 room = ImGui::GetContentRegionAvail();
    if (room.x < 10 || room.y < 10) return;
    ImGui::InvisibleButton("drawing", room);
    state.mark("drawing");
    const bool hovered = ImGui::IsItemHovered();
    const bool released = ImGui::IsItemDeactivated();
    move(memory, {corner.x + room.x / 2, corner.y + room.y / 2});

    const Placing placing = placing_of(plan, memory, theme, corner, room);
    ImDrawList& list = *ImGui::GetWindowDrawList();
    list.PushClipRect(corner, {corner.x + room.x, corner.y + room.y}, true);
    draw_ground(list, theme, placing, book, plan);
    const ImVec2 mouse = ImGui::GetIO().MousePos;
    const print::BookPart* pointed_at = nullptr;
    std::map<std::string, int> seen;
    std::vector<ImVec4> taken; // by texts
    for (const print::PlacedPart& placed : *plan.placed) {
        const print::BookPart& part = book.parts[placed.part];
        const ImVec2 a = placing.at(placed.x, placed.y);
        const ImVec2 b = placing.at(placed.x + placed.length, placed.y + placed.width);
        told_in_text("part " + part.number + "  " + part.title + "  " +
                     print::bare_size(placed.length, placed.width, book.length_unit) + " at " +
                     print::bare_size(placed.x, placed.y, book.length_unit));
        const bool under =
            hovered && mouse.x >= a.x && mouse.x < b.x && mouse.y >= a.y && mouse.y < b.y;
        if (under) pointed_at = &part;
        draw_part(list, theme, book, plan, placed, a, b, under || part.line == state.selected,
                  taken);
        const int nth = ++seen[part.line];
        state.mark("part " + part.line + (nth > 1 ? ' ' + std::to_string(nth) : ""), a, b);
    }
    if (plan.cuts != nullptr) {
        const bool stepping = memory.step >= 0 && memory.step < static_cast<int>(plan.cuts->size());
        if (stepping)
            draw_step(list, theme, placing, placing.at(0, 0), placing.at(plan.length, plan.width),
                      (*plan.cuts)[static_cast<std::size_t>(memory.step)]);
        draw_letters(list, theme, placing, *plan.pieces, taken);
        const ImVec2 min = placing.at(0, 0);
        const ImVec2 max = placing.at(plan.length, plan.width);
        draw_cuts(list, theme, placing, *plan.cuts, memory.cut >= 0 ? memory.cut : memory.step,
                  {min.x, min.y, max.x, max.y}, taken);
    }
    list.PopClipRect();

    if (pointed_at == nullptr) return;
    if (!memory.dragged) ImGui::SetMouseCursor(ImGuiMouseCursor_Hand);
    ImGui::SetTooltip("%s", words_of(*pointed_at, book.length_unit).c_str());
    if (released && !memory.dragged) intents.push_back(SelectLine{pointed_at->line, true});
}

void draw_legend(const Theme& theme, const print::CutBook& book, const DrawnPlan& plan) {
    const Palette& palette = theme.palette;
    ImDrawList& list = *ImGui::GetWindowDrawList();
    ImGui::PushFont(theme.small);
    const float height = ImGui::GetTextLineHeight();
    const float width = height * 1.7F;
    bool first = true;
    const auto entry = [&](const char* word, auto&& draw) {
        if (!first) {
            ImGui::SameLine(0, theme.px(18));
            if (ImGui::GetContentRegionAvail().x < width + ImGui::CalcTextSize(word).x)
                ImGui::NewLine();
        }
        first = false;
        const ImVec2 corner = ImGui::GetCursorScreenPos();
        draw(corner, ImVec2{corner.x + width, corner.y + height});
        ImGui::Dummy({width, height});
        ImGui::SameLine(0, theme.px(6));
        ink(theme, &Palette::quiet, word);
    };
    std::vector<std::string> shown;
    for (const print::PlacedPart& placed : *plan.placed) {
        const std::string& piece = book.parts[placed.part].piece;
        if (std::find(shown.begin(), shown.end(), piece) != shown.end()) continue;
        shown.push_back(piece);
        entry(piece.empty() ? "whole job" : piece.c_str(), [&](ImVec2 a, ImVec2 b) {
            fill_of_piece(list, theme, book, piece, a, b);
            list.AddRect(a, b, packed(palette.quiet));
        });
    }
    if (!plan.board && plan.grain != contract::SheetGrain::none)
        entry("grain direction fixed", [&](ImVec2 a, ImVec2 b) {
            grain_arrow(list, theme, {a.x - theme.px(4), a.y}, {b.x + theme.px(4), b.y},
                        contract::SheetGrain::length);
        });
    entry("offcut worth keeping", [&](ImVec2 a, ImVec2 b) {
        list.AddRectFilled(a, b, packed(palette.field));
        hatch(list, a, b, packed(palette.quiet, 0.5F), theme.px(7));
        list.AddRect(a, b, packed(palette.quiet));
    });
    const auto edge = [&](print::EdgeLook look, const char* word) {
        const bool any = std::any_of(
            plan.placed->begin(), plan.placed->end(), [&](const print::PlacedPart& placed) {
                return placed.edges.top == look || placed.edges.bottom == look ||
                       placed.edges.left == look || placed.edges.right == look;
            });
        if (!any) return;
        entry(word, [&](ImVec2 a, ImVec2 b) {
            draw_edges(list, theme, {look, {}, {}, {}}, {a.x, (a.y + b.y) / 2 - theme.px(2)}, b);
        });
    };
    edge(print::EdgeLook::treated, "banded or lipped");
    edge(print::EdgeLook::rounded, "rounded");
    edge(print::EdgeLook::scribed, "scribed");
    edge(print::EdgeLook::joint, "seam");
    const bool dealer =
        plan.cuts != nullptr && std::any_of(plan.cuts->begin(), plan.cuts->end(),
                                            [](const print::PlannedCut& c) { return c.dealer; });
    if (dealer) {
        entry("cut by the dealer, in this order", [&](ImVec2 a, ImVec2 b) {
            broken_line(list, {a.x, (a.y + b.y) / 2}, {b.x, (a.y + b.y) / 2}, packed(palette.text),
                        theme.px(2.5F), theme.px(9), true);
        });
    }
    ImGui::PopFont();
}

} // namespace aumbry::gui
