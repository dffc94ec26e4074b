// Lines of kind fixing as the host sees them.
#include "constants.hpp"
#include "module_help.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry::hardware_kits {
namespace {

using contract::Line;
using contract::Severity;
using testing::Contains;
using testing::HasSubstr;
using testing::Not;

Line fixing(Json more = Json::object()) {
    Json fields = {{"type", "frame fixing"},
                   {"diameter", 10.0},
                   {"length", 120.0},
                   {"rows", {{{"height", 2000.0}, {"count", 4}}}}};
    fields.update(more);
    return line_of("fixing", "bed_fixing", std::move(fields));
}

contract::Settings wall(const char* name) {
    contract::Settings settings;
    settings.workshop["wall"] = name;
    return settings;
}

std::vector<contract::Offer> offers() {
    return {offer_of("fastener", "FF10",
                     {{"type", "frame fixing"}, {"diameter", 10.0}, {"length", 120.0}}, 10)};
}

/// A fold-up panel of 60 kg whose centre is 1 m from a hinge 100 mm in front of the wall.
Line with_fold_up(Line line) {
    line.fields["lift"] = "fold_up";
    line.fields["hinge_from_wall"] = 100.0;
    line = with_reference(std::move(line), "lift", "fold_up",
                          {{"moving_mass", 60.0}, {"moving_centre", 1000.0}});
    line.references.back().fields = {
        {"start_angle", 90.0}, {"end_angle", 0.0}, {"handle_from_hinge", 2000.0}};
    return line;
}

TEST(FixingWall, UnknownIsAProblemBeforeOrdering) {
    const auto reply = take_off({fixing()}, offers());
    ASSERT_NE(finding(reply, "wall-unknown"), nullptr);
    EXPECT_EQ(finding(reply, "wall-unknown")->severity, Severity::problem);
    EXPECT_THAT(codes(take_off({fixing()}, offers(), wall("concrete"))),
                Not(Contains("wall-unknown")));
    EXPECT_THAT(codes(take_off({fixing({{"wall", "timber studs"}})}, offers())),
                Not(Contains("wall-unknown")));
}

TEST(FixingWall, LiningAloneIsAProblemAndMetalStudsAWarning) {
    EXPECT_EQ(
        finding(take_off({fixing()}, offers(), wall("plasterboard")), "wall-lining-only")->severity,
        Severity::problem);
    EXPECT_EQ(
        finding(take_off({fixing()}, offers(), wall("metal studs")), "wall-metal-studs")->severity,
        Severity::warning);
}

std::vector<contract::Offer> screws_and_plugs() {
    return {offer_of("fastener", "SS8",
                     {{"type", "structural screw"}, {"diameter", 8.0}, {"length", 100.0}}, 10),
            offer_of("fastener", "WP8", {{"type", "wall plug"}, {"diameter", 8.0}}, 20),
            offer_of("fastener", "WP6", {{"type", "wall plug"}, {"diameter", 6.0}}, 20)};
}

Line screwed(Json more = Json::object()) {
    Json fields = {{"type", "structural screw"}, {"diameter", 8.0}, {"length", 100.0}};
    fields.update(more);
    return fixing(std::move(fields));
}

TEST(FixingWall, OfMasonryIsHeldByAPlugRoundEachScrew) {
    // A wood screw in solid masonry was taken as it stood.
    for (const char* solid : {"solid masonry", "concrete"}) {
        const auto reply = take_off({screwed()}, screws_and_plugs(), wall(solid));
        ASSERT_EQ(reply.demands.size(), 2U) << solid;
        const auto plugs =
            std::find_if(reply.demands.begin(), reply.demands.end(),
                         [](const contract::Demand& d) { return d.id == "bed_fixing.anchors"; });
        ASSERT_NE(plugs, reply.demands.end());
        EXPECT_EQ(plugs->amount->quantity, 4);
        ASSERT_EQ(plugs->amount->offers.size(), 1U);
        EXPECT_EQ(plugs->amount->offers[0].offer, "north/WP8");
        EXPECT_THAT(reply.steps.at(0).needs, Contains("bed_fixing.anchors"));
        EXPECT_EQ(finding(reply, "wall-plugs")->step, "fix_bed_fixing");
    }
}

TEST(FixingWall, AsksForNoPlugWhereTheFixingHoldsByItself) {
    EXPECT_EQ(take_off({fixing()}, offers(), wall("solid masonry")).demands.size(), 1U);
    EXPECT_EQ(take_off({screwed()}, screws_and_plugs(), wall("timber studs")).demands.size(), 1U);
    EXPECT_EQ(take_off({screwed({{"anchor", "none"}})}, screws_and_plugs(), wall("concrete"))
                  .demands.size(),
              1U);
}

TEST(FixingWall, OfHollowBlocksWantsAnotherAnswerAndNamesIt) {
    const auto reply = take_off({screwed()}, screws_and_plugs(), wall("hollow masonry"));
    EXPECT_EQ(finding(reply, "wall-hollow-masonry")->severity, Severity::warning);
    EXPECT_THAT(finding(reply, "anchor-not-offered")->text,
                testing::AllOf(HasSubstr("injection anchor"), HasSubstr("asks for 4")));
}

TEST(FixingWall, IsLookedAtForCablesAndPipesAtTheStepThatDrills) {
    for (const char* any : {"solid masonry", "timber studs", "unknown"}) {
        const auto reply = take_off({fixing()}, offers(), wall(any));
        ASSERT_NE(finding(reply, "find-cables"), nullptr) << any;
        EXPECT_EQ(finding(reply, "find-cables")->severity, Severity::warning);
        EXPECT_EQ(finding(reply, "find-cables")->step, reply.steps.at(0).id);
    }
}

TEST(FixingForce, IsNeverNilForWhatIsTallAndEmpty) {
    // The load at rest, half way back, never tipped anything: the pull was always 0.
    const auto reply = take_off(
        {fixing({{"depth", 300.0}, {"frame_mass", 40.0}, {"height", 2150.0}, {"load", 120.0}})},
        offers(), wall("concrete"));
    // As in the test of the bookcase: 44.45 N·m on four screws at 2 m.
    EXPECT_NEAR(quantity(reply, "bed_fixing.pull")->value, 44.45 / (4 * 2.0), 0.05);
}

TEST(FixingForce, OfAPersonSittingDownOnTheEndTurnsTheFrameOutOfTheWall) {
    // Statics about the front edge 400 mm from the wall; the person's 100 kg come on all at once
    // and count twice (from memory); 80 kg of frame at 200 mm hold back. Four screws at 2 m.
    const auto reply = take_off({with_fold_up(fixing({{"depth", 400.0}, {"frame_mass", 80.0}}))},
                                offers(), wall("concrete"));
    const double moment = g * (60 * (1.1 - 0.4) + 2 * 100 * (2.1 - 0.4) - 80 * 0.2);
    ASSERT_NE(quantity(reply, "bed_fixing.pull"), nullptr);
    EXPECT_NEAR(quantity(reply, "bed_fixing.pull")->value, moment / (4 * 2.0), 0.1);
    EXPECT_THAT(finding(reply, "anchor-must-hold")->text,
                HasSubstr("someone sits down on the end"));
    EXPECT_THAT(finding(reply, "anchor-must-hold")->text,
                HasSubstr("This estimate certifies nothing"));
    ASSERT_NE(working(reply, "bed_fixing.pull"), nullptr);
}

TEST(FixingForce, ShelvesHungOnTheWallPutTheirWeightOnTheScrews) {
    // 40 kg and a child of 27.2 kg that hangs from the front edge, 300 mm from the wall, on four
    // screws: (40 + 27.2) g / 4 each in shear; about the lower edge at the wall they turn with
    // 40 g x 0.15 + 27.2 g x 0.3, which the screws take 0.4 m above it.
    const auto reply = take_off({fixing({{"stands", "wall"},
                                         {"frame_mass", 40.0},
                                         {"depth", 300.0},
                                         {"rows", {{{"height", 400.0}, {"count", 4}}}}})},
                                offers(), wall("concrete"));
    EXPECT_NEAR(quantity(reply, "bed_fixing.shear")->value, 67.2 * g / 4, 0.01);
    EXPECT_NEAR(quantity(reply, "bed_fixing.pull")->value,
                (40 * g * 0.15 + 27.2 * g * 0.3) / (4 * 0.4), 0.01);
}

TEST(FixingForce, ThreadInWoodFollowsThePublishedWithdrawalRule) {
    // 2850 G2 D lb/in with G 0.45 and D 0.190 in: 109.65 lb/in (printed as 109) = 19.203 N/mm.
    const auto reply = take_off({fixing({{"stands", "wall"},
                                         {"frame_mass", 40.0},
                                         {"depth", 300.0},
                                         {"diameter", 4.826},
                                         {"specific_gravity", 0.45},
                                         {"rows", {{{"height", 400.0}, {"count", 4}}}}})},
                                {}, wall("timber studs"));
    EXPECT_NEAR(quantity(reply, "bed_fixing.thread")->value,
                quantity(reply, "bed_fixing.pull")->value / (109.65 * 4.4482216 / 25.4), 0.01);
}

TEST(FixingForce, IsNotGuessedWhenTheLiftIsNotKnown) {
    Line line = with_fold_up(fixing({{"depth", 400.0}}));
    line.references.back().derived = Json::object();
    const auto reply = take_off({line}, offers(), wall("concrete"));
    EXPECT_EQ(finding(reply, "fixing-lift-unknown")->severity, Severity::problem);
    EXPECT_EQ(quantity(reply, "bed_fixing.pull"), nullptr);
}

TEST(FixingDemand, BuysTheScrewsOfAllRows) {
    const auto reply = take_off(
        {fixing(
            {{"rows", {{{"height", 300.0}, {"count", 2}}, {{"height", 2000.0}, {"count", 4}}}}})},
        offers(), wall("concrete"));
    ASSERT_EQ(reply.demands.size(), 1U);
    EXPECT_EQ(reply.demands[0].amount->quantity, 6);
    EXPECT_EQ(reply.demands[0].amount->offers.at(0).content, 10);
}

TEST(FixingDemand, WithoutTypeIsAProblemAndBuysNothing) {
    Line line = fixing();
    line.fields.erase("type");
    const auto reply = take_off({line}, offers(), wall("concrete"));
    EXPECT_THAT(codes(reply), Contains("fixing-not-specified"));
    EXPECT_TRUE(reply.demands.at(0).amount->offers.empty());
}

TEST(FixingDemand, FewerThanFourScrewsIsAWarning) {
    // Rule of thumb (common practice): four screws at least, into structure.
    const auto reply = take_off({fixing({{"rows", {{{"height", 2000.0}, {"count", 3}}}}})},
                                offers(), wall("concrete"));
    EXPECT_EQ(finding(reply, "few-anchors")->severity, Severity::warning);
}

TEST(FixingStep, AsksForASecondPersonWhereOneCannotHoldUpWhatHangs) {
    // 25 kg a person (HSE INDG143).
    const auto reply =
        take_off({fixing({{"frame_mass", 45.0}, {"stands", "wall"}})}, offers(), wall("concrete"));
    ASSERT_EQ(reply.steps.size(), 1U);
    EXPECT_EQ(reply.steps[0].people, 2);
    EXPECT_EQ(reply.steps[0].phase, contract::Phase::install);
    EXPECT_THAT(codes(reply), Contains("more-hands"));
}

// A wardrobe of 70 kg was counted as lifted by whoever screws it to the wall: three people.
TEST(FixingStep, LiftsNothingThatStandsOnTheFloor) {
    const auto reply = take_off({fixing({{"frame_mass", 70.0}})}, offers(), wall("concrete"));
    ASSERT_EQ(reply.steps.size(), 1U);
    EXPECT_EQ(reply.steps[0].people, 1);
    EXPECT_THAT(codes(reply), ::testing::Not(Contains("more-hands")));
}

TEST(FixingStep, TakesNoTimeOfItsOwnWhereTheKitsMakerHasOne) {
    const auto minutes_with = [](double kit_fixes_frame) {
        contract::Line line = fixing({{"lift", "lid"}});
        contract::Line lift;
        lift.id = "lid";
        lift.kind = "lift";
        lift.derived = {
            {"moving_mass", 30.0}, {"moving_centre", 900.0}, {"kit_fixes_frame", kit_fixes_frame}};
        lift.fields = {{"handle_from_hinge", 2000.0}};
        line.references.push_back(std::move(lift));
        return take_off({line}, offers(), wall("concrete")).steps.at(0).minutes;
    };
    EXPECT_GT(minutes_with(0), 0);
    EXPECT_EQ(minutes_with(1), 0);
}

TEST(FixingFrame, MassComesFromTheLinesHeld) {
    Line line = fixing({{"held", {"bed_side"}}});
    line = with_reference(std::move(line), "panel", "bed_side", {{"mass", 12.5}}, 2);
    EXPECT_EQ(derive(line).lines.at(0).values["frame_mass"], 25.0);
}

} // namespace
} // namespace aumbry::hardware_kits
