#include "line/estimate/weeks.hpp"

#include "aumbry/rounding.hpp"

#include <algorithm>
#include <chrono>
#include <map>

namespace aumbry {
namespace {

constexpr int day_begins = 480; // 08:00, as Worker says

Date monday_of(Date date) {
    return date - std::chrono::days(weekday(date) - 1);
}

bool is_of_maker(const NetworkStep& step) {
    return std::find(step.who.begin(), step.who.end(), "maker") != step.who.end();
}

/// Minutes of a step by day. What no day has room for, as where the client's house is open for
/// longer than the workshop, stands on the last.
std::map<Date, double> by_day(double minutes, const ScheduledTask& dates,
                              const WorkCalendar& calendar) {
    std::map<Date, double> days;
    for (Date day = dates.start.date; day < dates.finish.date; day += std::chrono::days(1)) {
        const double end = day_begins + calendar.hours_on(day) * 60;
        const double begin = day == dates.start.date ? dates.start.minute : day_begins;
        const double worked = std::min(minutes, std::max(0.0, end - begin));
        if (worked > 0) days[day] = worked;
        minutes -= worked;
    }
    if (minutes > 0) days[dates.finish.date] += minutes;
    return days;
}

} // namespace

std::vector<EstimateWeek> weeks_of(const Resolved& project, const std::vector<EstimateCash>& cash,
                                   const WorkPlan& work) {
    const Money none = Money::zero(project.currency);
    std::map<Date, EstimateWeek> weeks;
    const auto week_of = [&](Date date) -> EstimateWeek& {
        const Date from = monday_of(date);
        return weeks.try_emplace(from, EstimateWeek{from, none, none, 0}).first->second;
    };
    for (const EstimateCash& row : cash) {
        EstimateWeek& week = week_of(row.date);
        if (row.amount.is_negative())
            week.in -= row.amount;
        else
            week.out += row.amount;
    }
    const WorkCalendar& calendar = project.people.front().calendar;
    for (std::size_t i = 0; i < work.steps.size(); ++i) {
        if (!is_of_maker(work.steps[i]) || work.steps[i].minutes <= 0) continue;
        for (const auto& [day, minutes] :
             by_day(work.steps[i].minutes, work.schedule.tasks[i], calendar))
            week_of(day).hours += minutes / 60;
    }
    for (const Worked& past : project.worked)
        if (past.on && past.who == "maker") week_of(*past.on).hours += past.minutes / 60;
    std::vector<EstimateWeek> rows;
    if (weeks.empty()) return rows;
    for (Date from = weeks.begin()->first; from <= weeks.rbegin()->first;
         from += std::chrono::days(7)) {
        EstimateWeek& week = week_of(from);
        week.hours = round_to(week.hours, 2);
        rows.push_back(week);
    }
    return rows;
}

} // namespace aumbry
