// From a layout to cuts that can be made, and back.
#pragma once

#include "sheet_goods/engine/layout.hpp"

#include <vector>

namespace aumbry::sheet_goods {

/// Cuts, parts and offcuts of one sheet: the largest offcut in one piece, then few cuts; cuts of
/// one fence setting next to each other.
[[nodiscard]] SheetPlan draw_sheet(const CuttingJob& order, const Problem& problem,
                                   const Layout& layout);

/// Puts sheets cut alike together, largest use first. Deterministic.
[[nodiscard]] std::vector<SheetPlan> gather_copies(std::vector<SheetPlan> sheets);

/// The layout behind a sheet's cuts, of those parts that are still wanted; items used are taken
/// from `wanted` (items by part kind). Empty when the cuts do not fit the order.
[[nodiscard]] Layout read_sheet(const Problem& problem, const SheetPlan& sheet,
                                std::vector<std::vector<int>>& wanted);

} // namespace aumbry::sheet_goods
