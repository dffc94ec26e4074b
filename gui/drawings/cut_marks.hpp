// What a cutting drawing marks: edges as they are treated, cuts with their numbers, letters of
// pieces, the cut that is next.
#pragma once

#include "app/state.hpp"

#include "print/cut_book.hpp"

#include <vector>

namespace aumbry::gui {

/// From millimetres on the sheet to pixels on the screen.
struct Placing {
    ImVec2 origin;
    float scale = 1;

    [[nodiscard]] ImVec2 at(double x, double y) const {
        return {origin.x + static_cast<float>(x) * scale, origin.y + static_cast<float>(y) * scale};
    }
};

/// Banded and lipped edges thick, rounded ones broken, scribed ones wavy, seams dotted.
void draw_edges(ImDrawList& list, const Theme& theme, const print::EdgeLooks& edges, ImVec2 least,
                ImVec2 most);

/// All cuts: the dealer's as broken lines, the workshop's thin, each with its number where that
/// covers nothing, within the sheet; `pointed_at` stands out.
void draw_cuts(ImDrawList& list, const Theme& theme, const Placing& placing,
               const std::vector<print::PlannedCut>& cuts, int pointed_at, const ImVec4& sheet,
               std::vector<ImVec4>& taken);

/// The letters of what a dealer hands over, each in the upper left corner of its piece.
void draw_letters(ImDrawList& list, const Theme& theme, const Placing& placing,
                  const std::vector<print::LetteredPiece>& pieces, std::vector<ImVec4>& taken);

/// The cut at hand: the rest of the sheet steps back, its piece is framed and what comes off
/// tinted.
void draw_step(ImDrawList& list, const Theme& theme, const Placing& placing, ImVec2 least,
               ImVec2 most, const print::PlannedCut& cut);

} // namespace aumbry::gui
