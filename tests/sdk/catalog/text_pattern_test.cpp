#include "aumbry/fault.hpp"
#include "aumbry/text_pattern.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry {
namespace {

using testing::ElementsAre;
using testing::Pair;

TextPattern::Reading any(std::string_view) {
    return {};
}

/// Digits and letters of a unit, as many as there are.
TextPattern::Reading measures(std::string_view name) {
    if (name == "grade" || name == "species") return {};
    return {[](std::string_view text) {
                const std::size_t digits =
                    std::min(text.find_first_not_of("0123456789"), text.size());
                const std::string_view unit = text.substr(digits);
                return digits > 0 && (unit.empty() || unit == "mm" || unit == " mm");
            },
            true};
}

TextPattern::Values taken_apart(const std::string& pattern, const std::string& text,
                                const TextPattern::Readings& readings = any) {
    return TextPattern::parse(pattern)
        .match(text, readings)
        .value_or(TextPattern::Values{{"no", "match"}});
}

std::string fault_of(const std::string& pattern) {
    try {
        (void)TextPattern::parse(pattern);
        return "";
    } catch (const FaultError& error) {
        return error.what();
    }
}

TEST(TextPattern, TakesADescriptionApart) {
    const std::string pattern = "{thickness} {grade} {length}x{width}";
    const auto expected = ElementsAre(Pair("thickness", "18mm"), Pair("grade", "BB/BB"),
                                      Pair("length", "2440"), Pair("width", "1220"));
    EXPECT_THAT(taken_apart(pattern, "18mm BB/BB 2440x1220"), expected);
    EXPECT_THAT(taken_apart(pattern, "  18mm   BB/BB 2440 X 1220 "), expected);
    EXPECT_THAT(taken_apart(pattern, "18mm\u00A0BB/BB 2440 × 1220"), expected);
    EXPECT_THAT(taken_apart(pattern, "18mm 2440x1220"), ElementsAre(Pair("no", "match")));
}

TEST(TextPattern, ANumberKeepsItsUnit) {
    EXPECT_THAT(
        taken_apart("{thickness} {grade} {length}x{width}", "18 mm BB/BB 2440 x 1220 mm", measures),
        ElementsAre(Pair("thickness", "18 mm"), Pair("grade", "BB/BB"), Pair("length", "2440"),
                    Pair("width", "1220 mm")));
}

TEST(TextPattern, WhatIsAcceptedDecidesBetweenReadings) {
    EXPECT_THAT(
        taken_apart("{species} {thickness} {}", "Red oak prime 27 mm 2 sides planed", measures),
        ElementsAre(Pair("species", "Red oak prime"), Pair("thickness", "27 mm")));
    EXPECT_THAT(taken_apart("{species} {thickness} {}", "Red oak prime 27 mm planed"),
                ElementsAre(Pair("species", "Red"), Pair("thickness", "oak")));
}

TEST(TextPattern, BracketsMayBeAbsent) {
    const std::string pattern = "ply {thickness}[, {grade}][ ({})]";
    EXPECT_THAT(taken_apart(pattern, "Ply 18"), ElementsAre(Pair("thickness", "18")));
    EXPECT_THAT(taken_apart(pattern, "PLY 18, BB"),
                ElementsAre(Pair("thickness", "18"), Pair("grade", "BB")));
    EXPECT_THAT(taken_apart(pattern, "ply 18, BB (special offer)"),
                ElementsAre(Pair("thickness", "18"), Pair("grade", "BB")));
}

TEST(TextPattern, DoubledBracesAndBracketsAreThemselves) {
    EXPECT_THAT(taken_apart("[[{sku}]] {{{grade}}}", "[A1] {BB}"),
                ElementsAre(Pair("sku", "A1"), Pair("grade", "BB")));
}

TEST(TextPattern, FaultsSayWhatWouldBeRight) {
    EXPECT_EQ(fault_of("{a"), "the pattern '{a' opens a brace that it does not close; write "
                              "{name}, or {{ for a brace itself");
    EXPECT_EQ(fault_of("a}"), "the pattern 'a}' closes a brace that it did not open; write {name}, "
                              "or }} for a brace itself");
    EXPECT_EQ(fault_of("[a"), "the pattern '[a' opens a bracket that it does not close; write ] "
                              "behind what may be absent, or [[ for a bracket itself");
    EXPECT_EQ(fault_of("a]"), "the pattern 'a]' closes a bracket that it did not open; write [ "
                              "before what may be absent, or ]] for a bracket itself");
    EXPECT_EQ(fault_of("{a}{b}"), "the pattern '{a}{b}' has two values with nothing between them; "
                                  "write what stands between them");
    EXPECT_EQ(fault_of("{a} {a}"), "the pattern '{a} {a}' names 'a' twice; name it once, and write "
                                   "{} for text that is not kept");
}

TEST(TextPattern, ALongTextThatFitsNothingIsRefusedInTime) {
    // Without remembering what failed this would take longer than anybody lives.
    std::string pattern, text;
    for (int i = 0; i < 40; ++i) pattern += "{v" + std::to_string(i) + "}a";
    for (int i = 0; i < 250; ++i) text += "ab";
    EXPECT_EQ(TextPattern::parse(pattern + "!").match(text, any), std::nullopt);
}

} // namespace
} // namespace aumbry
