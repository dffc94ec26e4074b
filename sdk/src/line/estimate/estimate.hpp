// Estimate, the last stage: a pure function of what the stages before it say.
#pragma once

#include "line/estimate/provenance.hpp"
#include "line/schedule/work_plan.hpp"

#include "aumbry/estimate.hpp"

namespace aumbry {

/// @throws FaultError of the project's pricing, placed at "/pricing".
[[nodiscard]] Estimate estimate(const Resolved& resolved, const TakenOff& taken,
                                const ProcureProblem& problem, const Procurement& bought,
                                const Followed& followed, const WorkPlan& work,
                                const Provenance& from);

} // namespace aumbry
