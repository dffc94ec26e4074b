#include "line/schedule/work_network.hpp"

#include "aumbry/critical_path.hpp"
#include "aumbry/fault.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>

namespace aumbry::scheduling {

namespace {

std::int64_t whole_minutes(double minutes, const std::string& task) {
    const double rounded = round_to(minutes, 0);
    if (!(rounded >= 0) || rounded > 5e6)
        fail("bad-duration", {},
             "task '" + task + "' takes " + format_trimmed(minutes, 2) + " minutes",
             "durations are from 0 minutes to 5 000 000");
    return static_cast<std::int64_t>(rounded);
}

} // namespace

Network::Network(const ScheduleProblem& from) : problem(from) {
    fix_order();
}

Network::Times Network::place(const Node& node, std::int64_t at) const {
    Times times{at, at, at};
    if (node.minutes > 0) {
        const WorkTime& work = workers[node.worker];
        const std::int64_t worked = work.worked_until(at);
        times.start = work.begins(worked);
        times.finish = work.ends(worked + node.minutes);
    }
    times.done = times.finish + node.wait;
    return times;
}

std::int64_t Network::ready(const Node& node, const std::vector<Times>& times,
                            const std::map<std::string, Date>& arrivals) const {
    std::int64_t at = std::max(start_of(problem.start), node.not_before);
    for (const std::size_t p : node.after) at = std::max(at, times[p].done);
    if (node.previous != none) at = std::max(at, times[node.previous].finish);
    for (const std::string& need : node.needs)
        if (const auto found = arrivals.find(need); found != arrivals.end())
            at = std::max(at, start_of(found->second));
    return at;
}

std::vector<Network::Times> Network::forward(const std::map<std::string, Date>& arrivals) const {
    std::vector<Times> times(nodes.size());
    for (std::size_t n = 0; n < nodes.size(); ++n)
        times[n] = place(nodes[n], ready(nodes[n], times, arrivals));
    return times;
}

std::vector<Network::Times> Network::backward(std::int64_t finish) const {
    // `done` holds the latest moment for the end of waiting, `finish` that for the end of work,
    // until a node is reached.
    std::vector<Times> latest(nodes.size(), Times{finish, finish, finish});
    for (std::size_t n = nodes.size(); n-- > 0;) {
        const Node& node = nodes[n];
        Times& times = latest[n];
        std::int64_t end = std::min(times.finish, times.done - node.wait);
        times.start = end;
        if (node.minutes > 0) {
            const WorkTime& work = workers[node.worker];
            const std::int64_t worked = work.worked_until(end);
            end = work.ends(worked);
            times.start = work.begins(worked - node.minutes);
        }
        times.finish = end;
        times.done = end + node.wait;
        for (const std::size_t p : node.after)
            latest[p].done = std::min(latest[p].done, times.start);
        if (node.previous != none)
            latest[node.previous].finish = std::min(latest[node.previous].finish, times.start);
    }
    return latest;
}

std::int64_t Network::finish(const std::vector<Times>& times,
                             const std::map<std::string, Date>& arrivals) const {
    std::int64_t last = start_of(problem.start);
    for (const Times& of : times) last = std::max(last, of.done);
    for (const auto& [id, date] : arrivals) last = std::max(last, start_of(date));
    return last;
}

std::size_t Network::worker_index(const std::string& name) {
    const auto known = std::find(worker_names.begin(), worker_names.end(), name);
    if (known != worker_names.end()) return static_cast<std::size_t>(known - worker_names.begin());
    const auto stated = std::find_if(problem.workers.begin(), problem.workers.end(),
                                     [&](const Worker& worker) { return worker.name == name; });
    Worker worker;
    worker.name = name;
    workers.emplace_back(stated != problem.workers.end() ? *stated : worker, problem.start);
    worker_names.push_back(name);
    return worker_names.size() - 1;
}

// Whatever can begin first under the expected arrivals comes first, the first named on a tie.
void Network::fix_order() {
    const std::vector<Task>& tasks = problem.tasks;
    std::vector<std::string> ids;
    std::vector<std::vector<std::string>> names;
    for (const Task& task : tasks) {
        ids.push_back(task.id);
        names.push_back(task.after);
    }
    const auto after = task_indices(ids, names);
    (void)work_order(ids, after); // faults when there is a loop
    std::vector<std::vector<std::size_t>> before(tasks.size());
    std::vector<std::size_t> open(tasks.size());
    std::vector<Node> drafts(tasks.size());
    for (std::size_t i = 0; i < tasks.size(); ++i) {
        for (const std::size_t p : after[i]) before[p].push_back(i);
        open[i] = after[i].size();
        Node& node = drafts[i];
        node.task = i;
        node.worker = worker_index(tasks[i].worker);
        node.minutes = whole_minutes(tasks[i].minutes, tasks[i].id);
        node.wait = whole_minutes(tasks[i].wait_minutes, tasks[i].id);
        if (tasks[i].not_before) node.not_before = start_of(*tasks[i].not_before);
        for (const std::string& need : tasks[i].needs) node.needs.push_back(need);
    }
    std::vector<std::int64_t> free(workers.size(), start_of(problem.start));
    std::vector<std::size_t> last(workers.size(), none);
    std::vector<std::size_t> node_of(tasks.size(), none);
    std::vector<std::int64_t> can_begin(tasks.size());
    std::vector<std::size_t> candidates;
    std::vector<Times> times;
    const auto open_up = [&](std::size_t i) {
        Node& node = drafts[i];
        for (const std::size_t p : after[i]) node.after.push_back(node_of[p]);
        can_begin[i] = place(node, ready(node, times, problem.expected)).start;
        candidates.push_back(i);
    };
    for (std::size_t i = 0; i < tasks.size(); ++i)
        if (open[i] == 0) open_up(i);
    while (!candidates.empty()) {
        std::size_t best = 0;
        const auto begin_of = [&](std::size_t c) {
            const std::size_t i = candidates[c];
            return drafts[i].minutes > 0 ? std::max(can_begin[i], free[drafts[i].worker])
                                         : can_begin[i];
        };
        for (std::size_t c = 1; c < candidates.size(); ++c) {
            const auto left = begin_of(c);
            const auto right = begin_of(best);
            if (left < right || (left == right && candidates[c] < candidates[best])) best = c;
        }
        const std::size_t i = candidates[best];
        candidates.erase(candidates.begin() + static_cast<std::ptrdiff_t>(best));
        Node node = drafts[i];
        if (node.minutes > 0) node.previous = last[node.worker];
        times.push_back(place(node, ready(node, times, problem.expected)));
        node_of[i] = nodes.size();
        if (node.minutes > 0) {
            last[node.worker] = nodes.size();
            const WorkTime& work = workers[node.worker];
            free[node.worker] = work.begins(work.worked_until(times.back().finish));
        }
        nodes.push_back(std::move(node));
        for (const std::size_t next : before[i])
            if (--open[next] == 0) open_up(next);
    }
}

} // namespace aumbry::scheduling
