#include "line/schedule/work_network.hpp"

#include "aumbry/critical_path.hpp"
#include "aumbry/fault.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>
#include <limits>
#include <optional>
#include <random>

namespace aumbry::scheduling {

namespace {

/// Orders that are tried beside the plain ones.
constexpr std::uint64_t most_shaken = 24;

std::int64_t whole_minutes(double minutes, const std::string& task) {
    const double rounded = round_to(minutes, 0);
    if (!(rounded >= 0) || rounded > 5e6)
        fail("bad-duration", {},
             "task '" + task + "' takes " + format_trimmed(minutes, 2) + " minutes",
             "durations are from 0 minutes to 5 000 000");
    return static_cast<std::int64_t>(rounded);
}

} // namespace

Network::Times Network::place(const Node& node, std::int64_t at) const {
    Times times{at, at, at};
    if (node.minutes > 0) {
        const WorkTime& work = hours[node.hours];
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
    for (const std::size_t p : node.rack) at = std::max(at, times[p].done);
    for (const std::size_t p : node.previous)
        if (p != none) at = std::max(at, times[p].finish);
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
            const WorkTime& work = hours[node.hours];
            const std::int64_t worked = work.worked_until(end);
            end = work.ends(worked);
            times.start = work.begins(worked - node.minutes);
        }
        times.finish = end;
        times.done = end + node.wait;
        for (const auto& links : {node.after, node.rack})
            for (const std::size_t p : links)
                latest[p].done = std::min(latest[p].done, times.start);
        for (const std::size_t p : node.previous)
            if (p != none) latest[p].finish = std::min(latest[p].finish, times.start);
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
    workers_.push_back(stated != problem.workers.end() ? *stated : worker);
    worker_names.push_back(name);
    return worker_names.size() - 1;
}

std::size_t Network::hours_of(const std::vector<std::size_t>& workers, bool on_site) {
    const bool bounded = on_site && problem.site.has_value();
    const auto [known, added] = known_hours_.try_emplace({workers, bounded}, hours.size());
    if (added) {
        std::vector<Worker> all;
        for (const std::size_t worker : workers) all.push_back(workers_[worker]);
        if (bounded) all.push_back(*problem.site);
        hours.emplace_back(std::move(all), problem.start);
    }
    return known->second;
}

void Network::read_tasks() {
    const std::vector<Task>& tasks = problem.tasks;
    std::vector<std::string> ids;
    std::vector<std::vector<std::string>> names;
    for (const Task& task : tasks) {
        ids.push_back(task.id);
        names.push_back(task.after);
    }
    after_ = task_indices(ids, names);
    (void)work_order(ids, after_); // faults when there is a loop
    for (std::size_t i = 0; i < tasks.size(); ++i) {
        Node node;
        node.task = i;
        for (const std::string& name : tasks[i].workers) node.workers.push_back(worker_index(name));
        if (node.workers.empty()) node.workers.push_back(worker_index("maker"));
        std::sort(node.workers.begin(), node.workers.end());
        node.workers.erase(std::unique(node.workers.begin(), node.workers.end()),
                           node.workers.end());
        node.hours = hours_of(node.workers, tasks[i].on_site);
        node.minutes = whole_minutes(tasks[i].minutes, tasks[i].id);
        node.wait = whole_minutes(tasks[i].wait_minutes, tasks[i].id);
        if (tasks[i].not_before) node.not_before = start_of(*tasks[i].not_before);
        node.needs = tasks[i].needs;
        drafts_.push_back(std::move(node));
    }
}

/// One order of the tasks under the expected arrivals.
class Ordering {
  public:
    enum class Rule {
        first_come, ///< what can begin first, the first named on a tie
        longest,    ///< of what can begin at the same time, what most work and waiting hangs on
        overlapping ///< likewise of what can begin before the first to begin would be done
    };

    /// Takes what hangs on each task as somewhat more or less than it is, differently for each
    /// seed.
    void shake(std::uint64_t seed) {
        std::mt19937_64 random(seed);
        for (std::size_t i = 0; i < tails_.size(); ++i)
            weights_[i] = tails_[i] * static_cast<std::int64_t>(50 + random() % 101) / 100;
    }

    explicit Ordering(const Network& network)
        : network_(network), tasks_(network.problem.tasks), before_(tasks_.size()) {
        for (std::size_t i = 0; i < tasks_.size(); ++i)
            for (const std::size_t p : network.after_[i]) before_[p].push_back(i);
        measure_tails();
    }

    std::vector<Network::Node> order(Rule rule) {
        nodes_.clear();
        times_.clear();
        lots_.clear();
        drafts_ = network_.drafts_;
        last_.assign(network_.worker_names.size(), none);
        node_of_.assign(tasks_.size(), none);
        candidates_.clear();
        if (rack() > 0) lots_.push_back({none, rack()});
        std::vector<std::size_t> open(tasks_.size());
        for (std::size_t i = 0; i < tasks_.size(); ++i) {
            open[i] = network_.after_[i].size();
            if (open[i] == 0) open_up(i);
        }
        while (!candidates_.empty()) {
            const std::size_t next = choose(rule);
            const std::size_t i = candidates_[next];
            candidates_.erase(candidates_.begin() + static_cast<std::ptrdiff_t>(next));
            put(i);
            for (const std::size_t later : before_[i])
                if (--open[later] == 0) open_up(later);
        }
        return std::move(nodes_);
    }

    /// No order finishes earlier: as if everybody and the rack were there for each task alone.
    [[nodiscard]] std::int64_t bound() const {
        std::vector<std::string> ids;
        for (const Task& task : tasks_) ids.push_back(task.id);
        std::vector<Network::Times> times(tasks_.size());
        for (const std::size_t task : work_order(ids, network_.after_)) {
            Network::Node node = network_.drafts_[task];
            node.after = network_.after_[task];
            times[task] =
                network_.place(node, network_.ready(node, times, network_.problem.expected));
        }
        return network_.finish(times, network_.problem.expected);
    }

    /// Under the order found last.
    [[nodiscard]] std::int64_t finish() const {
        return network_.finish(times_, network_.problem.expected);
    }

  private:
    /// Room on the rack that a node leaves when it is dry; of none: free from the start.
    struct Lot {
        std::size_t node = none;
        double area = 0;
    };

    [[nodiscard]] double rack() const { return network_.problem.rack; }

    /// What is wider than the rack takes all of it.
    [[nodiscard]] double area_of(std::size_t task) const {
        return std::min(tasks_[task].rack, rack());
    }

    /// Work and waiting from the begin of a task to the end of all that hangs on it.
    void measure_tails() {
        std::vector<std::string> ids;
        for (const Task& task : tasks_) ids.push_back(task.id);
        tails_.assign(tasks_.size(), 0);
        const std::vector<std::size_t> in_order = work_order(ids, network_.after_);
        for (auto task = in_order.rbegin(); task != in_order.rend(); ++task) {
            std::int64_t longest = 0;
            for (const std::size_t later : before_[*task])
                longest = std::max(longest, tails_[later]);
            const Network::Node& node = network_.drafts_[*task];
            tails_[*task] = longest + node.minutes * 3 + node.wait; // a third of a day is worked
        }
        weights_ = tails_;
    }

    void open_up(std::size_t i) {
        Network::Node& node = drafts_[i];
        for (const std::size_t p : network_.after_[i]) node.after.push_back(node_of_[p]);
        candidates_.push_back(i);
    }

    /// The node as it would stand now: its workers' last tasks, and who leaves it room.
    [[nodiscard]] Network::Node linked(std::size_t i) const {
        Network::Node node = drafts_[i];
        if (node.minutes > 0)
            for (const std::size_t worker : node.workers) node.previous.push_back(last_[worker]);
        double wanted = area_of(i);
        for (const Lot& lot : lots_) {
            if (wanted <= 0) break;
            if (lot.node != none) node.rack.push_back(lot.node);
            wanted -= lot.area;
        }
        return node;
    }

    [[nodiscard]] Network::Times times_of(const Network::Node& node) const {
        return network_.place(node, network_.ready(node, times_, network_.problem.expected));
    }

    [[nodiscard]] std::size_t choose(Rule rule) const {
        std::vector<Network::Times> times;
        for (const std::size_t i : candidates_) times.push_back(times_of(linked(i)));
        std::size_t first = 0;
        for (std::size_t c = 1; c < times.size(); ++c)
            if (std::pair(times[c].start, candidates_[c]) <
                std::pair(times[first].start, candidates_[first]))
                first = c;
        if (rule == Rule::first_come) return first;
        const std::int64_t until =
            rule == Rule::longest ? times[first].start : times[first].finish - 1;
        std::size_t best = first;
        for (std::size_t c = 0; c < times.size(); ++c)
            if (times[c].start <= std::max(until, times[first].start) &&
                std::pair(-weights_[candidates_[c]], candidates_[c]) <
                    std::pair(-weights_[candidates_[best]], candidates_[best]))
                best = c;
        return best;
    }

    void put(std::size_t i) {
        Network::Node node = linked(i);
        const std::size_t at = nodes_.size();
        times_.push_back(times_of(node));
        node_of_[i] = at;
        if (node.minutes > 0)
            for (const std::size_t worker : node.workers) last_[worker] = at;
        take_room(area_of(i), at);
        nodes_.push_back(std::move(node));
    }

    void take_room(double wanted, std::size_t node) {
        if (wanted <= 0) return;
        const double area = wanted;
        while (wanted > 0 && !lots_.empty()) {
            Lot& lot = lots_.front();
            const double taken = std::min(lot.area, wanted);
            wanted -= taken;
            lot.area -= taken;
            if (lot.area < 1e-9) lots_.erase(lots_.begin()); // less than a rounding error
        }
        lots_.push_back({node, area});
        std::stable_sort(lots_.begin(), lots_.end(),
                         [&](const Lot& a, const Lot& b) { return left_at(a) < left_at(b); });
    }

    [[nodiscard]] std::int64_t left_at(const Lot& lot) const {
        return lot.node == none ? std::numeric_limits<std::int64_t>::min() : times_[lot.node].done;
    }

    const Network& network_;
    const std::vector<Task>& tasks_;
    std::vector<std::vector<std::size_t>> before_;
    std::vector<std::int64_t> tails_;
    std::vector<std::int64_t> weights_; ///< tails, shaken or not
    std::vector<Network::Node> drafts_; ///< with what they come after
    std::vector<Network::Node> nodes_;
    std::vector<Network::Times> times_;
    std::vector<std::size_t> last_;    ///< by worker: node
    std::vector<std::size_t> node_of_; ///< by task
    std::vector<std::size_t> candidates_;
    std::vector<Lot> lots_; ///< the first to be free first
};

Network::Network(const ScheduleProblem& from) : problem(from) {
    using Rule = Ordering::Rule;
    read_tasks();
    Ordering ordering(*this);
    std::optional<std::int64_t> earliest;
    const auto try_order = [&](Rule rule) {
        std::vector<Node> ordered = ordering.order(rule);
        if (earliest && ordering.finish() >= *earliest) return;
        earliest = ordering.finish();
        nodes = std::move(ordered);
    };
    for (const Rule rule : {Rule::first_come, Rule::longest, Rule::overlapping}) try_order(rule);
    const std::int64_t bound = ordering.bound();
    for (std::uint64_t seed = 1; seed <= most_shaken && *earliest > bound; ++seed) {
        ordering.shake(seed);
        try_order(seed % 2 == 0 ? Rule::longest : Rule::overlapping);
    }
}

} // namespace aumbry::scheduling
