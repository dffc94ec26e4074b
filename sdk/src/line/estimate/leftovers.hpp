// What will be left when the job is done, as things that the next job may own.
#pragma once

#include "line/estimate/plans.hpp"
#include "line/estimate/provenance.hpp"

#include <vector>

namespace aumbry {

/// Offcuts that their plan marks as worth keeping, board ends of 500 mm and more (common practice:
/// shorter ones are firewood), and what tins, rolls and packs hold beyond what is needed. Services
/// leave nothing.
[[nodiscard]] std::vector<EstimateLeftover>
leftovers_of(const EstimatePlans& plans, const Resolved& project, const TakenOff& taken,
             const Procurement& procurement, const Provenance& from);

} // namespace aumbry
