// Lines, marks and headings that the drawn views share. Lengths in pixels of the screen.
#pragma once

#include "app/state.hpp"

#include <string>

namespace aumbry::gui {

/// The sign of a severity, as tall as the letters: a filled diamond, an octagon, a triangle, a
/// ring, each with its letter inside. The next item stands beside it.
void severity_sign(const Theme& theme, contract::Severity severity);

/// A line of dashes; with `dots`, a dot between each two.
void broken_line(ImDrawList& list, ImVec2 from, ImVec2 to, ImU32 colour, float thickness,
                 float dash, bool dots = false);
/// Slanted lines over a rectangle.
void hatch(ImDrawList& list, ImVec2 min, ImVec2 max, ImU32 colour, float step);
/// A line with a head at its end, or at both ends.
void arrow(ImDrawList& list, ImVec2 from, ImVec2 to, ImU32 colour, float thickness, float head,
           bool both = false);
/// Text in the middle of a rectangle, in a font.
void centred(ImDrawList& list, ImFont* font, ImVec2 min, ImVec2 max, ImU32 colour,
             const std::string& text);

/// Text that reads upwards, in the middle of a rectangle.
void centred_upwards(ImDrawList& list, ImFont* font, ImVec2 min, ImVec2 max, ImU32 colour,
                     const std::string& text);

/// What is drawn rather than written, for whoever takes the window's content as text.
void told_in_text(const std::string& text);

/// A heading within a view, with a quiet remark after it.
void section(const Theme& theme, const std::string& title, const std::string& remark = {});
/// A name on the left, a figure on the right edge of the region or at `width`.
void named_figure(const Theme& theme, const std::string& name, const std::string& figure,
                  float width = 0);
/// The row of headings of a table; those of the columns named in `right` stand over figures.
void headings(const std::vector<std::string>& titles, const std::vector<int>& right);
/// Moves the cursor so that a text in the current font ends at the edge of the region.
void push_right(const std::string& text);
/// A button whose place is noted under its label.
bool action(const State& state, const std::string& label, bool enabled = true);
/// The same of what the view is there for: filled with the colour of links.
bool main_action(const State& state, const std::string& label, bool enabled = true);

} // namespace aumbry::gui
