// Labour: what the hours of each person cost.
#pragma once

#include "line/estimate/allocation.hpp"
#include "line/schedule/work_plan.hpp"

#include "aumbry/estimate.hpp"

namespace aumbry {

struct Labour {
    std::vector<Money> of_steps;      ///< as the steps of the work, a minimum charge left aside
    std::vector<EstimateHours> hours; ///< of those who work, as the project names them
    std::vector<Charge> charges;      ///< shared evenly by the pieces of a step
    bool stated = false;              ///< a rate of work is stated
};

/// Hours planned and worked already, at the rate of the step or the person. Who states a minimum
/// charge is paid at least that for each day worked (common practice); the difference is charged to
/// the last step worked.
[[nodiscard]] Labour labour_of(const Resolved& project, const WorkPlan& work);

} // namespace aumbry
