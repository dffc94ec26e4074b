// Words inside a part's rectangle: as much as finds room, and where it stands.
#pragma once

#include "print/cut_book.hpp"
#include "print/drawing.hpp"

#include <vector>

namespace aumbry::print {

/// Writes number, name, piece, finished and cut size into a box; less of it in small boxes, turned
/// in tall ones, and the number alone in tiny ones. Adds the boxes that texts take to `taken`.
/// False when not even the number finds room.
[[nodiscard]] bool label_part(Page& page, const Box& box, const BookPart& part,
                              const std::string& unit, const std::string& hand,
                              std::vector<Box>& taken);

} // namespace aumbry::print
