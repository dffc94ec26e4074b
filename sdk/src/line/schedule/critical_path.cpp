#include "aumbry/critical_path.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>
#include <functional>
#include <map>
#include <queue>

namespace aumbry {

namespace {

// Walks back along unfinished predecessors until one comes round again.
[[noreturn]] void fail_with_loop(const std::vector<std::string>& ids,
                                 const std::vector<std::vector<std::size_t>>& after,
                                 const std::vector<bool>& done) {
    std::vector<std::size_t> trail;
    std::size_t at =
        static_cast<std::size_t>(std::find(done.begin(), done.end(), false) - done.begin());
    while (std::find(trail.begin(), trail.end(), at) == trail.end()) {
        trail.push_back(at);
        at = *std::find_if(after[at].begin(), after[at].end(),
                           [&](std::size_t p) { return !done[p]; });
    }
    trail.erase(trail.begin(), std::find(trail.begin(), trail.end(), at));
    std::string loop = "'" + ids[at] + "'";
    for (std::size_t i = 1; i < trail.size(); ++i) loop += " after '" + ids[trail[i]] + "'";
    fail("task-cycle", {}, "the work waits for itself: " + loop + " after '" + ids[at] + "'",
         "take one of these out");
}

} // namespace

std::vector<std::size_t> work_order(const std::vector<std::string>& ids,
                                    const std::vector<std::vector<std::size_t>>& after) {
    std::vector<std::vector<std::size_t>> before(ids.size());
    std::vector<std::size_t> open(ids.size(), 0);
    for (std::size_t i = 0; i < ids.size(); ++i) {
        for (const std::size_t p : after[i]) before[p].push_back(i);
        open[i] = after[i].size();
    }
    std::priority_queue<std::size_t, std::vector<std::size_t>, std::greater<>> ready;
    for (std::size_t i = 0; i < ids.size(); ++i)
        if (open[i] == 0) ready.push(i);
    std::vector<std::size_t> order;
    std::vector<bool> done(ids.size(), false);
    while (!ready.empty()) {
        const std::size_t next = ready.top();
        ready.pop();
        order.push_back(next);
        done[next] = true;
        for (const std::size_t i : before[next])
            if (--open[i] == 0) ready.push(i);
    }
    if (order.size() < ids.size()) fail_with_loop(ids, after, done);
    return order;
}

std::vector<std::vector<std::size_t>>
task_indices(const std::vector<std::string>& ids,
             const std::vector<std::vector<std::string>>& after) {
    std::map<std::string, std::size_t> index;
    for (std::size_t i = 0; i < ids.size(); ++i)
        if (!index.emplace(ids[i], i).second)
            fail("duplicate-task", {}, "two tasks have the id '" + ids[i] + "'",
                 "give each its own id");
    std::vector<std::vector<std::size_t>> result(ids.size());
    for (std::size_t i = 0; i < ids.size(); ++i) {
        for (const std::string& id : after[i]) {
            const auto found = index.find(id);
            if (found == index.end()) {
                const std::string near = nearest_name(id, ids);
                fail("unknown-task", {},
                     "task '" + ids[i] + "' comes after '" + id + "', which does not exist",
                     near.empty() ? "name a task" : "did you mean '" + near + "'?");
            }
            if (std::find(result[i].begin(), result[i].end(), found->second) == result[i].end())
                result[i].push_back(found->second);
        }
    }
    return result;
}

CriticalPath critical_path(const std::vector<Activity>& activities) {
    std::vector<std::string> ids;
    std::vector<std::vector<std::string>> names;
    for (const Activity& activity : activities) {
        ids.push_back(activity.id);
        names.push_back(activity.after);
    }
    const auto after = task_indices(ids, names);
    const auto order = work_order(ids, after);
    CriticalPath result;
    result.times.resize(activities.size());
    for (const std::size_t i : order) {
        ActivityTimes& times = result.times[i];
        for (const std::size_t p : after[i])
            times.earliest_start = std::max(times.earliest_start, result.times[p].earliest_finish);
        times.earliest_finish = round_to(times.earliest_start + activities[i].duration, 9);
        result.length = std::max(result.length, times.earliest_finish);
    }
    for (ActivityTimes& times : result.times) times.latest_finish = result.length;
    for (auto it = order.rbegin(); it != order.rend(); ++it) {
        ActivityTimes& times = result.times[*it];
        times.latest_start = round_to(times.latest_finish - activities[*it].duration, 9);
        times.slack = round_to(times.latest_start - times.earliest_start, 9);
        times.critical = times.slack <= 0;
        for (const std::size_t p : after[*it])
            result.times[p].latest_finish =
                std::min(result.times[p].latest_finish, times.latest_start);
    }
    // Back from an activity that ends last, along those that decide its start.
    std::vector<std::size_t> path;
    for (std::size_t i = 0; i < activities.size() && path.empty(); ++i)
        if (result.times[i].earliest_finish == result.length) path.push_back(i);
    while (!path.empty()) {
        const std::size_t at = path.back();
        const auto decides = std::find_if(after[at].begin(), after[at].end(), [&](std::size_t p) {
            return result.times[p].earliest_finish == result.times[at].earliest_start;
        });
        if (decides == after[at].end()) break;
        path.push_back(*decides);
    }
    for (auto it = path.rbegin(); it != path.rend(); ++it) result.path.push_back(ids[*it]);
    return result;
}

} // namespace aumbry
