// Time that is worked already, by the step that it was worked on.
#pragma once

#include "aumbry/recorded.hpp"

#include <map>
#include <string>
#include <vector>

namespace aumbry {

/// What is worked on one step, by all together.
struct WorkedOn {
    double minutes = 0;
    std::string who;   ///< who was named first
    bool done = false; ///< nothing of the step is left
};

/// By id of the step, whether there is such a step any more or not.
[[nodiscard]] std::map<std::string, WorkedOn> worked_by_step(const std::vector<Worked>& worked);

/// Minutes of each person that are left of a step. Time worked counts for all `people` alike; never
/// below zero.
[[nodiscard]] double minutes_left(double minutes, std::int64_t people, const WorkedOn& worked);

} // namespace aumbry
