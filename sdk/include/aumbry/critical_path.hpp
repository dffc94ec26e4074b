// Critical path of a plain activity network: durations in any unit, no calendars.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

namespace aumbry {

struct Activity {
    std::string id;
    double duration = 0;
    std::vector<std::string> after;
};

struct ActivityTimes {
    double earliest_start = 0;
    double earliest_finish = 0;
    double latest_start = 0;
    double latest_finish = 0;
    double slack = 0;
    bool critical = false;
};

struct CriticalPath {
    double length = 0;
    std::vector<ActivityTimes> times; ///< in the order given
    std::vector<std::string> path;    ///< one longest path, the first named on a tie
};

/// Earliest and latest times (forward and backward pass); results rounded to nine decimals.
/// @throws FaultError "task-cycle" that lists the loop, "unknown-task", "duplicate-task".
[[nodiscard]] CriticalPath critical_path(const std::vector<Activity>& activities);

/// Order in which everything comes after what it waits for, the first named first; `after` as
/// indices.
/// @throws FaultError "task-cycle" that lists the loop by `ids`.
[[nodiscard]] std::vector<std::size_t>
work_order(const std::vector<std::string>& ids, const std::vector<std::vector<std::size_t>>& after);

/// `after` by id turned into indices, each once. @throws FaultError "duplicate-task",
/// "unknown-task".
[[nodiscard]] std::vector<std::vector<std::size_t>>
task_indices(const std::vector<std::string>& ids,
             const std::vector<std::vector<std::string>>& after);

} // namespace aumbry
