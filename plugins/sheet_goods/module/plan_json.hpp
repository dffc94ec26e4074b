// Cutting plans as data, in the shape of the estimate document.
#pragma once

#include "sheet_goods/module/plan.hpp"

#include "aumbry/json.hpp"

namespace aumbry::sheet_goods {

/// One entry a sheet cut alike. All lengths in mm. x runs along the sheet's length, y along its
/// width, clean-up included. Beside what the estimate names, an entry carries the offer, the blanks
/// that cuts name, `bound`, and for each placement its finished size, the grain of the part, how
/// many faces show, its section where a panel has seams, and its edges; offcuts worth keeping say
/// `keep`.
[[nodiscard]] Json plans_json(const CuttingPlan& plan, const Shop& shop);

} // namespace aumbry::sheet_goods
