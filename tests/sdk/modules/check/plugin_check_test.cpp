#include "aumbry/plugin_check.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstdlib>

namespace aumbry {
namespace {

using ::testing::StartsWith;

std::vector<CheckResult> check(const char* trick) {
    setenv("TRICK", trick, 1);
    CheckOptions options;
    options.seconds = std::string(trick) == "hangs" ? 1 : 30;
    return check_plugin(TRICKSTER, options);
}

TEST(PluginCheck, AModuleThatKeepsTheContractPassesEveryCheck) {
    const auto results = check("none");
    EXPECT_TRUE(all_passed(results)) << check_text("trickster", results);
    EXPECT_THAT(check_text("trickster.so", results),
                StartsWith("trickster.so\n  passed   loads\n  passed   exports-entry\n"));
    EXPECT_THAT(check_text("trickster.so", results),
                testing::EndsWith(std::to_string(results.size()) + " of " +
                                  std::to_string(results.size()) + " checks passed\n"));
}

struct Trick {
    const char* name;
    const char* check;  ///< the check that must fail
    const char* detail; ///< how its reason begins
};

class PluginCheckTricks : public testing::TestWithParam<Trick> {};

TEST_P(PluginCheckTricks, AreFoundByTheCheckThatIsForThem) {
    const auto results = check(GetParam().name);
    for (const CheckResult& each : results) {
        if (each.name != GetParam().check) continue;
        EXPECT_EQ(each.outcome, CheckOutcome::failed);
        EXPECT_THAT(each.detail, StartsWith(GetParam().detail));
        return;
    }
    FAIL() << "no check is called " << GetParam().check;
}

INSTANTIATE_TEST_SUITE_P(
    Each, PluginCheckTricks,
    testing::Values(
        Trick{"no instance", "makes-instances", "could not make an instance"},
        Trick{"leaves", "describes-itself", "the module ended the process, in describe"},
        // A process that ends with 0 in the middle of its work used to pass every check.
        Trick{"leaves quietly", "describes-itself", "the module ended the process, in describe"},
        Trick{"leaves quietly in take_off", "answers-soundly",
              "the module ended the process, in take_off of trickster.knot with everything"},
        Trick{"leaves when loaded", "loads", "the module ended the process"},
        Trick{"closes the output", "leaves-the-process-alone",
              "it closed the standard output or error of the process"},
        Trick{"moves away", "leaves-the-process-alone",
              "it changed the working folder of the process"},
        Trick{"changes the locale", "leaves-the-process-alone",
              "it changed the locale of the process"},
        Trick{"changes the environment", "leaves-the-process-alone",
              "it changed the environment of the process"},
        Trick{"leaves a thread", "leaves-the-process-alone",
              "a thread of it goes on after its calls have returned"},
        Trick{"misspelt field key", "has-known-keys",
              "description: /line_kinds/0/fields/1/requierd: the contract has no key 'requierd' "
              "there; did you mean 'required'?"},
        Trick{"misspelt reply key", "has-known-keys",
              "reply to take_off of trickster.knot with everything without offers: "
              "/demands/0/returnabel: the "
              "contract has no key 'returnabel' there; did you mean 'returnable'?"},
        Trick{"claims another contract", "describes-itself",
              "the description names the contract '0.9', the table of functions '0.1'"},
        Trick{"second line falls", "answers-soundly",
              "two of trickster.knot: take_off answers a fault: one at a time"},
        Trick{"one name for all groups", "answers-soundly",
              "two groups of trickster.knot: it gave a reply to take_off that cannot be used: two "
              "groups have a demand called 'rope'"},
        Trick{"waits in vain", "answers-soundly",
              "trickster.knot with everything: it gave a reply to take_off that cannot be used: "
              "step 'tie' comes after 'dream', which is none of the module's steps"},
        Trick{"cancels unasked", "answers-soundly",
              "trickster.knot with everything: derive answers a cancelled call"},
        Trick{"throws", "describes-itself",
              "an exception came through the C door in describe: lost the end"},
        Trick{"description is no list", "describes-itself",
              "description: /line_kinds/0: found the number 3; write an object"},
        Trick{"new description every time", "describes-the-same",
              "the second answer of an instance differs from its first"},
        Trick{"foreign kind", "names-are-sound",
              "the line kind 'panel' should be called 'trickster.kind', in snake_case"},
        Trick{"common key", "names-are-sound",
              "in kind 'trickster.knot', the name 'count' is described twice"},
        Trick{"no help", "fields-are-sound",
              "field 'trickster.knot.turns' has no title or no help"},
        Trick{"default out of range", "fields-are-sound",
              "field 'trickster.knot.turns' has a default that is above its maximum"},
        Trick{"unknown unit", "fields-are-sound",
              "field 'trickster.knot.rope' has the unit 'cubits', which is none of the contract's"},
        Trick{"groups by nothing", "references-are-sound",
              "kind 'trickster.knot' groups by 'fields.colour', which its lines do not have"},
        Trick{"undeclared value", "answers-soundly",
              "trickster.knot with everything: it gave a reply to derive that cannot be used: the "
              "derived value "
              "'colour'"},
        Trick{"other line", "answers-soundly",
              "trickster.knot with everything without offers: it gave a reply to take_off that "
              "cannot be used: a "
              "demand names "
              "the line 'nobody'"},
        Trick{"gives up at the edge", "answers-soundly",
              "trickster.knot with turns = 1 without offers: take_off answers a fault: cannot turn "
              "once"},
        Trick{
            "falls at the edge", "answers-soundly",
            "the process was ended by a signal: Segmentation fault, in take_off of trickster.knot "
            "with turns = 9"},
        Trick{"needs an offer", "answers-soundly",
              "trickster.knot with everything without offers: take_off answers a fault: no offers"},
        Trick{"answers differ", "repeats-itself",
              "derive of trickster.knot with everything answers the same request differently the "
              "second "
              "time"},
        Trick{"knows the time zone", "answers-alike-everywhere",
              "derive of trickster.knot with everything answers differently in another time zone, "
              "locale "
              "or folder"},
        Trick{"minds unknown keys", "ignores-unknown-keys",
              "derive of trickster.knot with everything answers differently when its request has "
              "keys of "
              "a later contract"},
        Trick{
            "takes anything", "refuses-no-json",
            "derive of trickster.knot with everything answers success to the request the text '', "
            "which is no JSON"},
        Trick{"answers to any name", "knows-its-methods",
              "the method 'no_method_has_this_name' is answered with success"},
        Trick{"remembers cancelling", "can-be-cancelled",
              "derive of trickster.knot with everything answers something else when the host "
              "cancels"},
        Trick{"one buffer", "keeps-texts", "a text changed before it was given back"},
        Trick{"prints", "prints-nothing", "it wrote: tying a knot"}),
    [](const auto& tried) {
        std::string name = tried.param.name;
        for (char& c : name) {
            if (c == ' ') c = '_';
        }
        return name;
    });

// An address sanitizer brings an allocator of its own, which the check cannot ask.
#ifndef __SANITIZE_ADDRESS__
TEST(PluginCheck, MemoryThatIsNotGivenBackIsFound) {
    for (const char* trick : {"keeps every text", "keeps every instance"}) {
        const auto results = check(trick);
        const auto found =
            std::find_if(results.begin(), results.end(),
                         [](const CheckResult& each) { return each.name == "gives-memory-back"; });
        ASSERT_NE(found, results.end());
        EXPECT_THAT(found->detail, testing::EndsWith("bytes are lost in every round of calls"))
            << trick;
    }
}
#endif

// One fault used to be told under ten headings.
TEST(PluginCheck, WhatFollowsFromUnsoundAnswersIsNotToldAgain) {
    const auto results = check("other line");
    std::size_t failed = 0;
    for (const CheckResult& each : results) {
        if (each.outcome == CheckOutcome::failed) ++failed;
        if (each.name == "repeats-itself") {
            EXPECT_EQ(each.outcome, CheckOutcome::skipped);
            EXPECT_EQ(each.detail, "what answers-soundly found would be found again");
        }
        if (each.name == "knows-its-methods") {
            EXPECT_EQ(each.outcome, CheckOutcome::passed);
        }
    }
    EXPECT_EQ(failed, 1u);
}

TEST(PluginCheck, AModuleThatHangsIsEndedAfterItsTime) {
    const auto results = check("hangs");
    EXPECT_EQ(results[0].outcome, CheckOutcome::passed);
    EXPECT_EQ(results[4].name, "describes-itself");
    EXPECT_EQ(results[4].detail, "did not finish within 1 s, in describe");
    // What needs the module is not tried any more.
    EXPECT_EQ(results[5].outcome, CheckOutcome::skipped);
    EXPECT_EQ(results.back().outcome, CheckOutcome::skipped);
}

TEST(PluginCheck, AFileThatIsNoModuleFailsAndTheRestIsSkipped) {
    const auto results = check_plugin(NO_SYMBOL);
    EXPECT_EQ(results[0].outcome, CheckOutcome::passed);
    EXPECT_EQ(results[1].detail, "is no module: it exports no symbol 'aumbry_module'");
    EXPECT_EQ(results[3].outcome, CheckOutcome::skipped);
    EXPECT_FALSE(all_passed(results));
    EXPECT_THROW((void)check_plugin("/nowhere/module.so"), FaultError);
}

TEST(PluginCheck, TheResultIsData) {
    const std::vector<CheckResult> results{
        {"loads", "It loads.", CheckOutcome::passed, ""},
        {"prints-nothing", "It is quiet.", CheckOutcome::failed, "it wrote: x"}};
    EXPECT_EQ(
        check_json("a.so", results).dump(),
        R"({"file":"a.so","passed":false,"checks":[{"name":"loads","purpose":"It loads.","outcome":"passed"},)"
        R"({"name":"prints-nothing","purpose":"It is quiet.","outcome":"failed","detail":"it wrote: x"}]})");
    EXPECT_EQ(check_text("a.so", results),
              "a.so\n  passed   loads\n  FAILED   prints-nothing\n           It is quiet.\n        "
              "   it wrote: x\n1 of 2 checks passed\n");
}

} // namespace
} // namespace aumbry
