// A sheet to scale: its parts with their edges, all cuts with their numbers, the letters of pieces.
#pragma once

#include "print/cut_book.hpp"
#include "print/drawing.hpp"

namespace aumbry::print {

/// Kept free round a drawing, mm: a number that finds no room on the sheet stands beside it.
inline constexpr double drawing_margin = 3.4;

/// The drawing of one sheet alone into a page, from `y` down, `room` wide and at most `high` high;
/// where it ends. `dealer_only` leaves the parts out and shows what the supplier cuts.
double draw_sheet(Page& page, const CutBook& book, const SheetPage& sheet, double x, double y,
                  double room, double high, bool dealer_only);

/// What its lines, tints and marks mean, in lines `room` wide from `y` down; where they end.
double draw_legend(Page& page, const CutBook& book, const SheetPage& sheet, double left, double y,
                   double room);

/// The loop of the trade on the face that shows, `size` high, from its upper left corner.
void face_mark(Page& page, double x, double y, double size);

/// The edges of a part just inside its box: treated ones thick, scribed ones wavy.
void edges_of_part(Page& page, const Box& at, const EdgeLooks& edges);

/// The tint of a piece's parts; they come round again after six pieces.
[[nodiscard]] Ink tint_of(const CutBook& book, const std::string& piece);

/// A text in the middle of a box, lying or standing; false where it finds no room.
bool size_inside(Page& page, const Box& box, const std::string& text, std::vector<Box>& taken);

} // namespace aumbry::print
