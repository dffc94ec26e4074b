// Dates against ISO 8601 examples; working-day calendars against a calendar on paper.
#include "aumbry/date.hpp"
#include "fault_of.hpp"

#include <gtest/gtest.h>

#include <cstdio>
#include <ctime>

using namespace aumbry;
using std::chrono::days;

namespace {

Date on(std::string_view text) {
    return parse_date(text);
}

} // namespace

TEST(Date, IsoWeekDates) {
    // ISO 8601 week date examples; week 1 has the first Thursday of the year.
    EXPECT_EQ(iso_week(on("2005-01-01")), (IsoWeek{2004, 53, 6}));
    EXPECT_EQ(iso_week(on("2005-01-03")), (IsoWeek{2005, 1, 1}));
    EXPECT_EQ(iso_week(on("2026-11-23")), (IsoWeek{2026, 48, 1}));
    EXPECT_EQ(iso_week(on("2024-12-30")), (IsoWeek{2025, 1, 1}));
    EXPECT_EQ(iso_week(on("2004-05-03")), (IsoWeek{2004, 19, 1}));
    EXPECT_EQ(day_of_year(on("2026-11-23")), 327);
    EXPECT_EQ(day_of_year(on("2004-05-03")), 124);
    EXPECT_EQ(day_of_year(on("2024-12-31")), 366);
    EXPECT_EQ(weekday(on("2026-11-23")), 1);
    EXPECT_EQ(weekday_name(weekday(on("2005-01-01"))), "Saturday");
    EXPECT_EQ(weekday_name(0), "");
}

TEST(Date, WeekDatesAgreeWithTheCLibraryForTwoCenturies) {
    // strftime of the C library, ISO C: %G and %V are the week-based year and week of ISO 8601.
    for (Date date = on("1970-01-01"); date < on("2170-01-01"); date += days(1)) {
        const std::time_t time = std::chrono::system_clock::to_time_t(date);
        std::tm parts{};
        gmtime_r(&time, &parts);
        char text[40];
        std::strftime(text, sizeof text, "%Y-%m-%d %G %V %u %j", &parts);
        const IsoWeek week = iso_week(date);
        char ours[80];
        std::snprintf(ours, sizeof ours, "%s %04d %02d %d %03d", format_date(date).c_str(),
                      week.year, week.week, week.weekday, day_of_year(date));
        ASSERT_STREQ(ours, text);
    }
}

TEST(Date, ReadsAndPrintsIso8601) {
    for (const char* text : {"1900-01-01", "2000-02-29", "2024-02-29", "2027-03-01", "9999-12-31"})
        EXPECT_EQ(format_date(on(text)), text);
    EXPECT_EQ(format_date(on("2027-02-28") + days(1)), "2027-03-01");
}

TEST(Date, RefusesWhatIsNoDate) {
    for (const char* text :
         {"", "2027", "2027-3-1", "2027-02-29", "1900-02-29", "2027-13-01", "2027-00-10",
          "2027-04-31", "2027-01-00", "27-01-01", "01.03.2027", "2027/03/01", "2027-03-01T00:00",
          " 2027-03-01", "2027-03-1x", "-027-03-01", "0000-01-01", "1899-12-31", "\xff"})
        EXPECT_EQ(fault_of([&] { parse_date(text); }).code, "bad-date") << text;
    EXPECT_EQ(fault_of([] { parse_date("2027-02-29"); }).wrong, "there is no date 2027-02-29");
    EXPECT_EQ(fault_of([] { parse_date("01.03.2027"); }).right,
              "write year-month-day, such as 2027-03-01");
}

TEST(WorkCalendar, WeekendsAreSkipped) {
    const WorkCalendar calendar; // Monday to Friday; 2027-03-01 is a Monday
    EXPECT_TRUE(calendar.is_working(on("2027-03-05")));
    EXPECT_FALSE(calendar.is_working(on("2027-03-06")));
    EXPECT_EQ(format_date(calendar.next_working(on("2027-03-06"))), "2027-03-08");
    EXPECT_EQ(format_date(calendar.next_working(on("2027-03-05"))), "2027-03-05");
    EXPECT_EQ(format_date(calendar.previous_working(on("2027-03-07"))), "2027-03-05");
    EXPECT_EQ(format_date(calendar.add_working_days(on("2027-03-05"), 0)), "2027-03-05");
    EXPECT_EQ(format_date(calendar.add_working_days(on("2027-03-05"), 1)), "2027-03-08");
    EXPECT_EQ(format_date(calendar.add_working_days(on("2027-03-06"), 0)), "2027-03-08");
    EXPECT_EQ(format_date(calendar.add_working_days(on("2027-03-06"), 1)), "2027-03-09");
    EXPECT_EQ(format_date(calendar.add_working_days(on("2027-03-01"), 10)), "2027-03-15");
    EXPECT_EQ(format_date(calendar.add_working_days(on("2027-03-08"), -1)), "2027-03-05");
    EXPECT_EQ(format_date(calendar.add_working_days(on("2027-03-06"), -1)), "2027-03-05");
    EXPECT_EQ(calendar.working_days_between(on("2027-03-01"), on("2027-03-15")), 10);
    EXPECT_EQ(calendar.working_days_between(on("2027-03-15"), on("2027-03-01")), 0);
}

TEST(WorkCalendar, HolidaysAndPartTimeWeeks) {
    // Works Tuesday to Thursday, half of Thursday; away 2027-03-09 to 2027-03-11 and on 2027-03-16.
    const WorkCalendar calendar({0, 8, 8, 4, 0, 0, 0}, {{on("2027-03-16"), on("2027-03-16")},
                                                        {on("2027-03-09"), on("2027-03-11")}});
    EXPECT_EQ(calendar.hours_on(on("2027-03-04")), 4);
    EXPECT_EQ(calendar.hours_on(on("2027-03-09")), 0);
    EXPECT_TRUE(calendar.is_holiday(on("2027-03-10")));
    EXPECT_FALSE(calendar.is_holiday(on("2027-03-12")));
    EXPECT_EQ(format_date(calendar.next_working(on("2027-03-05"))), "2027-03-17");
    EXPECT_EQ(format_date(calendar.add_working_days(on("2027-03-03"), 2)), "2027-03-17");
}

TEST(WorkCalendar, OverlappingHolidaysAreOne) {
    const WorkCalendar a({8, 8, 8, 8, 8, 0, 0}, {{on("2027-12-24"), on("2027-12-31")},
                                                 {on("2027-12-25"), on("2027-12-26")},
                                                 {on("2028-01-01"), on("2028-01-02")}});
    const WorkCalendar b({8, 8, 8, 8, 8, 0, 0}, {{on("2027-12-24"), on("2028-01-02")}});
    EXPECT_EQ(a, b);
    EXPECT_EQ(format_date(a.next_working(on("2027-12-24"))), "2028-01-03");
}

TEST(WorkCalendar, AStartOnAHolidayMovesToTheNextWorkingDay) {
    const WorkCalendar calendar({8, 8, 8, 8, 8, 0, 0}, {{on("2027-05-01"), on("2027-05-03")}});
    EXPECT_EQ(format_date(calendar.next_working(on("2027-05-01"))), "2027-05-04");
}

TEST(WorkCalendar, ACalendarWithoutWorkingDayIsAFault) {
    EXPECT_EQ(fault_of([] { WorkCalendar({0, 0, 0, 0, 0, 0, 0}, {}); }).code, "no-working-day");
    const WorkCalendar never({8, 8, 8, 8, 8, 8, 8}, {{on("1990-01-01"), on("2100-12-31")}});
    const Fault fault = fault_of([&] { (void)never.next_working(on("2027-03-01")); });
    EXPECT_EQ(fault.code, "no-working-day");
    EXPECT_EQ(fault.wrong, "the calendar has no working day within ten years of 2027-03-01");
    EXPECT_EQ(fault_of([&] { (void)never.previous_working(on("2027-03-01")); }).code,
              "no-working-day");
    EXPECT_EQ(fault_of([] { (void)WorkCalendar().add_working_days(on("2027-03-01"), 10001); }).code,
              "no-working-day");
}

TEST(WorkCalendar, BadHoursAndHolidaysAreFaults) {
    EXPECT_EQ(fault_of([] { WorkCalendar({25, 8, 8, 8, 8, 0, 0}, {}); }).code, "bad-calendar");
    EXPECT_EQ(fault_of([] { WorkCalendar({-1, 8, 8, 8, 8, 0, 0}, {}); }).code, "bad-calendar");
    EXPECT_EQ(fault_of([] {
                  WorkCalendar({8, 8, 8, 8, 8, 0, 0}, {{on("2027-01-02"), on("2027-01-01")}});
              }).wrong,
              "a holiday ends on 2027-01-01 before it begins on 2027-01-02");
}
