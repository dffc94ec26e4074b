// What can hurt whoever makes or uses a piece of panels.
#include "sheet_goods/module/dangers.hpp"

#include "module_requests.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry::sheet_goods {
namespace {

using namespace module_testing;
using contract::Severity;
using testing::HasSubstr;

const aumbry_host silent{sizeof(aumbry_host), nullptr, [](void*, const char*) {},
                         [](void*, double) {}, [](void*) { return 0; }};

// A bookcase of 40 kg, 300 mm deep, its centre half way back, stands on the floor against a wall.
// It would turn about its front edge: its weight, 150 mm behind that edge, holds it with 40 x
// 9.80665 x 0.15 = 58.84 N·m, which a pull of 58.84 / 2.0 = 29.4 N outwards at 2.0 m overcomes. A
// child of 27.2 kg (60 lb, ASTM F2057-23) whose centre hangs 150 mm in front of the edge turns it
// with 40.01 N·m, and its hands with 44.5 N (10 lbf) at 1.422 m (56 in), 63.28 N·m.
TEST(Tipping, OfABookcaseByHand) {
    const Stand stand = stand_of(2000, 300, 40);
    EXPECT_NEAR(stand.held, 58.84, 0.005);
    EXPECT_NEAR(stand.pull, 29.42, 0.005);
    EXPECT_NEAR(stand.climbed, 40.01 + 63.28, 0.01);
}

contract::Line in_case(contract::Line line) {
    line.piece = "case";
    line.derived = {
        {"length", line.fields["length"]}, {"width", line.fields["width"]}, {"mass", 8.0}};
    return line;
}

contract::FollowRequest bookcase(const Json& of_side = Json::object()) {
    contract::FollowRequest request;
    request.lines = {
        in_case(panel("side", 2150, 300, 2, of_side)),
        in_case(panel("shelf", 840, 290, 3, {{"load", {{"mass", 30.0}}}})),
    };
    return request;
}

std::vector<contract::Finding> tipping(const contract::FollowRequest& request) {
    std::vector<contract::Finding> findings;
    warn_of_tipping(request, Shop(), findings);
    return findings;
}

// A bookcase of 2150 x 300 with 120 kg of books and no fixing: not a word was said.
TEST(Tipping, ATallCaseThatNothingHoldsIsAWarning) {
    const auto found = tipping(bookcase());
    ASSERT_EQ(found.size(), 1U);
    EXPECT_EQ(found[0].severity, Severity::warning);
    EXPECT_EQ(found[0].code, "tips-over");
    EXPECT_TRUE(found[0].client);
    // 5 parts of 8 kg: 40 x 9.80665 x 0.15, at 2.15 m a pull of 27 N.
    EXPECT_THAT(found[0].text, testing::AllOf(HasSubstr("58.8 N·m"), HasSubstr("a pull of 27 N"),
                                              HasSubstr("its upright 'side'"),
                                              HasSubstr("no test of a standard")));
}

TEST(Tipping, AFixingOfThePieceLiftsTheWarning) {
    contract::FollowRequest request = bookcase();
    request.quantities["hardware_kits"] = {{"fixings.case", "case: fixings", 4, "", {}}};
    EXPECT_TRUE(tipping(request).empty());
    request.quantities["hardware_kits"] = {{"fixings.bench", "bench: fixings", 4, "", {}}};
    EXPECT_EQ(tipping(request).size(), 1U);
}

TEST(Tipping, WhatStandsIsSaidOrSeenByItsShelves) {
    EXPECT_TRUE(tipping(bookcase({{"upright", false}})).empty());
    // A bed box lies: its long sides carry no shelf as deep as they are wide.
    contract::FollowRequest bed;
    bed.lines = {in_case(panel("side", 2060, 320, 2)), in_case(panel("head", 1424, 320, 2))};
    EXPECT_TRUE(tipping(bed).empty());
    bed.lines[0].fields["upright"] = true;
    EXPECT_EQ(tipping(bed).size(), 1U);
    // Below 27 in, 686 mm, the rules on tipping do not hold (CPSC).
    bed.lines[0].derived["length"] = 600.0;
    EXPECT_TRUE(tipping(bed).empty());
}

TEST(Tipping, AHeavyDeepPieceStandsByItself) {
    contract::FollowRequest request = bookcase();
    for (contract::Line& line : request.lines) {
        line.derived["mass"] = 20.0;
        line.derived["width"] = 600.0;
    }
    // 100 kg, 300 mm behind the edge: 294 N·m against 103 N·m.
    EXPECT_TRUE(tipping(request).empty());
}

TEST(CarryIn, TakesTwoForWhatOneCannotCarry) {
    const auto people = [](double mass, double length) {
        contract::FollowRequest request;
        request.lines = {in_case(panel("side", length, 300))};
        request.lines[0].derived["mass"] = mass;
        const auto reply = SheetGoods().follow(request, Host(&silent));
        EXPECT_EQ(reply.steps.size(), 3U);
        EXPECT_EQ(reply.steps.at(0).phase, contract::Phase::carry_in);
        return reply.steps.at(0).people;
    };
    EXPECT_EQ(people(20, 1900), 1);
    EXPECT_EQ(people(26, 1900), 2); // 25 kg, HSE INDG143
    EXPECT_EQ(people(20, 2010), 2); // 2 m, common practice
}

TEST(CarryIn, WhatTwoCannotLiftIsSaid) {
    const auto said = [](double mass) {
        contract::FollowRequest request;
        request.lines = {in_case(panel("side", 1900, 300, 2))};
        request.lines[0].derived["mass"] = mass;
        return SheetGoods().follow(request, Host(&silent)).findings;
    };
    EXPECT_FALSE(has_finding(said(25), "piece-heavy")) << "two of 25 kg: 25 kg each, HSE INDG143";
    EXPECT_TRUE(has_finding(said(26), "piece-heavy"));
    EXPECT_EQ(finding(said(26), "piece-heavy").step, "carry.case");
}

TEST(LastSteps, ClearUpAndSnagsAreCountedUnlessATaskDoes) {
    contract::FollowRequest request;
    request.lines = {in_case(panel("side", 1900, 300))};
    const auto reply = SheetGoods().follow(request, Host(&silent));
    ASSERT_EQ(reply.steps.size(), 3U);
    for (const std::size_t i : {std::size_t{1}, std::size_t{2}})
        EXPECT_EQ(reply.steps[i].phase, contract::Phase::complete);
    EXPECT_EQ(reply.steps[1].operation, "clear up");
    EXPECT_EQ(reply.steps[2].operation, "snags");
    request.settings.module = {
        {"minutes_to_carry_in", 0.0}, {"minutes_to_clear_up", 0.0}, {"minutes_of_snags", 0.0}};
    EXPECT_TRUE(SheetGoods().follow(request, Host(&silent)).steps.empty());
}

TEST(NotCounted, IsSaidOfWhatIsInNoStep) {
    contract::FollowRequest request;
    EXPECT_TRUE(SheetGoods().follow(request, Host(&silent)).not_counted.empty());
    request.lines = {in_case(panel("side", 1900, 300))};
    const auto said = SheetGoods().follow(request, Host(&silent)).not_counted;
    EXPECT_NE(std::find(said.begin(), said.end(), "drawing and design"), said.end());
}

TEST(PartsForTwo, AreLongOrLargeHoweverLight) {
    // Over 2 m, over 1.5 m2 (common practice) or heavier than the workshop says.
    auto asked =
        request({panel("rail", 2100, 95, 2), panel("door", 1600, 1000), panel("shelf", 700, 300)},
                {sheet("north", "A", 2500, 1250, "110.00")});
    const auto reply = take_off(asked);
    const contract::Finding found = finding(reply.findings, "parts-for-two");
    EXPECT_THAT(found.text, testing::AllOf(HasSubstr("rail"), HasSubstr("door"),
                                           testing::Not(HasSubstr("shelf"))));
    EXPECT_EQ(found.step, "cut.carcase.bed");
    asked.settings.workshop["longest_alone"] = 2500.0;
    asked.settings.workshop["largest_alone"] = 2.0;
    asked.settings.workshop["heaviest_blank"] = 40.0;
    EXPECT_FALSE(has_finding(take_off(asked).findings, "parts-for-two"));
}

TEST(Work, MarksEveryPartBeforeItIsJoined) {
    auto asked =
        request({panel("shelf", 700, 300, 4)}, {sheet("north", "A", 2500, 1250, "110.00")});
    const auto minutes = [&] {
        for (const contract::Step& step : take_off(asked).steps)
            if (step.operation == "mark") {
                EXPECT_EQ(step.phase, contract::Phase::machine);
                return step.minutes;
            }
        return 0.0;
    };
    // A minute a part (common practice).
    EXPECT_EQ(minutes(), 4);
    asked.settings.module["minutes_a_mark"] = 0.0;
    EXPECT_EQ(minutes(), 0);
}

TEST(Dust, OfHardwoodIsAWarningAtTheCuttingStep) {
    const auto reply =
        take_off(request({panel("shelf", 700, 300)}, {sheet("north", "A", 2500, 1250, "110.00")}));
    const contract::Finding found = finding(reply.findings, "hardwood-dust");
    EXPECT_EQ(found.severity, Severity::warning);
    EXPECT_EQ(found.step, "cut.carcase.bed");
    ASSERT_FALSE(reply.steps.empty());
    EXPECT_EQ(reply.steps.front().id, found.step);
}

} // namespace
} // namespace aumbry::sheet_goods
