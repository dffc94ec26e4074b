// The working steps as a network with one fixed order, ready to be dated under any arrivals.
//
// What is shared is handed on in a fixed order as well: a pair of hands from task to task, room on
// the rack from those that leave it to those that take it. So both are links of the network, and a
// later arrival never frees anything earlier.
#pragma once

#include "aumbry/schedule.hpp"
#include "line/schedule/work_time.hpp"

#include <cstddef>
#include <cstdint>
#include <map>
#include <utility>

namespace aumbry::scheduling {

inline constexpr std::size_t none = static_cast<std::size_t>(-1);

/// Minutes since 1970-01-01 00:00 by the workshop's clock.
[[nodiscard]] inline std::int64_t start_of(Date date) {
    return std::int64_t{date.time_since_epoch().count()} * day_minutes;
}
[[nodiscard]] inline Date day_of(std::int64_t minute) {
    return Date{std::chrono::days{minute / day_minutes}};
}
[[nodiscard]] inline Moment moment(std::int64_t minute) {
    return {day_of(minute), static_cast<int>(minute % day_minutes)};
}

/// Tasks in an order in which everything comes after what it waits for, its workers' previous tasks
/// and those that leave it room included.
struct Network {
    struct Node {
        std::size_t task = 0;             ///< index in the problem
        std::vector<std::size_t> workers; ///< indices into `worker_names`
        std::size_t hours = 0;            ///< index into `hours`: of all of them together
        std::int64_t minutes = 0;
        std::int64_t wait = 0;
        std::int64_t not_before = 0;
        std::vector<std::size_t> after; ///< nodes
        std::vector<std::size_t> rack;  ///< nodes that leave it room on the rack
        std::vector<std::size_t>
            previous; ///< by `workers`: node done before by the worker, or none
        std::vector<std::string> needs;
    };
    struct Times {
        std::int64_t start = 0;
        std::int64_t finish = 0;
        std::int64_t done = 0;
    };

    ScheduleProblem problem;
    std::vector<std::string> worker_names;
    std::vector<WorkTime> hours;
    std::vector<Node> nodes;

    explicit Network(const ScheduleProblem& problem);

    /// A task that may begin from `ready` on.
    [[nodiscard]] Times place(const Node& node, std::int64_t ready) const;
    [[nodiscard]] std::int64_t ready(const Node& node, const std::vector<Times>& times,
                                     const std::map<std::string, Date>& arrivals) const;
    /// Earliest times, by node.
    [[nodiscard]] std::vector<Times> forward(const std::map<std::string, Date>& arrivals) const;
    /// Latest times that keep `finish`, by node.
    [[nodiscard]] std::vector<Times> backward(std::int64_t finish) const;
    /// The job is done when all work is and everything bought is there, needed by a task or not.
    [[nodiscard]] std::int64_t finish(const std::vector<Times>& times,
                                      const std::map<std::string, Date>& arrivals) const;

  private:
    void read_tasks();
    [[nodiscard]] std::size_t worker_index(const std::string& name);
    [[nodiscard]] std::size_t hours_of(const std::vector<std::size_t>& workers, bool on_site);

    std::vector<Worker> workers_; ///< by `worker_names`
    std::map<std::pair<std::vector<std::size_t>, bool>, std::size_t> known_hours_;
    std::vector<Node> drafts_; ///< of each task, before any order
    std::vector<std::vector<std::size_t>> after_;

    friend class Ordering;
};

} // namespace aumbry::scheduling
