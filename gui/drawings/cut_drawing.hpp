// A sheet or board to scale, with its parts, offcuts and cuts.
#pragma once

#include "app/state.hpp"

#include "print/cut_book.hpp"

#include <string>
#include <vector>

namespace aumbry::gui {

/// A sheet or board as the drawing and the list beside it need it.
struct DrawnPlan {
    std::string id;
    std::string title;   ///< of the material or section
    std::string source;  ///< where it comes from
    std::string which;   ///< "sheet 3 of 4", "4 alike"
    std::string quality; ///< yield of all and whether it can be beaten
    double length = 0, width = 0;
    double clean_up = 0;
    double yield = -1; ///< of this one; negative: not stated
    contract::SheetGrain grain = contract::SheetGrain::none;
    bool board = false;
    const std::vector<print::PlacedPart>* placed = nullptr;
    const std::vector<contract::Offcut>* offcuts = nullptr;
    const std::vector<print::PlannedCut>* cuts = nullptr;      ///< null: no cuts are listed
    const std::vector<print::LetteredPiece>* pieces = nullptr; ///< null as `cuts` is
};

/// Sheets first, then boards; they point into the book.
[[nodiscard]] std::vector<DrawnPlan> drawn_plans(const print::CutBook& book);

/// Draws a plan into the region at hand, with zoom and pan, and lets parts be pointed at and
/// clicked.
void draw_plan(State& state, Intents& intents, const print::CutBook& book, const DrawnPlan& plan);

/// What the fills and lines of the drawing mean: a tint for each piece of furniture.
void draw_legend(const Theme& theme, const print::CutBook& book, const DrawnPlan& plan);

} // namespace aumbry::gui
