// Calendar file: dates as an iCalendar object (RFC 5545) that any calendar program reads.
#pragma once

#include "aumbry/date.hpp"

#include <string>
#include <vector>

namespace aumbry {

/// Whole days from first to last.
struct CalendarEntry {
    std::string id; ///< unique in the file; the UID is made of it
    std::string summary;
    std::string description;
    std::vector<std::string> categories;
    Date first{};
    Date last{};
    bool alarm_day_before = false; ///< for what must not be missed: order-by dates
};

/// The text, UTF-8, lines ended by CRLF and folded at 75 octets, never inside a character. `stamp`
/// is the DTSTAMP of every entry (midnight UTC): the day on which the estimate was priced, so that
/// the same estimate gives the same bytes. `name` titles the calendar, `domain` completes the UIDs.
[[nodiscard]] std::string calendar_file(const std::string& name, const std::string& domain,
                                        Date stamp, const std::vector<CalendarEntry>& entries);

} // namespace aumbry
