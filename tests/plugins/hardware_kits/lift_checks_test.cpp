// The lift in space and in the bill: what it runs into, holes that are not its kit's, catches that
// nothing is. Places are worked by hand from the turning of a point about the hinge: x = along cos
// - across sin, y = along sin + across cos.
#include "hardware_kits/engine/lifts/lift.hpp"
#include "hardware_kits/engine/lifts/swing_space.hpp"
#include "module_help.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace aumbry::hardware_kits {
namespace {

using contract::Line;
using contract::Severity;
using testing::Contains;
using testing::HasSubstr;
using testing::Not;

double radians(double degrees) {
    return degrees * std::numbers::pi / 180;
}

/// A mattress of 180 mm on slats whose upper face is 30 mm above the hinge, its head at the hinge.
const Body mattress{"the mattress", 0, 2000, 30, 210};

TEST(SwingSpace, TheHeadOfAMattressSwingsBehindTheHinge) {
    // At 60 deg its upper head corner stands 210 sin 60 = 181.9 mm behind the hinge; a wall 100 mm
    // behind is in its way by 81.9 mm, and from where 210 sin a = 100: 28.4 deg on, so 28.5 in
    // steps of half a degree.
    Surroundings round;
    round.wall_behind = 100;
    const auto met = collisions({mattress}, 0, 60, round);
    ASSERT_EQ(met.size(), 1U);
    EXPECT_NEAR(met[0].by, 210 * std::sin(radians(60)) - 100, 0.1);
    EXPECT_EQ(met[0].worst, 60);
    EXPECT_EQ(met[0].from, 28.5);
    round.wall_behind = 182;
    EXPECT_TRUE(collisions({mattress}, 0, 60, round).empty());
}

TEST(SwingSpace, TheFootOfAMattressReachesTheCeiling) {
    // Its upper foot corner stands 2000 sin 60 + 210 cos 60 = 1837.1 mm above the hinge.
    Surroundings round;
    round.ceiling_above = 1800;
    const auto met = collisions({mattress}, 0, 60, round);
    ASSERT_EQ(met.size(), 1U);
    EXPECT_NEAR(met[0].by, 2000 * std::sin(radians(60)) + 105 - 1800, 0.1);
    round.ceiling_above = 1838;
    EXPECT_TRUE(collisions({mattress}, 0, 60, round).empty());
}

TEST(SwingSpace, ARailLowerThanTheMattressIsInItsWayToo) {
    // A rail 47.6 mm behind the hinge that ends 79.4 mm above it. At 60 deg the head's point 80 mm
    // off the panel stands 80 sin 60 = 69.3 mm behind and 40 mm above: inside the rail. One that
    // ends below the hinge is passed: the head never sinks under it.
    Surroundings round;
    round.rail_behind = 47.6;
    round.rail_above = 79.4;
    const auto met = collisions({mattress}, 0, 60, round);
    ASSERT_EQ(met.size(), 1U);
    EXPECT_THAT(met[0].with, HasSubstr("rail"));
    EXPECT_GT(met[0].by, 20);
    round.rail_above = -1;
    EXPECT_TRUE(collisions({mattress}, 0, 60, round).empty());
}

TEST(SwingSpace, ALidThatDoesNotTurnMeetsWhatItStandsIn) {
    Surroundings round;
    round.ceiling_above = 200;
    EXPECT_EQ(collisions({mattress}, 0, 0, round).size(), 1U);
}

TEST(SpringStroke, KeepsFiveMillimetresAtBothEnds) {
    // A spring along a straight line from (400, -100): at 0 deg the ends are 800 - 400 = 400 mm
    // apart along x, so sqrt(400^2 + 100^2) = 412.3 mm. Closed at 410 mm it goes, but not with 5 mm
    // of stroke kept.
    Lift lift;
    lift.end = 30;
    lift.masses = {{"panel", 20, 1000, 0, Load::panel}};
    lift.handle_along = 2000;
    MountedSpring spring{{"s", 500, 1.3, 400, 810, 0, 0}, {"m", {400, -100}, 800, 0}, 2, false};
    lift.springs = {spring};
    EXPECT_TRUE(faults_of(lift).empty());
    lift.stroke_reserve = 5;
    ASSERT_EQ(faults_of(lift).size(), 1U);
    EXPECT_EQ(faults_of(lift)[0].code, "spring-too-long");
    EXPECT_THAT(faults_of(lift)[0].wrong, HasSubstr("5 mm of its stroke kept"));
}

Line lid(Json more = Json::object()) {
    Json fields = {{"kit", "bed_kit"},
                   {"end_angle", 60.0},
                   {"handle_from_hinge", 1950.0},
                   {"moving",
                    {{{"line", "base"}, {"from_hinge", 1000.0}},
                     {{"line", "bed"}, {"from_hinge", 1000.0}, {"across", 120.0}}}}};
    fields.update(more);
    Line line = line_of("lift", "lid", std::move(fields));
    line = with_reference(std::move(line), "kit", "bed_kit", {{"mass", 8.6}});
    line.references.back().fields["model"] = "Ebbstone Lift 60";
    line = with_reference(std::move(line), "panel", "base", {{"mass", 33.0}});
    return with_reference(
        std::move(line), "mattress", "bed",
        {{"mass", 18.0}, {"length", 2000.0}, {"width", 1400.0}, {"thickness", 180.0}});
}

std::vector<contract::Offer> one_spring() {
    return {offer_of("spring", "S",
                     {{"model", "GS 700"},
                      {"force", 700.0},
                      {"progression", 1.3},
                      {"stroke", 400.0},
                      {"extended_length", 900.0}})};
}

TEST(LiftInTheRoom, ItsMattressIsLookedAtAgainstTheWallBehind) {
    const auto open = take_off({lid()}, one_spring());
    EXPECT_EQ(finding(open, "swing-space-not-checked")->severity, Severity::caution);
    const auto tight =
        take_off({lid({{"wall_behind", 100.0}, {"ceiling_above", 2400.0}})}, one_spring());
    EXPECT_EQ(finding(tight, "swing-space-not-checked"), nullptr);
    ASSERT_NE(finding(tight, "lift-collides"), nullptr);
    EXPECT_EQ(finding(tight, "lift-collides")->severity, Severity::problem);
    EXPECT_THAT(
        finding(tight, "lift-collides")->text,
        HasSubstr("the mattress runs into the wall behind the hinge from 28.5 deg on, by 82 "
                  "mm at 60 deg"));
    EXPECT_EQ(finding(tight, "lift-collides")->step, "bed_kit_hang");
    const auto wide =
        take_off({lid({{"wall_behind", 300.0}, {"ceiling_above", 2400.0}})}, one_spring());
    EXPECT_EQ(finding(wide, "lift-collides"), nullptr);
}

TEST(LiftInTheRoom, BeddingGivesWay) {
    // Covers centred 240 mm off the panel on a mattress that ends at 210 reach 270: 270 sin 60 =
    // 233.8 mm behind the hinge, where 200 are free and the mattress takes 181.9.
    const auto reply = take_off({lid({{"bedding_mass", 5.0},
                                      {"bedding_from_hinge", 1000.0},
                                      {"bedding_across", 240.0},
                                      {"wall_behind", 200.0},
                                      {"ceiling_above", 2400.0}})},
                                one_spring());
    ASSERT_NE(finding(reply, "lift-collides"), nullptr);
    EXPECT_EQ(finding(reply, "lift-collides")->severity, Severity::caution);
    EXPECT_THAT(
        finding(reply, "lift-collides")->text,
        HasSubstr("the bedding runs into the wall behind the hinge from 48 deg on, by 34 mm"));
}

TEST(LiftKit, HolesThatAreNotTheKitsAreAProblem) {
    // The kit's bracket sits 200 mm from the hinge, fixed by the kit; a project drilled it at 260
    // and nobody said a word.
    const auto mounting = [](double x, double y) {
        return Json{
            {{"name", "own"}, {"fixed_x", x}, {"fixed_y", y}, {"along", 700.0}, {"across", -20.0}}};
    };
    const auto off = take_off({lid({{"mountings", mounting(260, -160)}})}, one_spring());
    ASSERT_NE(finding(off, "mounting-not-of-kit"), nullptr);
    EXPECT_EQ(finding(off, "mounting-not-of-kit")->severity, Severity::problem);
    EXPECT_THAT(finding(off, "mounting-not-of-kit")->text,
                HasSubstr("'own' is 60 mm from the kit's 'upper hole'"));
    EXPECT_EQ(finding(take_off({lid({{"mountings", mounting(201, -160)}})}, one_spring()),
                      "mounting-not-of-kit"),
              nullptr);
    EXPECT_EQ(finding(take_off({lid()}, one_spring()), "mounting-not-of-kit"), nullptr);
}

TEST(LiftHeld, ACatchThatNothingIsIsAProblem) {
    // The catch was believed without one in the bill.
    const auto bare = take_off({lid({{"start_latched", true}})}, one_spring());
    ASSERT_NE(finding(bare, "latch-not-in-bill"), nullptr);
    EXPECT_EQ(finding(bare, "latch-not-in-bill")->severity, Severity::problem);
    Line latched = lid({{"start_latched", true}, {"held_by", {"hook"}}});
    latched = with_reference(std::move(latched), "item", "hook", Json::object());
    latched.references.back().fields["type"] = "bed latch";
    EXPECT_EQ(finding(take_off({latched}, one_spring()), "latch-not-in-bill"), nullptr);
    latched.references.back().fields["type"] = "thatched blocks";
    EXPECT_NE(finding(take_off({latched}, one_spring()), "latch-not-in-bill"), nullptr);
    // The kit has a safety stay.
    EXPECT_EQ(finding(take_off({lid({{"end_latched", true}})}, one_spring()), "stay-not-in-bill"),
              nullptr);
}

TEST(LiftHeld, AFoldUpPanelAsksForLegsAndStraps) {
    Line panel = lid({{"start_angle", 90.0}, {"end_angle", 0.0}, {"most_springs", 0}});
    panel.fields.erase("kit");
    const auto bare = take_off({panel}, {});
    EXPECT_THAT(codes(bare), testing::IsSupersetOf({"lift-without-legs", "lift-without-strap"}));
    panel.fields["kit"] = "bed_kit";
    panel.references[0].fields["model"] = "Ebbstone Fold 60";
    const auto kit = take_off({panel}, {});
    EXPECT_THAT(codes(kit), Not(Contains("lift-without-legs")));
    EXPECT_THAT(codes(kit), Not(Contains("lift-without-strap")));
}

contract::FollowReply follow(const Line& line) {
    contract::FollowRequest request;
    request.lines = {line};
    request.tables = tables();
    return HardwareKits().follow(request, Host(&quiet));
}

TEST(LiftCautions, StandAtTheirSteps) {
    const auto reply = follow(lid());
    EXPECT_EQ(finding(reply, "stored-energy")->step, "bed_kit_springs");
    EXPECT_EQ(finding(reply, "crushing-and-entrapment")->step, "bed_kit_hang");
    EXPECT_TRUE(finding(reply, "children")->client);
    EXPECT_EQ(finding(reply, "maker-and-codes-first")->step, "");
}

TEST(LiftCautions, AStoreUnderALidLetsAChildBreatheAndOut) {
    // EN 71-1 on toy chests, from a copy of it: two vents of 650 mm2, 150 mm apart, open from
    // inside at 50 N at most.
    ASSERT_NE(finding(follow(lid()), "closed-store"), nullptr);
    EXPECT_THAT(finding(follow(lid()), "closed-store")->text,
                testing::AllOf(HasSubstr("650 mm2"), HasSubstr("50 N")));
    EXPECT_EQ(finding(follow(lid({{"start_angle", 90.0}, {"end_angle", 0.0}})), "closed-store"),
              nullptr);
}

TEST(LiftCautions, AWeighedPanelIsNotAskedToBeWeighed) {
    EXPECT_NE(finding(follow(lid()), "weigh-before-ordering"), nullptr);
    EXPECT_EQ(finding(follow(lid({{"weighed_mass", 33.0}})), "weigh-before-ordering"), nullptr);
}

TEST(ByPiece, OthersAreToldWhatIsFixedAndWhatIsOfSteel) {
    contract::FollowRequest request;
    Line fixing = line_of("fixing", "to_wall", Json::object());
    fixing.piece = "case";
    fixing.derived["screws"] = 4.0;
    Line screws = line_of("fastener", "screws", {{"type", "screw"}, {"finish", "zinc"}});
    screws.piece = "case";
    screws.derived["pieces"] = 12.0;
    Line clean = line_of("fastener", "clean", {{"type", "screw"}, {"finish", "stainless"}});
    clean.piece = "bench";
    clean.derived["pieces"] = 12.0;
    request.lines = {fixing, screws, clean};
    const auto reply = HardwareKits().follow(request, Host(&quiet));
    std::vector<std::string> refs;
    for (const contract::QuantityRow& row : reply.quantities) refs.push_back(row.ref);
    EXPECT_THAT(refs, testing::UnorderedElementsAre("fixings.case", "plain_steel.case"));
}

} // namespace
} // namespace aumbry::hardware_kits
