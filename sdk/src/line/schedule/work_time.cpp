#include "line/schedule/work_time.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>
#include <limits>
#include <string>
#include <utility>

namespace aumbry::scheduling {

namespace {

constexpr std::size_t thirty_years = 10'958;

std::int64_t minutes_of(double hours) {
    return std::clamp<std::int64_t>(static_cast<std::int64_t>(round_to(hours * 60, 0)), 0,
                                    day_minutes);
}

/// Of a day, in minutes from its midnight.
struct Hours {
    std::int64_t begin = 0, length = 0;
};

// On its stated days alone; after the last of them as the calendar says.
Hours hours_on(const Worker& worker, Date date) {
    std::int64_t length = 0;
    const bool by_calendar = std::none_of(worker.days.begin(), worker.days.end(),
                                          [&](const auto& day) { return day.date >= date; });
    if (by_calendar) {
        length = minutes_of(worker.calendar.hours_on(date));
    } else {
        for (const Worker::Day& day : worker.days)
            if (day.date == date) length = minutes_of(day.hours);
    }
    return {std::min<std::int64_t>(worker.day_begins, day_minutes - length), length};
}

/// While all of them are there.
Hours hours_together(const std::vector<Worker>& workers, Date date) {
    Hours all = hours_on(workers.front(), date);
    for (std::size_t i = 1; i < workers.size(); ++i) {
        const Hours one = hours_on(workers[i], date);
        const std::int64_t end = std::min(all.begin + all.length, one.begin + one.length);
        all.begin = std::max(all.begin, one.begin);
        all.length = std::max<std::int64_t>(0, end - all.begin);
    }
    return all;
}

} // namespace

std::int64_t stated_minutes(const Worker& worker, Date start) {
    if (worker.days.empty()) return std::numeric_limits<std::int64_t>::max();
    std::int64_t minutes = 0;
    for (const Worker::Day& day : worker.days)
        if (day.date >= start) minutes += minutes_of(day.hours);
    return minutes;
}

WorkTime::WorkTime(std::vector<Worker> workers, Date start)
    : workers_(std::move(workers)), first_day_(start.time_since_epoch().count()) {}

bool WorkTime::works_on(Date date) const {
    return hours_together(workers_, date).length > 0;
}

void WorkTime::never() const {
    std::string names;
    for (const Worker& worker : workers_)
        names += (names.empty() ? "'" : ", '") + worker.name + '\'';
    if (workers_.size() == 1)
        fail("no-working-day", {}, names + " has no working day on which its work could be done",
             "check the hours of its week and its holidays");
    fail("no-working-day", {}, names + " are never there at the same time",
         "check the hours of their weeks, their dates and their holidays");
}

void WorkTime::reach_day(std::size_t day) const {
    while (days_.size() <= day) {
        if (days_.size() >= thirty_years) never();
        const std::int64_t number = first_day_ + static_cast<std::int64_t>(days_.size());
        const auto [begin, length] = hours_together(workers_, Date{std::chrono::days{number}});
        const std::int64_t before = days_.empty() ? 0 : days_.back().before + days_.back().length;
        days_.push_back({number * day_minutes + begin, length, before});
    }
}

void WorkTime::reach_worked(std::int64_t worked) const {
    reach_day(0);
    while (days_.back().before + days_.back().length <= worked) reach_day(days_.size());
}

std::int64_t WorkTime::worked_until(std::int64_t moment) const {
    const std::int64_t day = moment / day_minutes - first_day_;
    if (day < 0) return 0;
    reach_day(static_cast<std::size_t>(day));
    const Day& of = days_[static_cast<std::size_t>(day)];
    return of.before + std::clamp<std::int64_t>(moment - of.begin, 0, of.length);
}

std::int64_t WorkTime::begins(std::int64_t worked) const {
    reach_worked(worked);
    // The first day whose minutes go beyond `worked`.
    const auto day = std::partition_point(
        days_.begin(), days_.end(), [&](const Day& of) { return of.before + of.length <= worked; });
    return day->begin + (worked - day->before);
}

std::int64_t WorkTime::ends(std::int64_t worked) const {
    reach_worked(worked);
    // The first day whose minutes reach `worked`.
    const auto day = std::partition_point(
        days_.begin(), days_.end(), [&](const Day& of) { return of.before + of.length < worked; });
    return day->begin + std::max<std::int64_t>(worked - day->before, 0);
}

} // namespace aumbry::scheduling
