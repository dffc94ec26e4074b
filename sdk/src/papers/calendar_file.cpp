#include "aumbry/calendar_file.hpp"

#include <algorithm>

namespace aumbry {

namespace {

// TEXT of RFC 5545, 3.3.11: backslash, semicolon, comma and line ends are escaped; other control
// characters are left out.
std::string escaped(const std::string& text) {
    std::string out;
    for (const char c : text) {
        if (c == '\\' || c == ';' || c == ',') {
            out += '\\';
            out += c;
        } else if (c == '\n') {
            out += "\\n";
        } else if (static_cast<unsigned char>(c) >= 0x20 && c != 0x7f) {
            out += c;
        } else if (c == '\t') {
            out += ' ';
        }
    }
    return out;
}

// A content line of RFC 5545, 3.1: folded after at most 75 octets, never inside a UTF-8 character.
void add_line(std::string& out, const std::string& line) {
    constexpr std::size_t most = 75;
    std::size_t at = 0;
    std::size_t room = most;
    while (line.size() - at > room) {
        std::size_t end = at + room;
        while (end > at + 1 && (static_cast<unsigned char>(line[end]) & 0xc0) == 0x80) --end;
        out.append(line, at, end - at);
        out += "\r\n ";
        at = end;
        room = most - 1;
    }
    out.append(line, at);
    out += "\r\n";
}

std::string basic(Date date) {
    std::string text = format_date(date);
    std::erase(text, '-');
    return text;
}

// Different ids stay different: what an address may not hold is written as its octets.
std::string uid(const std::string& text) {
    constexpr char digits[] = "0123456789abcdef";
    std::string out;
    for (const char c : text) {
        const auto octet = static_cast<unsigned char>(c);
        if ((c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
            c == '-' || c == '.') {
            out += c;
        } else {
            out += '_';
            out += digits[octet >> 4];
            out += digits[octet & 15];
        }
    }
    return out;
}

} // namespace

std::string calendar_file(const std::string& name, const std::string& domain, Date stamp,
                          const std::vector<CalendarEntry>& entries) {
    std::string out;
    add_line(out, "BEGIN:VCALENDAR");
    add_line(out, "VERSION:2.0");
    add_line(out, "PRODID:-//Aumbry//Estimate//EN");
    add_line(out, "CALSCALE:GREGORIAN");
    add_line(out, "METHOD:PUBLISH");
    add_line(out, "X-WR-CALNAME:" + escaped(name));
    for (const CalendarEntry& entry : entries) {
        add_line(out, "BEGIN:VEVENT");
        add_line(out, "UID:" + uid(entry.id) + "@" + uid(domain));
        add_line(out, "DTSTAMP:" + basic(stamp) + "T000000Z");
        add_line(out, "DTSTART;VALUE=DATE:" + basic(entry.first));
        // The end of a whole-day event is the day after its last.
        add_line(out, "DTEND;VALUE=DATE:" +
                          basic(std::max(entry.first, entry.last) + std::chrono::days{1}));
        add_line(out, "SUMMARY:" + escaped(entry.summary));
        if (!entry.description.empty()) add_line(out, "DESCRIPTION:" + escaped(entry.description));
        if (!entry.categories.empty()) {
            std::string line = "CATEGORIES:";
            for (std::size_t i = 0; i < entry.categories.size(); ++i)
                line += (i > 0 ? "," : "") + escaped(entry.categories[i]);
            add_line(out, line);
        }
        add_line(out, "TRANSP:TRANSPARENT");
        if (entry.alarm_day_before) {
            add_line(out, "BEGIN:VALARM");
            add_line(out, "ACTION:DISPLAY");
            add_line(out, "DESCRIPTION:" + escaped(entry.summary));
            add_line(out, "TRIGGER:-P1D");
            add_line(out, "END:VALARM");
        }
        add_line(out, "END:VEVENT");
    }
    add_line(out, "END:VCALENDAR");
    return out;
}

} // namespace aumbry
