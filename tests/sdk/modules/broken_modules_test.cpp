// What one bad datum of a module does to an estimate: its line is not priced, with a sentence that
// names the module, and everything else stands.
#include "aumbry/catalog.hpp"
#include "aumbry/line.hpp"
#include "aumbry/plugin_host.hpp"
#include "aumbry/project.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <string>
#include <vector>

namespace aumbry {
namespace {

PluginHost& host() {
    static PluginHost shared({BRITTLE});
    return shared;
}

struct Rod {
    std::string id;
    std::string trouble = "none";
    std::string group = "a";
};

Estimate price(const std::vector<Rod>& rods) {
    std::string lines;
    for (const Rod& rod : rods)
        lines += (lines.empty() ? "" : ",\n") + ('"' + rod.id) +
                 R"(": { "kind": "brittle.rod", "trouble": ")" + rod.trouble + R"(", "group": ")" +
                 rod.group + "\" }";
    const std::string text = R"({ "aumbry": 1, "title": "Rods", "currency": "EUR",
"priced_on": "2027-02-01", "start": "2027-03-01", "lines": { )" +
                             lines + " } }";
    return estimate(read_project(text, "rods.aumbry.json"), host(), Catalog());
}

std::string why_not(const Estimate& made, const std::string& id) {
    for (const EstimateLine& line : made.lines) {
        if (line.id == id) return line.not_priced;
    }
    return "there is no such line";
}

std::string cost_of(const Estimate& made, const std::string& id) {
    for (const EstimateLine& line : made.lines) {
        if (line.id == id) return line.cost.str();
    }
    return "there is no such line";
}

std::vector<std::string> problems(const Estimate& made) {
    std::vector<std::string> texts;
    for (const EstimateFinding& finding : made.findings) {
        if (finding.severity == contract::Severity::problem) texts.push_back(finding.text);
    }
    return texts;
}

struct Trouble {
    const char* name;
    const char* reason; ///< goes on from "module 'brittle' "
};

class OneBadLine : public testing::TestWithParam<Trouble> {};

// One fault in derive used to take every line of the module with it, and one in take_off the group.
TEST_P(OneBadLine, IsNotPricedAndItsNeighboursAre) {
    const Estimate made =
        price({{"first"}, {"bad", GetParam().name}, {"second"}, {"apart", "none", "b"}});
    EXPECT_EQ(why_not(made, "bad"), std::string("module 'brittle' ") + GetParam().reason);
    EXPECT_EQ(cost_of(made, "bad"), "0.00");
    for (const char* sound : {"first", "second", "apart"}) {
        EXPECT_EQ(why_not(made, sound), "") << sound;
        EXPECT_EQ(cost_of(made, sound), "10.00") << sound;
    }
    const std::string named = std::string(GetParam().name).ends_with("refuses")
                                  ? "; it is not priced."
                                  : "; the line 'bad' is not priced.";
    EXPECT_THAT(problems(made),
                testing::ElementsAre(std::string("Module 'brittle' ") + GetParam().reason + named));
}

INSTANTIATE_TEST_SUITE_P(
    Each, OneBadLine,
    testing::Values(
        Trouble{"derive throws", "failed in derive: derive of bad broke"},
        Trouble{"derive refuses", "refuses the line 'bad': the rod is too long"},
        Trouble{"derive cancels",
                "stopped in derive as if it were cancelled, which nobody asked for"},
        Trouble{"undeclared value",
                "gave a reply to derive that cannot be used: the derived value 'colour' of line "
                "'bad' is not declared"},
        Trouble{"take_off throws", "failed in take_off: take_off of bad broke"},
        Trouble{"take_off refuses", "refuses the line 'bad': no saw cuts it\\u001b[31m"},
        Trouble{"price is no decimal",
                "gave a reply to take_off that cannot be used: the stated price of demand 'bad' is "
                "no decimal: '12,50' is not a decimal number"},
        Trouble{"price below zero",
                "gave a reply to take_off that cannot be used: the stated price of demand 'bad' is "
                "-1, less than 0"},
        Trouble{"late",
                "gave a reply to take_off that cannot be used: the lead days of the stated price "
                "of demand 'bad' are 4000000000, more than 3650"},
        Trouble{"early",
                "gave a reply to take_off that cannot be used: the stated price of demand 'bad' "
                "has negative days until it is in hand"},
        Trouble{"unknown unit",
                "gave a reply to take_off that cannot be used: demand 'bad' has the unit 'cubits', "
                "which nobody knows"},
        Trouble{"huge amount", "gave a reply to take_off that cannot be used: demand 'bad' is "
                               "1000000000000, more than 1000000000"},
        Trouble{"huge mass",
                "gave a reply to derive that cannot be used: the derived value 'mass' of line "
                "'bad' is 1000000000000000000, more than 1000000000000000"},
        Trouble{"huge share",
                "gave a reply to take_off that cannot be used: a share of demand 'bad' is "
                "1000000000000, more than 1000000000"},
        Trouble{"endless work",
                "gave a reply to take_off that cannot be used: the minutes of step 'bad.work' is "
                "1000000000000, more than 5000000"},
        Trouble{"crowd",
                "gave a reply to take_off that cannot be used: the people of step 'bad.work' are "
                "1000000000000, more than 1000"},
        Trouble{"row in cubits",
                "gave a reply to take_off that cannot be used: quantity 'bad.count' has the unit "
                "'cubits', which nobody knows"}),
    [](const auto& tried) {
        std::string name = tried.param.name;
        std::replace(name.begin(), name.end(), ' ', '_');
        return name;
    });

TEST(BrokenModules, StepsThatWaitInVainTakeTheirGroupWithThem) {
    for (const auto& [trouble, reason] :
         {std::pair{"after nothing", "step 'bad.work' comes after 'dream', which is none of the "
                                     "module's steps"},
          std::pair{"needs nothing", "step 'bad.work' needs 'gold', which is none of the module's "
                                     "demands"},
          std::pair{"waits for itself", "its steps wait for each other in a circle: bad.work -> "
                                        "bad.work"}}) {
        const Estimate made = price({{"first"}, {"bad", trouble, "b"}});
        const std::string said =
            std::string("gave a reply to take_off that cannot be used: ") + reason;
        EXPECT_EQ(why_not(made, "bad"), "module 'brittle' " + said);
        EXPECT_EQ(cost_of(made, "first"), "10.00");
        EXPECT_THAT(problems(made), testing::ElementsAre("Module 'brittle' " + said +
                                                         "; the line 'bad' is not priced."));
    }
}

// A step called alike in two groups used to end the whole estimate and to blame the user's tasks.
TEST(BrokenModules, OfTwoGroupsWithOneIdTheLaterIsNotPriced) {
    for (const auto& [trouble, what] : {std::pair{"same demand", "a demand called 'rod'"},
                                        std::pair{"same step", "a step called 'work'"},
                                        std::pair{"same row", "a quantity called 'rods'"}}) {
        const Estimate made = price({{"first", trouble, "a"}, {"second", trouble, "b"}});
        EXPECT_EQ(why_not(made, "first"), "");
        EXPECT_EQ(cost_of(made, "first"), "10.00");
        EXPECT_EQ(why_not(made, "second"),
                  std::string("module 'brittle' gave a reply to take_off that cannot be used: two "
                              "groups have ") +
                      what);
    }
}

TEST(BrokenModules, LinesThatFailTogetherOnlyAreNotPricedTogether) {
    const Estimate made = price({{"first", "pair throws"}, {"second"}, {"apart", "none", "b"}});
    EXPECT_EQ(why_not(made, "first"), "module 'brittle' failed in take_off: a pair of first broke");
    EXPECT_EQ(why_not(made, "second"), why_not(made, "first"));
    EXPECT_EQ(cost_of(made, "apart"), "10.00");
    EXPECT_THAT(problems(made),
                testing::ElementsAre("Module 'brittle' failed in take_off: a pair of first broke; "
                                     "the lines 'first' and 'second' are not priced."));
}

// It used to be said that the lines are not priced, which they were.
TEST(BrokenModules, AFaultInFollowLeavesThePricesAndSaysWhatIsMissing) {
    for (const auto& [trouble, reason] :
         {std::pair{"follow throws", "failed in follow: follow of first broke"},
          std::pair{"follow after nothing",
                    "gave a reply to follow that cannot be used: step 'second.polish' comes after "
                    "'dream', which is none of the module's steps"},
          std::pair{"follow repeats a step",
                    "gave a reply to follow that cannot be used: the step 'second.work' is in its "
                    "take-off already"}}) {
        const Estimate made = price({{"first"}, {"second", trouble}});
        EXPECT_EQ(cost_of(made, "first"), "10.00");
        EXPECT_EQ(cost_of(made, "second"), "10.00");
        EXPECT_THAT(problems(made),
                    testing::ElementsAre(std::string("Module 'brittle' ") + reason +
                                         "; what it adds once goods are chosen (work, steps, "
                                         "figures) is left out."));
    }
}

TEST(BrokenModules, WhatIsNotCountedIsTextAndStandsOnce) {
    EXPECT_EQ(price({{"first", "counts not all"}, {"second", "counts not all"}}).not_counted,
              (std::vector<std::string>{"drawing", "sharpening"}));
    for (const auto& [trouble, reason] :
         {std::pair{"counts twice not", "'drawing' stands twice among what is not counted"},
          std::pair{"counts not nothing", "what is not counted has no text"}}) {
        const Estimate made = price({{"first", trouble}});
        EXPECT_TRUE(made.not_counted.empty());
        EXPECT_THAT(problems(made), testing::ElementsAre(testing::HasSubstr(reason)));
    }
}

TEST(BrokenModules, ControlCharactersInTheirTextsAreShown) {
    const Estimate made = price({{"first", "loud text"}});
    const auto loud = std::find_if(made.findings.begin(), made.findings.end(),
                                   [](const auto& finding) { return finding.code == "loud"; });
    ASSERT_NE(loud, made.findings.end());
    EXPECT_EQ(loud->text, "red \\u001b[31m and \\u0007 bell");
}

TEST(BrokenModules, AWrongLineAmongHundredsIsFound) {
    std::vector<Rod> rods;
    for (int i = 0; i < 300; ++i) rods.push_back({"rod_" + std::to_string(i)});
    rods[123].trouble = "take_off throws";
    rods[290].trouble = "late";
    const Estimate made = price(rods);
    std::size_t priced = 0;
    for (const EstimateLine& line : made.lines) priced += line.not_priced.empty() ? 1U : 0U;
    EXPECT_EQ(priced, 298U);
    EXPECT_NE(why_not(made, "rod_123"), "");
    EXPECT_NE(why_not(made, "rod_290"), "");
}

} // namespace
} // namespace aumbry
