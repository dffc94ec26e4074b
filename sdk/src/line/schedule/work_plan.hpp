// All work of the job with its dates.
#pragma once

#include "line/schedule/network.hpp"

#include "aumbry/follow.hpp"

namespace aumbry {

/// All steps with their dates.
struct WorkPlan {
    std::vector<NetworkStep> steps;
    Schedule schedule; ///< tasks as `steps`
    std::vector<contract::Finding> findings;
};

/// The day on which the work known before the purchase is done, by what arrives when. `earliest`
/// are the earliest possible arrivals: they fix the order of work.
[[nodiscard]] FinishDate finish_of_work(const Resolved& project, const TakenOff& taken,
                                        const Arrivals& earliest);

/// The dates of all work, the steps of follow and the trips for goods among it, under the arrivals
/// of a purchase.
[[nodiscard]] WorkPlan schedule_work(const Resolved& project, const TakenOff& taken,
                                     const Arrivals& earliest, const ProcureProblem& problem,
                                     const Procurement& bought, const Followed& followed);

} // namespace aumbry
