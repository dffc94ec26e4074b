#include "aumbry/date.hpp"

#include "aumbry/fault.hpp"
#include "values/excerpt.hpp"

#include <algorithm>
#include <cmath>

namespace aumbry {

using std::chrono::days;
using std::chrono::year_month_day;

namespace {

constexpr int longest_search = 3653; // ten years in days

int number(std::string_view digits) {
    int value = 0;
    for (const char c : digits) {
        if (c < '0' || c > '9') return -1;
        value = value * 10 + (c - '0');
    }
    return value;
}

std::string padded(int value, std::size_t width) {
    std::string text = std::to_string(value);
    return text.size() < width ? std::string(width - text.size(), '0') + text : text;
}

[[noreturn]] void no_working_day(Date from) {
    fail("no-working-day", {},
         "the calendar has no working day within ten years of " + format_date(from),
         "give hours to at least one weekday and shorten the holidays");
}

} // namespace

Date make_date(int year, int month, int day) {
    const year_month_day date{std::chrono::year(year),
                              std::chrono::month(static_cast<unsigned>(month)),
                              std::chrono::day(static_cast<unsigned>(day))};
    if (year < 1900 || year > 9999 || month < 1 || day < 1 || !date.ok())
        fail("bad-date", {},
             "there is no date " + padded(year, 4) + "-" + padded(month, 2) + "-" + padded(day, 2),
             "write a date of the calendar from 1900-01-01 on");
    return date;
}

Date parse_date(std::string_view text) {
    const bool shaped = text.size() == 10 && text[4] == '-' && text[7] == '-';
    const int year = shaped ? number(text.substr(0, 4)) : -1;
    const int month = shaped ? number(text.substr(5, 2)) : -1;
    const int day = shaped ? number(text.substr(8, 2)) : -1;
    if (year < 0 || month < 0 || day < 0)
        fail("bad-date", {}, in_quotes(text) + " is not a date",
             "write year-month-day, such as 2027-03-01");
    return make_date(year, month, day);
}

std::string format_date(Date date) {
    const year_month_day parts{date};
    return padded(static_cast<int>(parts.year()), 4) + "-" +
           padded(static_cast<int>(static_cast<unsigned>(parts.month())), 2) + "-" +
           padded(static_cast<int>(static_cast<unsigned>(parts.day())), 2);
}

int weekday(Date date) {
    return static_cast<int>(std::chrono::weekday(date).iso_encoding());
}

std::string_view weekday_name(int weekday) {
    static constexpr std::string_view names[] = {"Monday", "Tuesday",  "Wednesday", "Thursday",
                                                 "Friday", "Saturday", "Sunday"};
    return weekday >= 1 && weekday <= 7 ? names[weekday - 1] : std::string_view{};
}

int day_of_year(Date date) {
    const Date new_year{year_month_day{date}.year() / std::chrono::January / 1};
    return static_cast<int>((date - new_year).count()) + 1;
}

IsoWeek iso_week(Date date) {
    // The Thursday of the same week decides the year.
    const Date thursday = date + days(4 - weekday(date));
    return {static_cast<int>(year_month_day{thursday}.year()), (day_of_year(thursday) - 1) / 7 + 1,
            weekday(date)};
}

WorkCalendar::WorkCalendar() : WorkCalendar({8, 8, 8, 8, 8, 0, 0}, {}) {}

WorkCalendar::WorkCalendar(const std::array<double, 7>& hours, std::vector<DateRange> holidays)
    : hours_(hours) {
    bool any = false;
    for (const double h : hours) {
        if (!std::isfinite(h) || h < 0 || h > 24)
            fail("bad-calendar", {}, "a weekday has hours below 0 or above 24",
                 "give 0 to 24 hours a day");
        any = any || h > 0;
    }
    if (!any)
        fail("no-working-day", {}, "the calendar has no working day",
             "give hours to at least one weekday");
    std::sort(holidays.begin(), holidays.end(),
              [](const DateRange& a, const DateRange& b) { return a.first < b.first; });
    for (const DateRange& range : holidays) {
        if (range.last < range.first)
            fail("bad-calendar", {},
                 "a holiday ends on " + format_date(range.last) + " before it begins on " +
                     format_date(range.first),
                 "swap the two dates");
        if (!holidays_.empty() && range.first <= holidays_.back().last + days(1))
            holidays_.back().last = std::max(holidays_.back().last, range.last);
        else
            holidays_.push_back(range);
    }
}

bool WorkCalendar::is_holiday(Date date) const {
    const auto after =
        std::upper_bound(holidays_.begin(), holidays_.end(), date,
                         [](Date d, const DateRange& range) { return d < range.first; });
    return after != holidays_.begin() && date <= std::prev(after)->last;
}

double WorkCalendar::hours_on(Date date) const {
    const double hours = hours_[static_cast<std::size_t>(weekday(date) - 1)];
    return hours > 0 && !is_holiday(date) ? hours : 0;
}

Date WorkCalendar::next_working(Date date) const {
    for (int i = 0; i <= longest_search; ++i)
        if (is_working(date + days(i))) return date + days(i);
    no_working_day(date);
}

Date WorkCalendar::previous_working(Date date) const {
    for (int i = 0; i <= longest_search; ++i)
        if (is_working(date - days(i))) return date - days(i);
    no_working_day(date);
}

Date WorkCalendar::add_working_days(Date date, int count) const {
    constexpr int most = 10000;
    if (count > most || count < -most)
        fail("no-working-day", {},
             std::to_string(count) + " working days from " + format_date(date) +
                 " are out of reach",
             "count at most 10000 working days");
    Date at = next_working(date);
    for (int i = 0; i < count; ++i) at = next_working(at + days(1));
    for (int i = 0; i > count; --i) at = previous_working(at - days(1));
    return at;
}

int WorkCalendar::working_days_between(Date first, Date end) const {
    int count = 0;
    for (Date at = first; at < end; at += days(1)) count += is_working(at) ? 1 : 0;
    return count;
}

} // namespace aumbry
