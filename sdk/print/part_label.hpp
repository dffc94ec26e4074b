// Words inside a part's rectangle: as much as finds room, and where it stands.
#pragma once

#include "print/cut_book.hpp"
#include "print/drawing.hpp"

#include <vector>

namespace aumbry::print {

/// How the grain of a sheet runs in its drawing.
enum class DrawnGrain { none, across_page, up_page };

/// Writes number, name, piece, finished and cut size into a box, with an arrow where the grain must
/// run one way; less of it in small boxes, turned in tall ones, and the number alone in tiny ones.
/// Adds the boxes that texts take to `taken`. False when not even the number finds room.
[[nodiscard]] bool label_part(Page& page, const Box& box, const BookPart& part,
                              const std::string& unit, DrawnGrain grain, std::vector<Box>& taken);

} // namespace aumbry::print
