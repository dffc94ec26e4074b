// The working hours of one or several pairs of hands as one long count of minutes.
#pragma once

#include "aumbry/schedule.hpp"

#include <cstdint>
#include <vector>

namespace aumbry::scheduling {

inline constexpr std::int64_t day_minutes = 1440;

/// Minutes that a worker's stated days hold from a date on; what is beyond them falls on other
/// days. No such days: the largest number.
[[nodiscard]] std::int64_t stated_minutes(const Worker& worker, Date start);

/// Moments are minutes since 1970-01-01 00:00; worked minutes count from the day of the start on.
class WorkTime {
  public:
    /// The hours in which all of them are there; at least one.
    WorkTime(std::vector<Worker> workers, Date start);

    /// Minutes that can be worked before a moment.
    [[nodiscard]] std::int64_t worked_until(std::int64_t moment) const;
    /// The moment at which the next minute after `worked` begins: at the start of a day rather than
    /// at the end of the one before. @throws FaultError "no-working-day" when it lies more than
    /// thirty years on.
    [[nodiscard]] std::int64_t begins(std::int64_t worked) const;
    /// The moment at which `worked` minutes are done: at the end of a day rather than at the start
    /// of the next.
    [[nodiscard]] std::int64_t ends(std::int64_t worked) const;

    bool works_on(Date date) const;

  private:
    struct Day {
        std::int64_t begin = 0;  ///< moment
        std::int64_t length = 0; ///< minutes
        std::int64_t before = 0; ///< minutes worked on the days before
    };
    [[noreturn]] void never() const;
    void reach_day(std::size_t day) const;
    void reach_worked(std::int64_t worked) const;

    std::vector<Worker> workers_;
    std::int64_t first_day_;        ///< days since 1970-01-01
    mutable std::vector<Day> days_; // read as far as anybody has asked
};

} // namespace aumbry::scheduling
