#include "aumbry/csv.hpp"
#include "aumbry/json.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <random>

namespace aumbry::csv {
namespace {

using testing::ElementsAre;
using Row = std::vector<std::string>;

std::string fixture(const std::string& name) {
    std::ifstream in(std::string(AUMBRY_FIXTURES) + "/" + name, std::ios::binary);
    EXPECT_TRUE(in) << name;
    return {std::istreambuf_iterator<char>(in), {}};
}

struct Table {
    std::vector<Row> rows; ///< the header first
    std::vector<int> numbers;
    std::vector<int> lines;
    std::vector<std::string> faults;
    char separator = 0;
};

Table read(std::string text) {
    decode(text, "t.csv");
    Reader reader(text, "t.csv");
    Table table;
    table.separator = reader.separator();
    table.rows.emplace_back(reader.header().begin(), reader.header().end());
    while (reader.next()) {
        table.rows.emplace_back(reader.fields().begin(), reader.fields().end());
        table.numbers.push_back(reader.row());
        table.lines.push_back(reader.line());
    }
    for (const RowFault& fault : reader.faults()) table.faults.push_back(fault.fault.sentence());
    return table;
}

std::string fault_of(const std::string& text) {
    try {
        const Table table = read(text);
        return table.faults.empty() ? "" : table.faults.front();
    } catch (const FaultError& error) {
        return error.what();
    }
}

// The examples of RFC 4180 (October 2005), section 2, by the number of their rule.

TEST(Rfc4180, Rule1RecordsEndWithCrlf) {
    EXPECT_THAT(read("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n").rows,
                ElementsAre(Row{"aaa", "bbb", "ccc"}, Row{"zzz", "yyy", "xxx"}));
}

TEST(Rfc4180, Rule2TheLastRecordMayLackItsLineEnd) {
    EXPECT_THAT(read("aaa,bbb,ccc\r\nzzz,yyy,xxx").rows,
                ElementsAre(Row{"aaa", "bbb", "ccc"}, Row{"zzz", "yyy", "xxx"}));
}

TEST(Rfc4180, Rule3TheFirstRecordIsTheHeader) {
    EXPECT_THAT(read("field_name,field_name2,field_name3\r\naaa,bbb,ccc\r\nzzz,yyy,xxx\r\n").rows,
                ElementsAre(Row{"field_name", "field_name2", "field_name3"},
                            Row{"aaa", "bbb", "ccc"}, Row{"zzz", "yyy", "xxx"}));
}

TEST(Rfc4180, Rule4SpacesArePartOfAField) {
    EXPECT_THAT(read("a,b,c\r\naaa, bbb ,ccc\r\n").rows.back(), ElementsAre("aaa", " bbb ", "ccc"));
}

TEST(Rfc4180, Rule4EveryRecordHasTheSameNumberOfFields) {
    EXPECT_EQ(fault_of("a,b,c\r\naaa,bbb\r\n"),
              "t.csv:2: row 2: 2 fields where the header has 3; write every field, empty ones too");
    EXPECT_EQ(fault_of("a,b,c\r\naaa,bbb,ccc,\r\n"),
              "t.csv:2: row 2: 4 fields where the header has 3; put fields that hold the separator "
              "in quotes");
}

TEST(Rfc4180, Rule5FieldsMayBeQuoted) {
    EXPECT_THAT(
        read("a,b,c\r\n\"aaa\",\"bbb\",\"ccc\"\r\nzzz,yyy,xxx").rows,
        ElementsAre(Row{"a", "b", "c"}, Row{"aaa", "bbb", "ccc"}, Row{"zzz", "yyy", "xxx"}));
}

TEST(Rfc4180, Rule5AFieldThatIsNotQuotedHoldsNoQuote) {
    EXPECT_EQ(fault_of("a,b\r\n3/4\" ply,x\r\n"),
              "t.csv:2: row 2, column a: a quote inside a field that does not begin with one; put "
              "the field in quotes and double the quotes inside it");
}

TEST(Rfc4180, Rule6QuotedFieldsHoldLineBreaksAndSeparators) {
    EXPECT_THAT(
        read("a,b,c\r\n\"aaa\",\"b\r\nbb\",\"c,c\"\r\nzzz,yyy,xxx").rows,
        ElementsAre(Row{"a", "b", "c"}, Row{"aaa", "b\r\nbb", "c,c"}, Row{"zzz", "yyy", "xxx"}));
}

TEST(Rfc4180, Rule7AQuoteInsideIsDoubled) {
    EXPECT_THAT(read("a,b,c\r\n\"aaa\",\"b\"\"bb\",\"ccc\"").rows.back(),
                ElementsAre("aaa", "b\"bb", "ccc"));
    EXPECT_THAT(read("a,b\r\n\"\"\"\",\"\"\"\"\"\"\r\n").rows.back(), ElementsAre("\"", "\"\""));
}

TEST(Rfc4180, Erratum5714NoSpaceFollowsAClosingQuote) {
    EXPECT_EQ(
        fault_of("a,b\r\n\"x\" ,y\r\n"),
        "t.csv:2: row 2, column a: a space after the closing quote; end the field at the quote");
    EXPECT_EQ(fault_of("a,b\r\n\"x\"y,y\r\n"), "t.csv:2: row 2, column a: text after the closing "
                                               "quote; double the quotes inside the field");
}

TEST(Csv, AQuoteThatIsNeverClosedCostsOneRow) {
    const Table table = read("a,b\r\n1,one\r\n2,\"two\r\n3,three\r\n4,four\r\n");
    EXPECT_THAT(table.rows,
                ElementsAre(Row{"a", "b"}, Row{"1", "one"}, Row{"3", "three"}, Row{"4", "four"}));
    EXPECT_THAT(table.faults,
                ElementsAre("t.csv:3: row 3, column b: the quote that opens this field is never "
                            "closed; close it, and double the quotes inside the field"));
}

TEST(Csv, AQuoteThatMeetsOneFarBelowCostsTwoRows) {
    const Table table = read("a,b\n1,\"one\n2,two\n3,three\n4,\"four\"\n5,five\n");
    EXPECT_THAT(table.rows, ElementsAre(Row{"a", "b"}, Row{"2", "two"}, Row{"3", "three"},
                                        Row{"4", "four"}, Row{"5", "five"}));
    EXPECT_EQ(table.faults.size(), 1u);
}

TEST(Csv, AMillionCharacterFieldIsRefusedAndTheRestIsRead) {
    const std::string long_text(1'000'000, 'x');
    Table table = read("a,b\r\n1," + long_text + "\r\n2,two\r\n");
    EXPECT_THAT(table.rows, ElementsAre(Row{"a", "b"}, Row{"2", "two"}));
    EXPECT_THAT(
        table.faults,
        ElementsAre("t.csv:2: row 2, column b: a field of 1000000 bytes; at most 65536 are read"));
    table = read("a,b\r\n1,\"" + long_text + "\"\r\n2,two\r\n");
    EXPECT_THAT(table.rows, ElementsAre(Row{"a", "b"}, Row{"2", "two"}));
    EXPECT_THAT(table.faults, ElementsAre("t.csv:2: row 2, column b: a quoted field of more than "
                                          "65536 bytes; close its quote, or shorten it"));
}

TEST(Csv, TheLongestFieldIsReadAndOneByteMoreIsNot) {
    const std::string longest(longest_field, 'x');
    EXPECT_EQ(read("a,b\n1," + longest + "\n").rows.back().back().size(), longest_field);
    EXPECT_EQ(read("a,b\n1,\"" + longest + "\"\n").rows.back().back().size(), longest_field);
    EXPECT_NE(fault_of("a,b\n1," + longest + "x\n"), "");
    EXPECT_NE(fault_of("a,b\n1,\"" + longest + "x\"\n"), "");
}

TEST(Csv, ANulIsRefusedAndTheRestIsRead) {
    using namespace std::string_literals;
    const Table table =
        read("a,b\r\n1,o\0ne\r\n2,\"t\0wo\"\r\n3,three, and a NUL in no field\0\r\n4,four\r\n"s);
    EXPECT_THAT(table.rows, ElementsAre(Row{"a", "b"}, Row{"4", "four"}));
    EXPECT_THAT(table.faults, ElementsAre("t.csv:2: row 2, column b: a NUL character; remove it",
                                          "t.csv:3: row 3, column b: a NUL character; remove it",
                                          "t.csv:4: row 4: a NUL character; remove it"));
}

TEST(Csv, RowsAreCountedAsASpreadsheetDoesAndLinesAsAnEditorDoes) {
    const Table table = read("a,b\n1,\"one\nand\r\na half\"\n\n2,two\n,\n3,three\n");
    EXPECT_THAT(table.numbers, ElementsAre(2, 4, 6));
    EXPECT_THAT(table.lines, ElementsAre(2, 6, 8));
}

TEST(Csv, LineEndsMayBeCrlfLfOrCr) {
    const std::vector<Row> expected = {{"a", "b"}, {"1", "2"}, {"3", "4"}};
    EXPECT_EQ(read("a,b\r\n1,2\r\n3,4\r\n").rows, expected);
    EXPECT_EQ(read("a,b\n1,2\n3,4\n").rows, expected);
    EXPECT_EQ(read("a,b\r1,2\r3,4\r").rows, expected);
    EXPECT_EQ(read("\n\na,b\n\n1,2\n,\n3,4\n\n\n").rows, expected);
}

TEST(Csv, TheSeparatorIsFoundOutsideQuotesOfTheHeader) {
    EXPECT_EQ(read("a;\"b,c,d,e\";f\n1;2;3\n").separator, ';');
    EXPECT_EQ(read("a\tb;c\td\n1\t2\t3\n").separator, '\t');
    EXPECT_EQ(read("only\n1\n").separator, ',');
}

TEST(Csv, ALoneEmptyFieldInQuotesIsARow) {
    EXPECT_THAT(read("a\n\"\"\n\nx\n").rows, ElementsAre(Row{"a"}, Row{""}, Row{"x"}));
}

TEST(Csv, WhatStandsAboveTheHeaderIsPassedOver) {
    // A cell with line breaks is one row of a spreadsheet; a stray quote in a title harms nothing;
    // the separator is that of the header.
    for (const std::string end : {"\r\n", "\n", "\r"}) {
        std::string text = "\"Quay Timber" + end + "Quay 4, \"\"the shed\"\"\";;" + end +
                           "prices, from 3/4\" up, all of them" + end + end + "a;b" + end + "1;2" +
                           end;
        Reader reader(text, "t.csv", 0, 4);
        EXPECT_THAT(reader.header(), ElementsAre("a", "b"));
        ASSERT_TRUE(reader.next());
        EXPECT_THAT(reader.fields(), ElementsAre("1", "2"));
        EXPECT_EQ(reader.row(), 5);
        EXPECT_EQ(reader.line(), 6);
        EXPECT_TRUE(reader.faults().empty());
    }
    std::string text = "title\na,b\n";
    EXPECT_THROW(Reader(text, "t.csv", 0, 9), FaultError);
}

TEST(Csv, AnEmptyTextHasNoHeader) {
    EXPECT_EQ(fault_of(""), "t.csv: the table is empty; begin it with a header row");
    EXPECT_EQ(fault_of("\n\n,,\n"), "t.csv: the table is empty; begin it with a header row");
    EXPECT_EQ(fault_of(" ,\t\n"), "t.csv: the table is empty; begin it with a header row");
    EXPECT_EQ(fault_of("a,\"b\n1,2\n"), "t.csv:1: row 1: the quote that opens this field is never "
                                        "closed; close it, and double the quotes inside the field");
}

// Tables written by Python's csv module; what is in them, by its json module
// (fixtures/make_fixtures.py).

class CsvOfAnotherProgram : public testing::TestWithParam<std::pair<const char*, char>> {};

TEST_P(CsvOfAnotherProgram, IsReadToTheLastByte) {
    const auto [name, separator] = GetParam();
    const Table table = read(fixture(std::string(name) + ".csv"));
    EXPECT_EQ(table.separator, separator);
    EXPECT_THAT(table.faults, ElementsAre());
    const std::vector<Row> expected =
        parse_json(fixture(std::string(name) + ".json")).get<std::vector<Row>>();
    ASSERT_EQ(expected.size(), 121u);
    EXPECT_EQ(table.rows, expected);
}

INSTANTIATE_TEST_SUITE_P(Separators, CsvOfAnotherProgram,
                         testing::Values(std::pair{"comma", ','}, std::pair{"semicolon", ';'},
                                         std::pair{"tab", '\t'}),
                         [](const auto& one) { return std::string(one.param.first); });

TEST(Encoding, Latin1IsRecognisedAndBecomesUtf8) {
    std::string latin1 = fixture("list_latin1.csv");
    const std::string utf8 = fixture("list_utf8.csv");
    ASSERT_NE(latin1, utf8);
    EXPECT_EQ(decode(latin1, "t.csv"), Encoding::latin1);
    EXPECT_EQ(latin1, utf8);
}

TEST(Encoding, Utf8IsTakenWithAndWithoutByteOrderMark) {
    std::string marked = fixture("list_utf8_bom.csv");
    const std::string plain = fixture("list_utf8.csv");
    ASSERT_EQ(marked.size(), plain.size() + 3);
    EXPECT_EQ(decode(marked, "t.csv"), Encoding::utf8);
    EXPECT_EQ(marked, plain);
}

TEST(Encoding, WindowsCharactersOfLatin1AreKept) {
    std::string text = fixture("list_windows.csv");
    EXPECT_EQ(decode(text, "t.csv"), Encoding::latin1);
    EXPECT_EQ(text, "sku,description\r\nA,\"5 € – “gut”\"\r\n");
}

TEST(Encoding, Utf16IsRefusedWithASentence) {
    EXPECT_EQ(fault_of(fixture("list_utf16.csv")),
              "t.csv: the text is UTF-16; save it as CSV in UTF-8");
}

TEST(Encoding, BytesThatOnlyLookLikeUtf8AreLatin1) {
    // Overlong, surrogate, beyond U+10FFFF, cut short (Unicode 15, table 3-7, of well-formed
    // sequences).
    for (const std::string bytes :
         {"\xC0\xAF", "\xED\xA0\x80", "\xF4\x90\x80\x80", "\xE2\x82", "\x80"}) {
        std::string text = "aaaaaaaa" + bytes;
        EXPECT_EQ(decode(text, "t.csv"), Encoding::latin1) << bytes;
    }
    std::string good = "aaaaaaa\xE2\x82\xAC\xF4\x8F\xBF\xBF\xEE\x80\x80";
    EXPECT_EQ(decode(good, "t.csv"), Encoding::utf8);
}

TEST(BeginningOf, CutsBetweenCharacters) {
    const std::string long_name = "x" + std::string(30, 'y') + "Åäöåäöåäöåäöåäöåäöåäöåäöåäö";
    EXPECT_EQ(beginning_of(long_name), long_name.substr(0, 79) + "...");
    EXPECT_EQ(beginning_of("a\r\nb"), "a  b");
}

TEST(WriteRecord, ReadsBackAsItWas) {
    std::mt19937_64 random(4180);
    const std::string alphabet = "ab ,;\t\"\"\n\r'";
    for (int round = 0; round < 2000; ++round) {
        const char separator = ",;\t"[random() % 3];
        const std::size_t columns = 1 + random() % 4;
        std::vector<Row> rows;
        std::string text;
        for (std::size_t r = 0; r < 1 + random() % 4; ++r) {
            Row row;
            for (std::size_t c = 0; c < columns; ++c) {
                std::string field = c == 0 ? "x" : "";
                for (std::size_t i = random() % 6; i > 0; --i)
                    field += alphabet[random() % alphabet.size()];
                // Names of columns are trimmed.
                if (r == 0) field += '.';
                row.push_back(field);
            }
            text += write_record(row, separator);
            rows.push_back(std::move(row));
        }
        Reader reader(text, "t.csv", separator);
        std::vector<Row> back = {{reader.header().begin(), reader.header().end()}};
        while (reader.next()) back.emplace_back(reader.fields().begin(), reader.fields().end());
        for (std::string& name : rows.front()) name.erase(0, name.find_first_not_of(" \t"));
        ASSERT_EQ(back, rows) << text;
        ASSERT_TRUE(reader.faults().empty());
    }
}

} // namespace
} // namespace aumbry::csv
