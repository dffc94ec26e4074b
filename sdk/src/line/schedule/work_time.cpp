#include "line/schedule/work_time.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>
#include <limits>

namespace aumbry::scheduling {

namespace {

constexpr std::size_t thirty_years = 10'958;

std::int64_t minutes_of(double hours) {
    return std::clamp<std::int64_t>(static_cast<std::int64_t>(round_to(hours * 60, 0)), 0,
                                    day_minutes);
}

} // namespace

WorkTime::WorkTime(const Worker& worker, Date start)
    : worker_(worker), first_day_(start.time_since_epoch().count()),
      stated_minutes_(std::numeric_limits<std::int64_t>::max()) {
    std::sort(worker_.days.begin(), worker_.days.end(),
              [](const auto& a, const auto& b) { return a.date < b.date; });
    if (!worker_.days.empty()) {
        stated_minutes_ = 0;
        for (const Worker::Day& day : worker_.days)
            if (day.date >= start) stated_minutes_ += minutes_of(day.hours);
    }
}

// On its stated days alone; after the last of them as the calendar says.
std::int64_t WorkTime::length_on(Date date) const {
    if (worker_.days.empty() || date > worker_.days.back().date)
        return minutes_of(worker_.calendar.hours_on(date));
    for (const Worker::Day& day : worker_.days)
        if (day.date == date) return minutes_of(day.hours);
    return 0;
}

bool WorkTime::works_on(Date date) const {
    return length_on(date) > 0;
}

void WorkTime::reach_day(std::size_t day) const {
    while (days_.size() <= day) {
        if (days_.size() >= thirty_years)
            fail("no-working-day", {},
                 "'" + worker_.name + "' has no working day on which its work could be done",
                 "check the hours of its week and its holidays");
        const std::int64_t number = first_day_ + static_cast<std::int64_t>(days_.size());
        const std::int64_t length = length_on(Date{std::chrono::days{number}});
        const std::int64_t begin = std::min<std::int64_t>(worker_.day_begins, day_minutes - length);
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
