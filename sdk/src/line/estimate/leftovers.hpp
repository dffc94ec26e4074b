// What will be left when the job is done, as things that the next job may own.
#pragma once

#include "line/estimate/plans.hpp"
#include "line/estimate/provenance.hpp"

#include <vector>

namespace aumbry {

/// Offcuts and board ends that their plan marks as worth keeping, and what tins, rolls and packs
/// hold beyond what is needed: the rest is in what was bought last, not in what was at hand.
/// Services leave nothing.
[[nodiscard]] std::vector<EstimateLeftover>
leftovers_of(const EstimatePlans& plans, const Resolved& project, const TakenOff& taken,
             const Procurement& procurement, const Provenance& from);

} // namespace aumbry
