// What will be left when the job is done, as things that the next job may own.
#pragma once

#include "aumbry/estimate.hpp"
#include "aumbry/take_off.hpp"

#include <vector>

namespace aumbry {

/// Offcuts that their plan marks as worth keeping, board ends of 500 mm and more (common practice:
/// shorter ones are firewood), and what tins, rolls and packs hold beyond what is needed. Services
/// leave nothing.
[[nodiscard]] std::vector<EstimateLeftover>
leftovers_of(const Estimate& estimate, const Resolved& project, const TakenOff& taken,
             const Procurement& procurement, const PluginHost& host, const Catalog& catalog);

} // namespace aumbry
