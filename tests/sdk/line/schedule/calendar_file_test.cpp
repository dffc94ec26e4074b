// Calendar files: the rules of RFC 5545, and a reader that is not ours (python3-icalendar).
#include "aumbry/calendar_file.hpp"

#include "aumbry/json.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <unistd.h>

#include <cstdio>
#include <fstream>
#include <sstream>

namespace aumbry {
namespace {

using ::testing::HasSubstr;

const std::vector<CalendarEntry> entries = {
    {"task/cut sides",
     "Cut sides; two of them, \\18 mm",
     "First line\nsecond line",
     {"work", "bed, lift"},
     make_date(2027, 3, 1),
     make_date(2027, 3, 3),
     false},
    {"order/kübel",
     "Order Kübel & Söhne, Öl für die Fensterbank – damit es rechtzeitig zum Streichen da ist, 4 × "
     "2½ l",
     "",
     {},
     make_date(2027, 12, 31),
     make_date(2027, 12, 31),
     true},
};

std::string text() {
    return calendar_file("Harbour loft", "harbour-loft", make_date(2027, 2, 1), entries);
}

// RFC 5545, 3.1.
TEST(CalendarFile, LinesEndInCrLfAndAreFoldedAtSeventyFiveOctets) {
    std::istringstream lines(text());
    std::size_t folded = 0;
    for (std::string line; std::getline(lines, line);) {
        ASSERT_FALSE(line.empty());
        EXPECT_EQ(line.back(), '\r');
        line.pop_back();
        EXPECT_LE(line.size(), 75U) << line;
        EXPECT_EQ(line.find('\r'), std::string::npos);
        if (line.front() == ' ') ++folded;
        // No line begins inside a character.
        const std::size_t first = line.front() == ' ' ? 1 : 0;
        EXPECT_NE(static_cast<unsigned char>(line[first]) & 0xc0, 0x80) << line;
    }
    EXPECT_GE(folded, 1U);
}

// RFC 5545, 3.3.11.
TEST(CalendarFile, TextIsEscaped) {
    EXPECT_THAT(text(), HasSubstr("SUMMARY:Cut sides\\; two of them\\, \\\\18 mm\r\n"));
    EXPECT_THAT(text(), HasSubstr("DESCRIPTION:First line\\nsecond line\r\n"));
    EXPECT_THAT(text(), HasSubstr("CATEGORIES:work,bed\\, lift\r\n"));
}

// RFC 5545, 3.6.1: DTEND of whole days is not part of the event.
TEST(CalendarFile, WholeDaysEndOnTheDayAfter) {
    EXPECT_THAT(text(), HasSubstr("DTSTART;VALUE=DATE:20270301\r\nDTEND;VALUE=DATE:20270304\r\n"));
    EXPECT_THAT(text(), HasSubstr("DTSTART;VALUE=DATE:20271231\r\nDTEND;VALUE=DATE:20280101\r\n"));
}

TEST(CalendarFile, TheStampIsTheDayOfPricing) {
    EXPECT_THAT(text(), HasSubstr("DTSTAMP:20270201T000000Z\r\n"));
}

TEST(CalendarFile, IdsThatDifferStayDifferent) {
    const std::string both =
        calendar_file("x", "y", make_date(2027, 2, 1),
                      {{"a/b", "", "", {}, make_date(2027, 3, 1), make_date(2027, 3, 1), false},
                       {"a-b", "", "", {}, make_date(2027, 3, 1), make_date(2027, 3, 1), false}});
    EXPECT_THAT(both, HasSubstr("UID:a_2fb@y\r\n"));
    EXPECT_THAT(both, HasSubstr("UID:a-b@y\r\n"));
}

TEST(CalendarFile, AnotherReaderReadsWhatWasMeant) {
    const std::string path =
        ::testing::TempDir() + "aumbry_calendar_" + std::to_string(::getpid()) + ".ics";
    std::ofstream(path, std::ios::binary) << text();
    const std::string command =
        std::string(SYSTEM_PYTHON) + " '" + CALENDAR_READER + "' '" + path + "'";
    FILE* pipe = ::popen(command.c_str(), "r");
    ASSERT_NE(pipe, nullptr);
    std::string printed;
    for (int c = std::fgetc(pipe); c != EOF; c = std::fgetc(pipe)) printed += static_cast<char>(c);
    ASSERT_EQ(::pclose(pipe), 0) << "python3-icalendar is needed";
    std::remove(path.c_str());
    std::istringstream lines(printed);
    for (const CalendarEntry& entry : entries) {
        std::string line;
        ASSERT_TRUE(std::getline(lines, line));
        const Json event = Json::parse(line);
        EXPECT_EQ(event["summary"], entry.summary);
        EXPECT_EQ(event["description"], entry.description);
        // This reader splits a list after it has taken the escapes out, so only the whole is
        // compared.
        std::string read, meant;
        for (const Json& category : event["categories"]) read += category.get<std::string>() + ',';
        for (const std::string& category : entry.categories) meant += category + ',';
        EXPECT_EQ(read, meant);
        EXPECT_EQ(event["start"], format_date(entry.first));
        EXPECT_EQ(event["end"], format_date(entry.last + std::chrono::days{1}));
        EXPECT_EQ(event["stamp"], "2027-02-01T00:00:00+00:00");
        EXPECT_EQ(event["alarms"], entry.alarm_day_before ? 1 : 0);
    }
}

} // namespace
} // namespace aumbry
