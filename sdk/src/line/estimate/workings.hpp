// How the core's own figures came about.
#pragma once

#include "aumbry/estimate.hpp"
#include "aumbry/pricing.hpp"

#include <map>
#include <string>
#include <vector>

namespace aumbry {

/// Workings by reference: those of formulas and modules, and the core's own: "total",
/// "totals.goods", "piece.bed", "module.finish", "line.bed_side", "buy.north/ply-18",
/// "order.north", "task.glue_up".
[[nodiscard]] std::map<std::string, contract::Working>
workings_of(const Estimate& estimate, const Resolved& resolved, const PriceBuildUp& build,
            const std::vector<contract::Working>& taken_off,
            const std::vector<contract::Working>& followed);

} // namespace aumbry
