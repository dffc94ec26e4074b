// What a maker reads when a project is at fault: every sentence word by word.
#include "aumbry/catalog.hpp"
#include "aumbry/line.hpp"
#include "aumbry/plugin_host.hpp"
#include "aumbry/project.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>
#include <vector>

namespace aumbry {
namespace {

PluginHost& host() {
    static PluginHost shared({AUMBRY_TEST_PLUGINS});
    return shared;
}

/// A sound project of one line; `%` stands for what a case puts in.
std::string project_with(const std::string& lines, const std::string& more = "") {
    return R"({ "aumbry": 1, "title": "Test", "currency": "EUR", "priced_on": "2027-02-01", "start": "2027-03-01",
"pieces": { "bench": { "title": "Bench" } },
"parameters": { "ease": "8 mm", "heavy": "3 kg", "none": "0 mm" },
)" + more + R"("lines": {
)" + lines +
           "\n} }\n";
}

/// The kinds of the modules that are built here, in order of module.
std::string known_kinds() {
    std::string kinds;
    for (const contract::Description& module : host().modules()) {
        for (const contract::LineKind& kind : module.line_kinds)
            kinds += (kinds.empty() ? "" : ", ") + kind.kind;
    }
    return kinds;
}

std::vector<std::string> sentences(const std::string& text, const std::string& alternative = "") {
    try {
        Project project = read_project(text, "job.aumbry.json");
        if (!alternative.empty()) project = with_alternative(project, alternative);
        (void)estimate(project, host(), Catalog());
        return {};
    } catch (const FaultError& error) {
        std::vector<std::string> list;
        for (const Fault& fault : error.faults()) list.push_back(fault.sentence());
        return list;
    }
}

std::string only_sentence(const std::string& text, const std::string& alternative = "") {
    const std::vector<std::string> list = sentences(text, alternative);
    EXPECT_EQ(list.size(), 1U) << ::testing::PrintToString(list);
    return list.empty() ? std::string() : list.front();
}

struct LineCase {
    const char* name;
    const char* line;     ///< members of a line of kind item
    const char* sentence; ///< without file, line and column
};

class FaultyLine : public ::testing::TestWithParam<LineCase> {};

TEST_P(FaultyLine, IsSaidInOneSentenceWithItsPlace) {
    const std::string sentence = only_sentence(project_with(
        std::string(R"("rail": { "kind": "item", "type": "rail", )") + GetParam().line + " }"));
    const std::string lead = "job.aumbry.json:5:";
    ASSERT_TRUE(sentence.starts_with(lead)) << sentence;
    EXPECT_EQ(sentence.substr(sentence.find(": /") + 2), GetParam().sentence);
}

INSTANTIATE_TEST_SUITE_P(
    Cases, FaultyLine,
    ::testing::Values(
        LineCase{"unknown_key", R"("lenght": "2 m")",
                 "/lines/rail/lenght: unknown key 'lenght'; did you mean 'length'?"},
        LineCase{"unknown_unit", R"("length": "2 mn")",
                 "/lines/rail/length: 'mn' in '2 mn' is not a known unit; did you mean 'mm'?"},
        LineCase{"negative", R"("length": "-280 mm")",
                 "/lines/rail/length: -280 mm is too small; write more than 0 mm"},
        LineCase{"zero", R"("length": "0 mm")",
                 "/lines/rail/length: 0 mm is too small; write more than 0 mm"},
        LineCase{"absurd", R"("length": "90 m")",
                 "/lines/rail/length: 90000 mm is too large; write at most 50000 mm"},
        LineCase{"bare_number", R"("length": 280)",
                 "/lines/rail/length: the number 280 has no unit where a length is expected; write "
                 "the unit, as in '280 mm' or '11 in'"},
        LineCase{"unknown_name", R"("length": "2 m + eas")",
                 "/lines/rail/length: unknown name 'eas'; did you mean 'ease'?"},
        LineCase{"division_by_zero", R"x("length": "2 m * (ease / none)")x",
                 "/lines/rail/length: division by zero in '(ease / none)'; check the divisor"},
        LineCase{"wrong_dimension", R"("length": "2 kg")",
                 "/lines/rail/length: found a mass where a length is expected; write a length, as "
                 "in '280 mm' or '11 in'"},
        LineCase{"null", R"("length": null)",
                 "/lines/rail/length: null is no value; write a value or leave the key out"},
        LineCase{"not_whole", R"("count": "5 / 2")",
                 "/lines/rail/count: 2.5 is not a whole number; write a whole number"},
        LineCase{"no_count", R"("count": 0)",
                 "/lines/rail/count: 0 is too small; write at least 1"},
        // It left the line unpriced and blamed the module.
        LineCase{"price_beyond_all", R"("price": "5000000000000", "quoted_by": "Somebody")",
                 "/lines/rail/price: 5000000000000 is too large; write an amount of at most "
                 "1000000000000"},
        LineCase{"unknown_piece", R"("piece": "bnech")",
                 "/lines/rail/piece: there is no piece 'bnech'; did you mean 'bench'?"},
        LineCase{"needless_material", R"("material": "carcase")",
                 "/lines/rail/material: a line of kind 'item' takes no material; take it out"}),
    [](const auto& one) { return std::string(one.param.name); });

TEST(FaultyProject, DimensionClashNamesBothSides) {
    EXPECT_EQ(
        only_sentence(
            project_with(R"("rail": { "kind": "item", "type": "rail", "length": "ease + heavy" })"))
            .substr(0, 60),
        "job.aumbry.json:5:43: /lines/rail/length: cannot add length ");
}

TEST(FaultyProject, LoopOfFormulasIsListed) {
    EXPECT_EQ(
        only_sentence(project_with(R"("a": { "kind": "item", "type": "rail", "length": "b.length" },
"b": { "kind": "item", "type": "rail", "length": "a.length + 1 mm" })")),
        "job.aumbry.json:5:40: /lines/a/length: the value depends on itself: a.length -> b.length "
        "-> a.length; give one of them a "
        "value of its own");
}

TEST(FaultyProject, ParameterThatNeedsItselfIsALoop) {
    EXPECT_EQ(
        only_sentence(
            R"({ "aumbry": 1, "title": "T", "currency": "EUR", "priced_on": "2027-02-01", "start": "2027-03-01",
"parameters": { "x": "x + 1 mm" } })"),
        "job.aumbry.json:2:17: /parameters/x: the value depends on itself: x -> x; give one of "
        "them a value of its own");
}

TEST(FaultyProject, UnknownKindNamesTheNearest) {
    EXPECT_EQ(
        only_sentence(project_with(R"("rail": { "kind": "itme" })")),
        "job.aumbry.json:5:11: /lines/rail/kind: unknown line kind 'itme'; did you mean 'item'?");
}

TEST(FaultyProject, MissingKindIsSaid) {
    EXPECT_EQ(
        only_sentence(project_with(R"("rail": { "type": "rail" })")),
        "job.aumbry.json:5:1: /lines/rail: the line 'rail' has no kind; add \"kind\", one of: " +
            known_kinds());
}

TEST(FaultyProject, AllFaultsOfAFileComeInOneRun) {
    EXPECT_EQ(
        sentences(
            project_with(R"("rail": { "kind": "item", "type": "rail", "lenght": "2 m", "count": 0 },
"other": { "kind": "itme" })"))
            .size(),
        3U);
}

TEST(FaultyProject, ExtraKeysAreKeptInPeace) {
    EXPECT_THAT(sentences(project_with(
                    R"("rail": { "kind": "item", "type": "rail", "x-shelf": { "mine": null } })",
                    R"("x-note": 5, )")),
                ::testing::IsEmpty());
}

TEST(FaultyProject, DuplicateKeyIsPlacedAtTheSecond) {
    EXPECT_EQ(only_sentence("{ \"aumbry\": 1,\n  \"aumbry\": 1 }"),
              "job.aumbry.json:2:3: /aumbry: the key 'aumbry' is written twice; keep one of them");
}

TEST(FaultyProject, NewerVersionAsksForAnUpdate) {
    EXPECT_EQ(only_sentence(R"({ "aumbry": 2 })"),
              "job.aumbry.json:1:3: /aumbry: the project is of version 2, this program reads "
              "version 1; update Aumbry");
}

TEST(FaultyProject, UnknownCurrencyIsSaid) {
    const std::string sentence = only_sentence(
        R"({ "aumbry": 1, "title": "T", "currency": "EUX", "priced_on": "2027-02-01", "start": "2027-03-01" })");
    EXPECT_TRUE(sentence.starts_with("job.aumbry.json:1:30: /currency: ")) << sentence;
}

TEST(FaultyProject, DateThatDoesNotExistIsSaid) {
    const std::string sentence = only_sentence(
        R"({ "aumbry": 1, "title": "T", "currency": "EUR", "priced_on": "2027-02-30", "start": "2027-03-01" })");
    EXPECT_TRUE(sentence.starts_with("job.aumbry.json:1:49: /priced_on: ")) << sentence;
}

TEST(FaultyProject, AmountTooLargeForExactMoneyIsSaid) {
    const std::string sentence = only_sentence(project_with(
        R"("rail": { "kind": "item", "type": "rail", "price": "999999999999", "count": 100000 })"));
    EXPECT_EQ(sentence, "job.aumbry.json:4:1: /lines: an amount of money is too large to be "
                        "computed exactly; use amounts below "
                        "9 000 000 000 000 000 000 minor units and at most 12 decimals");
}

TEST(FaultyProject, TasksThatWaitForEachOtherAreListed) {
    const std::string sentence = only_sentence(
        project_with(R"("rail": { "kind": "item", "type": "rail" })",
                     R"("tasks": { "a": { "after": ["b"] }, "b": { "after": ["a"] } }, )"));
    EXPECT_EQ(sentence, "job.aumbry.json:4:1: /tasks: the work waits for itself: 'a' after 'b' "
                        "after 'a'; take one of these out");
}

TEST(Alternative, MayNotChangeTheCurrency) {
    EXPECT_EQ(
        only_sentence(
            project_with(R"("rail": { "kind": "item", "type": "rail" })",
                         R"("alternatives": { "usd": { "changes": { "currency": "USD" } } }, )"),
            "usd"),
        "job.aumbry.json:4:41: /alternatives/usd/changes/currency: an alternative cannot change "
        "'currency'; take it out of the changes");
}

TEST(Alternative, DeletingWhatIsNotThereIsAFault) {
    EXPECT_EQ(
        only_sentence(
            project_with(
                R"("rail": { "kind": "item", "type": "rail" })",
                R"("alternatives": { "less": { "changes": { "lines": { "rial": null } } } }, )"),
            "less"),
        "job.aumbry.json:4:53: /alternatives/less/changes/lines/rial: there is no 'rial' to "
        "delete; did you mean 'rail'?");
}

TEST(Alternative, NewLineNeedsAKind) {
    EXPECT_EQ(
        only_sentence(
            project_with(
                R"("rail": { "kind": "item", "type": "rail" })",
                R"("alternatives": { "more": { "changes": { "lines": { "foot": { "type": "foot" } } } } }, )"),
            "more"),
        "job.aumbry.json:4:53: /alternatives/more/changes/lines/foot: the new line 'foot' has no "
        "kind; add \"kind\", or name a line of the project");
}

TEST(Alternative, UnknownOneNamesTheNearest) {
    EXPECT_EQ(only_sentence(project_with(R"("rail": { "kind": "item", "type": "rail" })",
                                         R"("alternatives": { "poplar": { "changes": {} } }, )"),
                            "popler"),
              "job.aumbry.json: there is no alternative 'popler'; did you mean 'poplar'?");
}

TEST(Alternative, FaultOfAChangeIsPlacedInTheChange) {
    const std::string sentence = only_sentence(
        project_with(
            R"("rail": { "kind": "item", "type": "rail", "length": "2 m" })",
            R"("alternatives": { "bad": { "changes": { "lines": { "rail": { "length": "2 kg" } } } } }, )"),
        "bad");
    EXPECT_TRUE(
        sentence.starts_with("job.aumbry.json:4:62: /alternatives/bad/changes/lines/rail/length: "))
        << sentence;
}

TEST(Alternative, ChangeOfKindReplacesTheWholeLine) {
    const Project base = read_project(
        project_with(
            R"("rail": { "kind": "item", "type": "rail", "length": "2 m" })",
            R"("alternatives": { "hire": { "changes": { "lines": { "rail": { "kind": "service", "type": "saw hire" } } } } }, )"),
        "job.aumbry.json");
    const Project changed = with_alternative(base, "hire");
    EXPECT_EQ(changed.document["lines"]["rail"].dump(), R"({"kind":"service","type":"saw hire"})");
}

// The kind of a line that is a text was asked for as if it were an object.
TEST(Alternative, MayGiveAKindToALineThatIsAText) {
    const Project base = read_project(
        project_with(
            R"("rail": "two metres")",
            R"("alternatives": { "item": { "changes": { "lines": { "rail": { "kind": "item", "type": "rail" } } } } }, )"),
        "job.aumbry.json");
    const Project changed = with_alternative(base, "item");
    EXPECT_EQ(changed.document["lines"]["rail"].dump(), R"({"kind":"item","type":"rail"})");
}

TEST(Alternative, MayGiveAKindToALineThatHasNone) {
    const Project base = read_project(
        project_with(
            R"("rail": { "type": "rail" })",
            R"("alternatives": { "item": { "changes": { "lines": { "rail": { "kind": "item", "price": "3" } } } } }, )"),
        "job.aumbry.json");
    const Project changed = with_alternative(base, "item");
    EXPECT_EQ(changed.document["lines"]["rail"].dump(), R"({"kind":"item","price":"3"})");
    EXPECT_EQ(base.document["lines"]["rail"].dump(), R"({"type":"rail"})");
}

// It was said that the name had no value, as if nobody could give it one.
TEST(FaultyProject, AWorkshopOverADerivedValueSaysWhatComesFirst) {
    const std::string workshop = R"("workshop": { "heaviest_blank": "2 * rail.mass" }, )";
    EXPECT_EQ(
        only_sentence(project_with(R"("rail": { "kind": "item", "type": "rail" })", workshop)),
        "job.aumbry.json:4:15: /workshop/heaviest_blank: the name 'rail.mass' has no value yet: it "
        "rests on what modules derive from lines, and they are told this before they derive "
        "anything; write a value, or a formula over names that rest on no derived value");
    EXPECT_THAT(sentences(project_with(
                    R"("rail": { "kind": "item", "type": "rail", "mass": "3 kg" })", workshop)),
                ::testing::IsEmpty());
}

TEST(FaultyProject, ManyFaultsOfOnePieceAreEachPlaced) {
    std::string lines;
    for (int i = 0; i < 2000; ++i)
        lines += (i == 0 ? "" : ",\n") + std::string("\"r") + std::to_string(i) +
                 R"(": { "kind": "item", "type": "rail", "piece": "shed" })";
    const std::vector<std::string> list = sentences(project_with(lines));
    ASSERT_EQ(list.size(), 2000U);
    EXPECT_EQ(list.back(), "job.aumbry.json:2004:44: /lines/r1999/piece: there is no piece 'shed'; "
                           "add it under \"pieces\"");
}

} // namespace
} // namespace aumbry
