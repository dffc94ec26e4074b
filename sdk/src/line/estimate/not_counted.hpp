// What belongs to the work of the job and is in no step.
#pragma once

#include "line/schedule/work_plan.hpp"

#include "aumbry/follow.hpp"

#include <string>
#include <vector>

namespace aumbry {

/// In the maker's words, each once: what modules say of their lines, pieces of several parts that
/// no step puts together, and trips to suppliers where none takes time.
[[nodiscard]] std::vector<std::string> not_counted(const Resolved& project,
                                                   const Procurement& bought,
                                                   const Followed& followed, const WorkPlan& work);

} // namespace aumbry
