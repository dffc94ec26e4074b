#include "drawings/cut_marks.hpp"

#include "widgets/drawing.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace aumbry::gui {

namespace {

void draw_edge_of(ImDrawList& list, const Theme& theme, print::EdgeLook look, ImVec2 from,
                  ImVec2 to, ImVec2 in) {
    if (look == print::EdgeLook::raw) return;
    const ImU32 colour = packed(theme.palette.text);
    const float thick = theme.px(look == print::EdgeLook::scribed ? 1.2F : 3);
    const auto inset = [&](ImVec2 point, float by) {
        return ImVec2{point.x + in.x * by, point.y + in.y * by};
    };
    if (look == print::EdgeLook::treated)
        return list.AddLine(inset(from, thick / 2), inset(to, thick / 2), colour, thick);
    if (look == print::EdgeLook::rounded)
        return broken_line(list, inset(from, thick / 2), inset(to, thick / 2), colour, thick,
                           theme.px(6));
    if (look == print::EdgeLook::joint)
        return broken_line(list, inset(from, thick / 2), inset(to, thick / 2), colour, thick,
                           theme.px(2));
    const float length = std::hypot(to.x - from.x, to.y - from.y);
    const int steps = std::max(8, static_cast<int>(length / theme.px(1.5F)));
    ImVec2 last = from;
    for (int i = 1; i <= steps; ++i) {
        const float along = static_cast<float>(i) / static_cast<float>(steps);
        const float wave =
            theme.px(1.8F) * (1 - std::cos(along * length / theme.px(8) * 6.2831853F));
        const ImVec2 next =
            inset({from.x + (to.x - from.x) * along, from.y + (to.y - from.y) * along}, wave);
        list.AddLine(last, next, colour, thick);
        last = next;
    }
}

bool is_free(const ImVec4& box, const std::vector<ImVec4>& taken) {
    return std::none_of(taken.begin(), taken.end(), [&](const ImVec4& other) {
        return box.x < other.z && other.x < box.z && box.y < other.w && other.y < box.w;
    });
}

/// A text on paper, so that it can be read over parts and lines.
void tag(ImDrawList& list, const Theme& theme, const ImVec4& box, const std::string& text,
         ImU32 colour, bool framed) {
    const ImVec2 least{box.x, box.y};
    const ImVec2 most{box.z, box.w};
    list.AddRectFilled(least, most, packed(theme.palette.sheet), theme.px(3));
    if (framed) list.AddRect(least, most, colour, theme.px(3));
    centred(list, theme.small, least, most, colour, text);
}

ImVec2 tag_size(const Theme& theme, const std::string& text) {
    ImFont* font = theme.small;
    return {font->CalcTextSizeA(font->FontSize, FLT_MAX, 0, text.c_str()).x + theme.px(5),
            font->FontSize};
}

/// Somewhere along the cut where it covers nothing; the cut that is pointed at always finds a
/// place.
void number_cut(ImDrawList& list, const Theme& theme, const Placing& placing,
                const print::PlannedCut& cut, bool always, const ImVec4& sheet,
                std::vector<ImVec4>& taken) {
    const ImVec2 from = placing.at(cut.x1, cut.y1);
    const ImVec2 to = placing.at(cut.x2, cut.y2);
    const std::string text = std::to_string(cut.number);
    const ImVec2 size = tag_size(theme, text);
    const ImU32 colour = packed(always ? theme.palette.link : theme.palette.text);
    const float length = std::hypot(to.x - from.x, to.y - from.y);
    const float extent = cut.along ? size.x : size.y;
    const float beside = (cut.along ? size.y : size.x) / 2 + theme.px(1);
    for (const float off : {0.0F, beside, -beside}) {
        for (int i = 0; i <= 24; ++i) {
            const float share =
                0.5F + static_cast<float>((i % 2 == 0 ? 1 : -1) * ((i + 1) / 2)) * 0.04F;
            if (i > 0 && length * std::min(share, 1 - share) < extent / 2) continue;
            ImVec2 middle{from.x + (to.x - from.x) * share + (cut.along ? 0 : off),
                          from.y + (to.y - from.y) * share + (cut.along ? off : 0)};
            middle.x = std::clamp(middle.x, sheet.x + size.x / 2,
                                  std::max(sheet.x + size.x / 2, sheet.z - size.x / 2));
            middle.y = std::clamp(middle.y, sheet.y + size.y / 2,
                                  std::max(sheet.y + size.y / 2, sheet.w - size.y / 2));
            const ImVec4 box{middle.x - size.x / 2, middle.y - size.y / 2, middle.x + size.x / 2,
                             middle.y + size.y / 2};
            if (!always && !is_free(box, taken)) continue;
            tag(list, theme, box, text, colour, cut.dealer || always);
            taken.push_back(box);
            return;
        }
    }
}

} // namespace

void draw_edges(ImDrawList& list, const Theme& theme, const print::EdgeLooks& edges, ImVec2 least,
                ImVec2 most) {
    draw_edge_of(list, theme, edges.top, least, {most.x, least.y}, {0, 1});
    draw_edge_of(list, theme, edges.bottom, {least.x, most.y}, most, {0, -1});
    draw_edge_of(list, theme, edges.left, least, {least.x, most.y}, {1, 0});
    draw_edge_of(list, theme, edges.right, {most.x, least.y}, most, {-1, 0});
}

void draw_cuts(ImDrawList& list, const Theme& theme, const Placing& placing,
               const std::vector<print::PlannedCut>& cuts, int pointed_at, const ImVec4& sheet,
               std::vector<ImVec4>& taken) {
    const auto is_pointed_at = [&](std::size_t i) { return static_cast<int>(i) == pointed_at; };
    for (std::size_t i = 0; i < cuts.size(); ++i) {
        const print::PlannedCut& cut = cuts[i];
        const ImVec2 from = placing.at(cut.x1, cut.y1);
        const ImVec2 to = placing.at(cut.x2, cut.y2);
        if (is_pointed_at(i)) {
            list.AddLine(from, to, packed(theme.palette.link), theme.px(4));
        } else if (cut.dealer) {
            broken_line(list, from, to, packed(theme.palette.text), theme.px(2.5F), theme.px(14),
                        true);
        } else {
            list.AddLine(from, to, packed(theme.palette.quiet), theme.px(1));
        }
    }
    // Short cuts first: they have the fewest places for a number.
    std::vector<std::size_t> order(cuts.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        const auto length = [&](std::size_t i) {
            return std::hypot(cuts[i].x2 - cuts[i].x1, cuts[i].y2 - cuts[i].y1);
        };
        return length(a) < length(b);
    });
    for (const std::size_t i : order) {
        if (!is_pointed_at(i)) number_cut(list, theme, placing, cuts[i], false, sheet, taken);
    }
    for (const std::size_t i : order) {
        if (is_pointed_at(i)) number_cut(list, theme, placing, cuts[i], true, sheet, taken);
    }
}

void draw_letters(ImDrawList& list, const Theme& theme, const Placing& placing,
                  const std::vector<print::LetteredPiece>& pieces, std::vector<ImVec4>& taken) {
    for (const print::LetteredPiece& piece : pieces) {
        if (!piece.handed_over) continue;
        const ImVec2 least = placing.at(piece.x, piece.y);
        const ImVec2 most = placing.at(piece.x + piece.length, piece.y + piece.width);
        const ImVec2 size = tag_size(theme, piece.letter);
        for (float x = least.x + theme.px(3); x + size.x < most.x; x += size.x) {
            const float y = std::min(least.y + theme.px(3), most.y - size.y);
            const ImVec4 box{x, y, x + size.x, y + size.y};
            if (!is_free(box, taken)) continue;
            tag(list, theme, box, piece.letter, packed(theme.palette.text), true);
            taken.push_back(box);
            break;
        }
    }
}

void draw_step(ImDrawList& list, const Theme& theme, const Placing& placing, ImVec2 least,
               ImVec2 most, const print::PlannedCut& cut) {
    const ImVec2 a = placing.at(cut.blank_x, cut.blank_y);
    const ImVec2 b = placing.at(cut.blank_x + cut.blank_length, cut.blank_y + cut.blank_width);
    const ImU32 veil = packed(theme.palette.sheet, 0.62F);
    list.AddRectFilled(least, {most.x, a.y}, veil);
    list.AddRectFilled({least.x, b.y}, most, veil);
    list.AddRectFilled({least.x, a.y}, {a.x, b.y}, veil);
    list.AddRectFilled({b.x, a.y}, {most.x, b.y}, veil);
    const ImVec2 off = cut.along
                           ? ImVec2{b.x, a.y + static_cast<float>(cut.setting) * placing.scale}
                           : ImVec2{a.x + static_cast<float>(cut.setting) * placing.scale, b.y};
    if (cut.kind != contract::CutKind::trim)
        list.AddRectFilled(a, off, packed(theme.palette.link, 0.12F));
    list.AddRect(a, b, packed(theme.palette.link), 0, 0, theme.px(2.5F));
}

} // namespace aumbry::gui
