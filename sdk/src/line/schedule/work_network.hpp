// The working steps as a network with one fixed order, ready to be dated under any arrivals.
#pragma once

#include "aumbry/schedule.hpp"
#include "line/schedule/work_time.hpp"

#include <cstddef>
#include <cstdint>

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

/// Tasks in an order in which everything comes after what it waits for, its worker's previous task
/// included.
struct Network {
    struct Node {
        std::size_t task = 0;   ///< index in the problem
        std::size_t worker = 0; ///< index into `workers`
        std::int64_t minutes = 0;
        std::int64_t wait = 0;
        std::int64_t not_before = 0;
        std::vector<std::size_t> after; ///< nodes
        std::size_t previous = none;    ///< node that its worker does before
        std::vector<std::string> needs;
    };
    struct Times {
        std::int64_t start = 0;
        std::int64_t finish = 0;
        std::int64_t done = 0;
    };

    ScheduleProblem problem;
    std::vector<std::string> worker_names;
    std::vector<WorkTime> workers;
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
    std::size_t worker_index(const std::string& name);
    void fix_order();
};

} // namespace aumbry::scheduling
