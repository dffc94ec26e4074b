// Choices of sheets that could hold all parts.
#pragma once

#include "sheet_goods/engine/problem.hpp"

#include <cstddef>
#include <cstdint>
#include <vector>

namespace aumbry::sheet_goods {

/// How many sheets of each of Problem::sheets.
using SheetSet = std::vector<std::int64_t>;

/// The most promising sets with at least the area of the parts and a price of at most `most_price`:
/// much area, on few large sheets, first.
[[nodiscard]] std::vector<SheetSet> promising_sets(const Problem& problem, std::int64_t most_price,
                                                   std::size_t count);

} // namespace aumbry::sheet_goods
