// What several views have in common.
#pragma once

#include "app/state.hpp"

#include <string>

namespace aumbry::gui {

/// Text in a colour of the palette.
void ink(const Theme& theme, Colour Palette::*colour, const std::string& text);
/// The same, breaking lines at the edge of the region.
void ink_wrapped(const Theme& theme, Colour Palette::*colour, const std::string& text);
/// Text that ends at the right edge of the current table column.
void ink_right(const Theme& theme, Colour Palette::*colour, const std::string& text);
/// The beginning of a text that fits into a width in the current font, with "..." when it is cut.
[[nodiscard]] std::string shortened(const std::string& text, float width);
/// Text that can be clicked, underlined when the mouse is over it; true when it was clicked. `id`
/// tells links of equal text apart.
bool link(const State& state, const std::string& text, const std::string& id);
/// "There is nothing to show": one quiet sentence in the middle of the region.
void nothing_here(const Theme& theme, const std::string& sentence);
/// What is wrong and what would be right, without the place: for where the place is in sight.
[[nodiscard]] std::string plain(const Fault& fault);
/// The word and colour of a severity: "Problem", "Warning", "Caution", "Note".
[[nodiscard]] const char* word_of(contract::Severity severity);
[[nodiscard]] Colour Palette::*colour_of(contract::Severity severity);
/// A signed amount without its sign: "12.00" of "-12.00".
[[nodiscard]] std::string unsigned_text(const std::string& difference);
/// How a figure differs, the direction as a word: "12.00 less", "3 days later"; empty: it does not.
[[nodiscard]] std::string change_in_words(const Figure& figure);
/// The colour of that: of most figures less is better, of yield more.
[[nodiscard]] Colour Palette::*colour_of_difference(const Figure& figure);

/// Rows of a list of which only those in sight are drawn. Ends the clipper also when a row throws,
/// which Dear ImGui insists on.
struct ClippedRows {
    ImGuiListClipper clipper;
    explicit ClippedRows(int rows, float height = -1) { clipper.Begin(rows, height); }
    ClippedRows(const ClippedRows&) = delete;
    ClippedRows& operator=(const ClippedRows&) = delete;
    ~ClippedRows() { clipper.End(); }
};

} // namespace aumbry::gui
