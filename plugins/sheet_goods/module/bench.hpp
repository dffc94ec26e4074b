// The sheets of a plan as the dealer's and the workshop's saws cut them.
#pragma once

#include "sheet_goods/module/plan.hpp"

namespace aumbry::sheet_goods {

/// Who cuts it: its dealer, where he cuts, and the workshop.
[[nodiscard]] SawsOfSheet saws_of(const Stock& stock, const Shop& shop);

/// The cuts of a planned sheet, match groups taken apart, each with the kerf of its saw.
[[nodiscard]] BenchSheet cut_at_the_bench(const CuttingPlan& plan, const SheetPlan& sheet,
                                          const Stock& stock, const Shop& shop);

} // namespace aumbry::sheet_goods
