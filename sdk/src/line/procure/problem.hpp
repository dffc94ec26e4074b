// What procure is asked: every demand, all that can fill it, and what the purchase is to be best
// in.
#pragma once

#include "aumbry/catalog.hpp"
#include "aumbry/options.hpp"
#include "aumbry/procure.hpp"
#include "aumbry/resolved_project.hpp"
#include "aumbry/take_off.hpp"

namespace aumbry {

/// The problem but for its `finish`, which the schedule of the work gives.
[[nodiscard]] ProcureProblem purchase_problem(const Resolved& project, const TakenOff& taken,
                                              const Catalog& catalog,
                                              const EstimateOptions& options);

/// The earliest day on which each demand could be in hand, whatever is bought: fixes the order of
/// work.
[[nodiscard]] Arrivals earliest_arrivals(const ProcureProblem& problem);

/// The days on which what was bought is in hand.
[[nodiscard]] Arrivals arrivals_of(const Procurement& procurement);

} // namespace aumbry
