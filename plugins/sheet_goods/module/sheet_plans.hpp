// Cutting plans as the contract has them.
#pragma once

#include "sheet_goods/module/plan.hpp"

#include "aumbry/contract.hpp"

#include <vector>

namespace aumbry::sheet_goods {

/// One plan a sheet cut alike, with its bound. Placements say their blank, finished size, grain,
/// faces, edges, and their section where a panel has seams. Fence settings are numbered over all
/// sheets, from the one after `settings`, which becomes the last.
[[nodiscard]] std::vector<contract::SheetPlan> sheet_plans(const CuttingPlan& plan,
                                                           const Shop& shop, int& settings);

} // namespace aumbry::sheet_goods
