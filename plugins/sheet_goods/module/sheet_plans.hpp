// Cutting plans as the contract has them.
#pragma once

#include "sheet_goods/module/plan.hpp"

#include "aumbry/contract.hpp"

#include <vector>

namespace aumbry::sheet_goods {

/// One plan a sheet cut alike, with its bound. Placements say their blank, finished size, grain,
/// faces, edges, and their section where a panel has seams.
[[nodiscard]] std::vector<contract::SheetPlan> sheet_plans(const CuttingPlan& plan,
                                                           const Shop& shop);

} // namespace aumbry::sheet_goods
