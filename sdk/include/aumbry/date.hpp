// Calendar dates, written ISO 8601, and calendars of working days.
#pragma once

#include <array>
#include <chrono>
#include <string>
#include <string_view>
#include <vector>

namespace aumbry {

/// A calendar date (proleptic Gregorian).
using Date = std::chrono::sys_days;

/// Reads 'yyyy-mm-dd', years 1900 to 9999, real dates only. Throws FaultError "bad-date".
Date parse_date(std::string_view text);
/// 'yyyy-mm-dd'.
std::string format_date(Date date);
/// The date of year, month 1..12, day 1..31. Throws "bad-date".
Date make_date(int year, int month, int day);

/// The week date of ISO 8601: week 1 holds the first Thursday of its year.
struct IsoWeek {
    int year = 0;
    int week = 0;    ///< 1..53
    int weekday = 0; ///< 1 Monday .. 7 Sunday

    bool operator==(const IsoWeek&) const = default;
};
IsoWeek iso_week(Date date);
/// 1 Monday .. 7 Sunday.
int weekday(Date date);
/// "Monday" .. "Sunday" for 1..7.
std::string_view weekday_name(int weekday);
/// 1 .. 366.
int day_of_year(Date date);

/// Days from first to last, both included.
struct DateRange {
    Date first{};
    Date last{};

    bool operator==(const DateRange&) const = default;
};

/// When somebody works: hours for each weekday, less holidays.
class WorkCalendar {
  public:
    /// Monday to Friday, eight hours, no holidays.
    WorkCalendar();
    /// Hours from Monday to Sunday, each 0..24, and holidays in any order. Throws FaultError
    /// "bad-calendar" for hours out of range or a range that ends before it begins,
    /// "no-working-day" when every weekday has no hours.
    WorkCalendar(const std::array<double, 7>& hours, std::vector<DateRange> holidays);

    [[nodiscard]] bool is_holiday(Date date) const;
    [[nodiscard]] bool is_working(Date date) const { return hours_on(date) > 0; }
    [[nodiscard]] double hours_on(Date date) const;

    /// `date` when it is a working day, else the first one after. A search longer than ten years:
    /// "no-working-day".
    [[nodiscard]] Date next_working(Date date) const;
    /// `date` when it is a working day, else the last one before.
    [[nodiscard]] Date previous_working(Date date) const;
    /// The working day `days` working days after next_working(date); 0 is next_working(date)
    /// itself, negative counts back.
    [[nodiscard]] Date add_working_days(Date date, int days) const;
    /// Working days from `first` up to but not including `end`; 0 when end is not after first.
    [[nodiscard]] int working_days_between(Date first, Date end) const;

    bool operator==(const WorkCalendar&) const = default;

  private:
    std::array<double, 7> hours_;     ///< Monday first
    std::vector<DateRange> holidays_; ///< sorted, apart from each other
};

} // namespace aumbry
