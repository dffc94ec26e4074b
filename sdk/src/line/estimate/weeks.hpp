// The job by weeks: what is paid, and what the maker works himself.
#pragma once

#include "line/schedule/work_plan.hpp"

#include "aumbry/estimate.hpp"

namespace aumbry {

/// Weeks from the first to the last in which money moves or the maker works, none left out between.
/// A step's time stands on the days on which it is worked; what is recorded, on its day.
[[nodiscard]] std::vector<EstimateWeek>
weeks_of(const Resolved& project, const std::vector<EstimateCash>& cash, const WorkPlan& work);

} // namespace aumbry
