// Schedule: the stage that turns deliveries and working steps into dates and a critical path.
//
// Work passes in the hours of whoever does it, waiting (glue, drying) through nights and holidays.
// Each pair of hands does its tasks in one fixed order, found before any real arrival is known, so
// a later arrival never gives an earlier finish: finish() is monotone, and the latest of what each
// arrival alone leads to.
#pragma once

#include "aumbry/contract.hpp"
#include "aumbry/date.hpp"

#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace aumbry {

namespace scheduling {
struct Network;
}

/// A day and the minute of that day, 0 to 1440.
struct Moment {
    Date date{};
    int minute = 0;

    auto operator<=>(const Moment&) const = default;
};

/// A working step.
struct Task {
    std::string id;
    std::string title;
    std::vector<std::string> pieces;
    std::vector<std::string> workers = {"maker"}; ///< all of them at the same time
    double minutes = 0; ///< hands-on time of each person, not negative; rounded to whole minutes
    double wait_minutes = 0; ///< unattended, from the end of the hands-on time, by the clock
    double rack = 0;         ///< of the problem's rack, from its begin until its waiting is over
    bool on_site = false;    ///< in the hours of the problem's site alone
    std::vector<std::string> after; ///< ids of tasks that must be done, their waiting included
    std::vector<std::string>
        needs; ///< arrivals that must be in hand; those not in the problem's arrivals are
    std::optional<Date> not_before;
};

/// A pair of hands.
struct Worker {
    /// A day on which it is to be had.
    struct Day {
        Date date{};
        double hours = 8;
    };
    std::string name;
    WorkCalendar calendar;
    std::vector<Day> days; ///< when not empty, only these; more work than they hold goes on by
                           ///< `calendar`, with a finding
    int day_begins = 480;  ///< minute of the day, 08:00
};

struct ScheduleProblem {
    Date start{};
    std::vector<Worker> workers; ///< a worker not named here works as the default WorkCalendar says
    double rack = 0;             ///< what can lie on it at once; 0: everything
    std::optional<Worker> site;  ///< when work can be done there; absent: always
    std::vector<Task> tasks; ///< where two could begin at the same moment, the one named first does
    std::map<std::string, Date> arrivals; ///< in hand when the day's work begins
    /// Arrivals to go by in fixing the order of work: the same whatever is bought, such as the
    /// earliest possible ones.
    std::map<std::string, Date> expected;
};

/// The dates of a task. Earliest: as planned; latest: the latest that does not delay the finish.
struct ScheduledTask {
    std::string id;
    Moment start;
    Moment finish; ///< of the hands-on time
    Moment done;   ///< waiting included
    Moment latest_start;
    Moment latest_finish; ///< of the hands-on time
    Moment latest_done;   ///< waiting included
    /// Working minutes between start and latest start; by the clock where it takes no work.
    std::int64_t slack_minutes = 0;
    int slack_days = 0;    ///< whole working days of its workers between start and latest start
    bool critical = false; ///< no slack
    std::string waits_for; ///< what decided its start: "task ID", "arrival ID", "worker NAME",
                           ///< "rack", "date", "start"
};

struct Schedule {
    std::vector<ScheduledTask> tasks; ///< in the order of the problem
    std::vector<std::string>
        critical_path; ///< from what begins it: "arrival ID" or a task id, then task ids
    std::map<std::string, Date>
        latest_arrivals; ///< latest that do not delay the finish, of those that a task needs
    std::map<std::string, std::vector<std::string>> order; ///< by worker: task ids as worked
    Moment finish;                                         ///< when the last task is done
    Date ready{};                                          ///< its day
    std::vector<contract::Finding> findings;
};

/// Dates of all tasks.
/// @throws FaultError "task-cycle" that lists the loop, "unknown-task", "duplicate-task",
/// "bad-duration", "no-working-day".
[[nodiscard]] Schedule schedule(const ScheduleProblem& problem);

/// The finish day under any arrivals, the problem's own left aside: read once, quick to ask often.
/// Copies share what they have read of the calendars: not safe to ask from several threads at once,
/// not even copies; a thread makes its own from the problem. Faults as schedule().
class FinishDate {
  public:
    explicit FinishDate(const ScheduleProblem& problem);
    [[nodiscard]] Date operator()(const std::map<std::string, Date>& arrivals) const;

  private:
    std::shared_ptr<const scheduling::Network> network_;
};

/// The finish day of the problem.
[[nodiscard]] Date finish(const ScheduleProblem& problem);

} // namespace aumbry
