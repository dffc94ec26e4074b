#include "aumbry/schedule.hpp"

#include "aumbry/rounding.hpp"
#include "line/schedule/work_network.hpp"

#include <algorithm>

namespace aumbry {

namespace {

using namespace scheduling;

class Dating {
  public:
    explicit Dating(const ScheduleProblem& problem)
        : network_(problem), problem_(network_.problem),
          earliest_(network_.forward(problem_.arrivals)),
          finish_(network_.finish(earliest_, problem_.arrivals)),
          latest_(network_.backward(finish_)) {}

    Schedule take() {
        out_.finish = moment(finish_);
        out_.ready = out_.finish.date;
        out_.tasks.resize(problem_.tasks.size());
        for (std::size_t n = 0; n < network_.nodes.size(); ++n) add_task(n);
        trace_critical_path();
        find_latest_arrivals();
        add_findings();
        check_site();
        return std::move(out_);
    }

  private:
    using Node = Network::Node;

    [[nodiscard]] const Task& task_of(const Node& node) const { return problem_.tasks[node.task]; }

    // What decided when a task could begin: its node, or a name.
    struct Decider {
        std::size_t node = none;
        std::string name;
    };

    [[nodiscard]] Decider decider(const Node& node) const {
        const std::int64_t ready = network_.ready(node, earliest_, problem_.arrivals);
        for (const std::string& need : node.needs)
            if (const auto found = problem_.arrivals.find(need);
                found != problem_.arrivals.end() && start_of(found->second) == ready)
                return {none, "arrival " + need};
        for (const std::size_t p : node.after)
            if (earliest_[p].done == ready) return {p, "task " + task_of(network_.nodes[p]).id};
        for (const std::size_t p : node.rack)
            if (earliest_[p].done == ready) return {p, "rack"};
        for (std::size_t i = 0; i < node.previous.size(); ++i)
            if (node.previous[i] != none && earliest_[node.previous[i]].finish == ready)
                return {node.previous[i], "worker " + network_.worker_names[node.workers[i]]};
        return {none, node.not_before == ready ? "date" : "start"};
    }

    void add_task(std::size_t n) {
        const Node& node = network_.nodes[n];
        ScheduledTask& task = out_.tasks[node.task];
        task.id = task_of(node).id;
        task.start = moment(earliest_[n].start);
        task.finish = moment(earliest_[n].finish);
        task.done = moment(earliest_[n].done);
        task.latest_start = moment(latest_[n].start);
        task.latest_finish = moment(latest_[n].finish);
        task.latest_done = moment(latest_[n].done);
        task.waits_for = decider(node).name;
        const WorkTime& work = network_.hours[node.hours];
        task.slack_minutes = node.minutes > 0 ? work.worked_until(latest_[n].start) -
                                                    work.worked_until(earliest_[n].start)
                                              : latest_[n].start - earliest_[n].start;
        task.critical = task.slack_minutes <= 0;
        for (Date day = task.start.date; day < task.latest_start.date; day += std::chrono::days{1})
            if (work.works_on(day)) ++task.slack_days;
        if (node.minutes > 0)
            for (const std::size_t worker : node.workers)
                out_.order[network_.worker_names[worker]].push_back(task.id);
    }

    void trace_critical_path() {
        std::vector<std::string> path;
        for (const auto& [id, date] : problem_.arrivals) {
            if (start_of(date) == finish_) {
                out_.critical_path = {"arrival " + id};
                return;
            }
        }
        std::size_t at = none;
        for (std::size_t n = 0; n < network_.nodes.size() && at == none; ++n)
            if (earliest_[n].done == finish_) at = n;
        while (at != none) {
            const Node& node = network_.nodes[at];
            path.push_back(task_of(node).id);
            const Decider by = decider(node);
            if (by.node == none && by.name.starts_with("arrival ")) path.push_back(by.name);
            at = by.node;
        }
        out_.critical_path.assign(path.rbegin(), path.rend());
    }

    void find_latest_arrivals() {
        for (const auto& [id, date] : problem_.arrivals) out_.latest_arrivals[id] = day_of(finish_);
        for (std::size_t n = 0; n < network_.nodes.size(); ++n) {
            for (const std::string& need : network_.nodes[n].needs) {
                const auto found = out_.latest_arrivals.try_emplace(need, day_of(finish_)).first;
                found->second = std::min(found->second, day_of(latest_[n].start));
            }
        }
    }

    [[nodiscard]] const Worker* stated(const std::string& name) const {
        const auto found = std::find_if(problem_.workers.begin(), problem_.workers.end(),
                                        [&](const Worker& worker) { return worker.name == name; });
        return found != problem_.workers.end() ? &*found : nullptr;
    }

    void add_findings() {
        for (std::size_t w = 0; w < network_.worker_names.size(); ++w) {
            const std::string& name = network_.worker_names[w];
            std::int64_t minutes = 0;
            for (const Node& node : network_.nodes)
                if (std::find(node.workers.begin(), node.workers.end(), w) != node.workers.end())
                    minutes += node.minutes;
            if (minutes == 0) continue;
            Worker worker;
            if (const Worker* named = stated(name)) worker = *named;
            const WorkTime work({worker}, problem_.start);
            if (worker.days.empty() && !work.works_on(problem_.start))
                note(contract::Severity::note, "start-not-working",
                     "The start, " + format_date(problem_.start) + ", is no working day of '" +
                         name + "'; its work begins on " + format_date(day_of(work.begins(0))) +
                         ".");
            const std::int64_t there = stated_minutes(worker, problem_.start);
            if (minutes <= there && !worker.days.empty()) check_days(w, worker);
            if (minutes > there)
                note(contract::Severity::problem, "days-used-up",
                     "'" + name + "' has " + format_trimmed(static_cast<double>(minutes) / 60, 2) +
                         " hours of work and is there for " +
                         format_trimmed(static_cast<double>(there) / 60, 2) +
                         "; the rest is planned after. Agree on more days or give the work to "
                         "others.");
        }
    }

    /// Work of somebody on a day of which nothing was said, though the stated ones would do.
    void check_days(std::size_t w, const Worker& worker) {
        Date last_there{};
        for (const Worker::Day& day : worker.days) last_there = std::max(last_there, day.date);
        for (const Node& node : network_.nodes) {
            const ScheduledTask& task = out_.tasks[node.task];
            if (node.minutes == 0 || task.finish.date <= last_there ||
                std::find(node.workers.begin(), node.workers.end(), w) == node.workers.end())
                continue;
            note(contract::Severity::problem, "days-too-early",
                 "'" + task_of(node).title + "' is planned on " + format_date(task.start.date) +
                     ", and the last day on which '" + worker.name + "' is there is " +
                     format_date(last_there) + ". Agree on a later day.");
            return;
        }
    }

    /// Work at the client's house on days of which nothing was said.
    void check_site() {
        if (!problem_.site || problem_.site->days.empty()) return;
        Date last_open{}, last{};
        for (const Worker::Day& day : problem_.site->days)
            last_open = std::max(last_open, day.date);
        for (const Node& node : network_.nodes)
            if (task_of(node).on_site && node.minutes > 0)
                last = std::max(last, out_.tasks[node.task].finish.date);
        if (last > last_open)
            note(contract::Severity::problem, "site-closed",
                 "Work at the client's house goes on until " + format_date(last) +
                     ", and the last day on which it is open is " + format_date(last_open) +
                     "; the rest is planned after. Agree on more days (\"site\").");
    }

    void note(contract::Severity severity, std::string code, std::string text) {
        out_.findings.push_back({severity, std::move(code), "", std::move(text)});
    }

    Network network_;
    const ScheduleProblem& problem_;
    std::vector<Network::Times> earliest_;
    std::int64_t finish_;
    std::vector<Network::Times> latest_;
    Schedule out_;
};

} // namespace

Schedule schedule(const ScheduleProblem& problem) {
    return Dating(problem).take();
}

FinishDate::FinishDate(const ScheduleProblem& problem)
    : network_(std::make_shared<const Network>(problem)) {}

Date FinishDate::operator()(const std::map<std::string, Date>& arrivals) const {
    return day_of(network_->finish(network_->forward(arrivals), arrivals));
}

Date finish(const ScheduleProblem& problem) {
    return FinishDate(problem)(problem.arrivals);
}

} // namespace aumbry
