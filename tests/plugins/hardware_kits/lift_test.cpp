#include "constants.hpp"
#include "hardware_kits/engine/lifts/lift.hpp"

#include "faults.hpp"
#include "hardware_kits/engine/moving_parts.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace aumbry::hardware_kits {
namespace {

using ::testing::HasSubstr;

/// A uniform panel of 2 m and 20 kg, its handle at the far edge.
Lift uniform_panel() {
    Lift lift;
    lift.masses = {{"panel", 20, 1000, 0, Load::panel}};
    lift.handle_along = 2000;
    return lift;
}

/// One spring of constant force 400 N between 300 mm below the hinge and 400 mm out on the panel.
Lift sprung_panel() {
    Lift lift = uniform_panel();
    lift.end = 80;
    lift.springs = {{{"s", 400, 1.0, 250, 720, 0, 0}, {"m", {0, -300}, 400, 0}, 1, false}};
    return lift;
}

TEST(PublishedStatics, UniformHatchOf12kgNeedsSixGAtItsEdgeAtAnyAngle) {
    // A-level mechanics (M2) exercise: uniform 12 kg hatch, vertical force at the far edge: 6 g
    // = 58.8 N, g = 9.8.
    Lift lift = uniform_panel();
    lift.masses[0].mass = 12;
    lift.end = 85;
    for (const SwingSample& sample : sweep(lift).samples) {
        const double upright = -sample.gravity / (2.0 * std::cos(sample.angle * degree));
        EXPECT_NEAR(upright * 9.8 / standard_gravity, 58.8, 0.01) << sample.angle;
    }
}

TEST(PublishedStatics, OvenDoorSprings) {
    // Oven door, 23.5 lbf at 12 in from the hinge: moment 282 lb in (published); two springs from
    // (7, 0) to (0, 8) in: 282 / (2 x 56 / sqrt(113)) = 26.77 lbf (computed).
    const double inch = 25.4;
    const double pound = 4.4482216152605;
    const double arm = lever_arm({0, 8 * inch}, {7 * inch, 0});
    EXPECT_NEAR(arm / inch, 56.0 / std::sqrt(113.0), 1e-9);
    const double torque = 23.5 * 12 * pound * inch / 1000.0;
    EXPECT_NEAR(balancing_force(torque, arm, 2) / pound, 26.77, 0.01);
}

TEST(PublishedStatics, HatchOf410NewtonsOpenAndClosed) {
    // Worked figures of a 410 N hatch on two struts, arms in m: 0.804 / 0.448 and closed 1.163 /
    // 0.477.
    EXPECT_NEAR(balancing_force(410 * 0.804, 448, 1), 735.8, 0.05);
    EXPECT_NEAR(balancing_force(410 * 0.804, 448, 2), 367.9, 0.05);
    EXPECT_NEAR(balancing_force(410 * 1.163, 477, 1), 999.6, 0.05);
    EXPECT_NEAR(balancing_force(410 * 1.163, 477, 2), 499.8, 0.05);
}

TEST(UniformPanel, HandForceAtTheEdgeIsHalfTheWeightTimesTheCosine) {
    for (const SwingSample& sample : sweep(uniform_panel()).samples) {
        const double half_weight = 20 * 9.80665 / 2;
        EXPECT_NEAR(sample.hand_to_open, half_weight * std::cos(sample.angle * degree), 0.006)
            << sample.angle;
        EXPECT_NEAR(sample.hand_to_close, -sample.hand_to_open, 0.011);
    }
}

TEST(UniformPanel, CounterweightAtEqualMomentBalancesEverywhere) {
    Lift lift = uniform_panel();
    lift.masses.push_back({"counterweight", 50, -400, 0, Load::panel});
    lift.start = -30;
    const Swing swing = sweep(lift);
    ASSERT_EQ(swing.rests.size(), 1u);
    EXPECT_EQ(swing.rests[0].from, -30);
    EXPECT_EQ(swing.rests[0].to, 90);
    EXPECT_EQ(swing.hand_work_open, 0);
}

TEST(UniformPanel, SpringOfConstantForceTurnsWithFABCosineOverLength) {
    // Fixed a below the hinge, moving b out: L2 = a2 + b2 + 2ab sin t, torque = F a b cos t / L.
    for (const SwingSample& sample : sweep(sprung_panel()).samples) {
        const double a = 0.3;
        const double b = 0.4;
        const double length =
            std::sqrt(a * a + b * b + 2 * a * b * std::sin(sample.angle * degree));
        EXPECT_NEAR(sample.spring_lengths.at(0), length * 1000, 0.003);
        EXPECT_NEAR(sample.springs, 400 * a * b * std::cos(sample.angle * degree) / length, 0.003);
    }
}

TEST(UniformPanel, RestsAtTheAngleOfClosedFormBalanceAndReturnsToIt) {
    // Balance: F a b / L = m g l / 2, so L = 2 F a b / (m g l), sin t = (L2 - a2 - b2) / 2ab.
    Lift lift = sprung_panel();
    lift.springs[0].spring.force = 1000;
    const double length = 2 * 1000 * 0.3 * 0.4 / (20 * 9.80665 * 2.0);
    const double angle = std::asin((length * length - 0.25) / 0.24) / degree;
    const Swing swing = sweep(lift);
    ASSERT_EQ(swing.rests.size(), 1u);
    EXPECT_NEAR(swing.rests[0].from, angle, 0.02);
    EXPECT_TRUE(swing.rests[0].steady);
    EXPECT_EQ(swing.samples.front().tendency, Tendency::opens);
    EXPECT_EQ(swing.samples.back().tendency, Tendency::closes);
}

TEST(Swing, APanelPastUprightTipsFromItsBalance) {
    Lift lift = uniform_panel();
    lift.end = 120;
    const Swing swing = sweep(lift);
    ASSERT_EQ(swing.rests.size(), 1u);
    EXPECT_NEAR(swing.rests[0].from, 90, 0.001);
    EXPECT_FALSE(swing.rests[0].steady);
}

TEST(Swing, FrictionHoldsThePanelWhereItExceedsTheTorque) {
    // 20 kg at 1 m: torque 196.133 cos t; friction of 98.0665 N·m holds from 60 deg.
    Lift lift = uniform_panel();
    lift.hinge_friction = 98.0665;
    const Swing swing = sweep(lift);
    ASSERT_EQ(swing.rests.size(), 1u);
    EXPECT_NEAR(swing.rests[0].from, 60, 0.51);
    EXPECT_EQ(swing.rests[0].to, 90);
}

TEST(Swing, FrictionHindersTheHandBothWays) {
    // Level: gravity 20 g 1 m, hinge 10 N·m, one spring of 30 N at the arm of its line: 0.3 x 0.4 /
    // 0.5 m.
    Lift lift = sprung_panel();
    lift.hinge_friction = 10;
    lift.springs[0].spring.friction = 30;
    const SwingSample level = sweep(lift).samples.front();
    const double arm = 0.3 * 0.4 / 0.5;
    const double drive = 20 * 9.80665 - 400 * arm;
    EXPECT_NEAR(level.friction, 10 + 30 * arm, 0.001);
    EXPECT_NEAR(level.hand_to_open, (drive + 10 + 30 * arm) / 2, 0.01);
    EXPECT_NEAR(level.hand_to_close, (-drive + 10 + 30 * arm) / 2, 0.01);
}

TEST(Swing, LetGoAnywhereAPanelArrivesWithItsPotentialEnergy) {
    const Swing swing = sweep(uniform_panel());
    EXPECT_NEAR(swing.let_go_shut, 20 * 9.80665 * 1.0, 0.02); // m g h
    EXPECT_EQ(swing.let_go_open, 0);
}

TEST(Swing, CoilSpringTorqueIsLinearOverTheAngle) {
    Lift lift = uniform_panel();
    lift.torques = {{"coil", 200, 0}};
    const Swing swing = sweep(lift);
    EXPECT_EQ(swing.samples[90].given, 100);
    EXPECT_NEAR(swing.given_work, 100 * std::numbers::pi / 2, 0.001);
    EXPECT_NEAR(swing.hand_work_open, 196.133 - 100 * std::numbers::pi / 2, 0.001);
}

TEST(Swing, AMirroredLiftHasTheSameForces) {
    Lift lift = sprung_panel();
    lift.masses.push_back({"rail", 3, 1900, 40, Load::panel});
    Lift mirrored = lift; // seen from the other side: angles from 180 down
    mirrored.start = 180 - lift.start;
    mirrored.end = 180 - lift.end;
    for (Mass& mass : mirrored.masses) mass.across = -mass.across;
    mirrored.springs[0].mounting.fixed.x = -lift.springs[0].mounting.fixed.x;
    mirrored.springs[0].mounting.moving_across = -lift.springs[0].mounting.moving_across;
    const Swing a = sweep(lift);
    const Swing b = sweep(mirrored);
    for (std::size_t i = 0; i < a.samples.size(); ++i) {
        EXPECT_NEAR(a.samples[i].hand_to_open, b.samples[i].hand_to_open, 0.011);
        EXPECT_NEAR(a.samples[i].net, b.samples[i].net, 0.0011);
    }
}

TEST(Swing, ScenariosLeaveOutLoadsAndScaleForces) {
    Lift lift = sprung_panel();
    lift.masses.push_back({"mattress", 10, 1000, 100, Load::mattress});
    lift.masses.push_back({"bedding", 4, 1000, 150, Load::bedding});
    const double bare = sweep(lift, {"bare", false, false, 1, 1, 1, true}).samples[0].gravity;
    EXPECT_NEAR(bare, -196.133, 0.001);
    EXPECT_NEAR(sweep(lift).samples[0].gravity, bare * 34 / 20, 0.001);
    EXPECT_NEAR(sweep(lift, {"m", true, false, 1.1, 1, 1, true}).samples[0].gravity,
                bare * 30 / 20 * 1.1, 0.001);
    EXPECT_NEAR(sweep(lift, {"s", true, true, 1, 0.9, 0.8, true}).samples[0].springs,
                sweep(lift).samples[0].springs * 0.72, 0.001);
}

/// A fold-up panel: pivot near the floor, stowed upright at 90 deg, opened down to 0 deg onto its
/// leg.
Lift fold_up_panel() {
    Lift lift;
    lift.start = 90;
    lift.end = 0;
    lift.end_latched = true;
    lift.masses = {{"panel", 32, 1000, 0, Load::panel},
                   {"mattress", 18, 1000, 110, Load::mattress},
                   {"bedding", 4, 1000, 200, Load::bedding}};
    lift.handle_along = 1950;
    // Fixed ends 250 mm below the pivot, moving ends 300 mm out: longest when stowed.
    lift.springs = {{{"s", 1200, 1.3, 200, 570, 0, 0}, {"m", {0, -250}, 300, 0}, 2, false}};
    return lift;
}

TEST(FoldUpPanel, IsMuchHarderToOpenBeforeTheMattressIsIn) {
    // Common practice: a lift whose springs suit the mattress is much harder to open before the
    // mattress is in.
    const Lift lift = fold_up_panel();
    const auto hardest = [&](const Scenario& scenario) {
        double force = 0;
        for (const SwingSample& sample : sweep(lift, scenario).samples)
            force = std::max(force, sample.hand_to_open);
        return force;
    };
    const double loaded = hardest({"loaded", true, true, 1, 1, 1, true});
    const double bare = hardest({"bare", false, false, 1, 1, 1, true});
    EXPECT_GT(bare, 1.5 * loaded);
}

TEST(FoldUpPanel, SpringsLiftAndGravityLowersIt) {
    const Swing swing = sweep(fold_up_panel());
    const SwingSample& level = swing.samples.back();
    EXPECT_GT(level.gravity, 0); // opening is downwards
    EXPECT_LT(level.springs, 0);
    EXPECT_LT(swing.potential_change, 0);
    EXPECT_LT(swing.spring_work, 0);
}

TEST(SideView, FollowsTheAngle) {
    Lift lift = sprung_panel();
    lift.masses[0].across = 50;
    const SideView view = side_view(lift, 90);
    EXPECT_EQ(view.handle, (Point{0, 2000}));
    EXPECT_EQ(view.masses.at(0), (Point{-50, 1000}));
    EXPECT_EQ(view.fixed.at(0), (Point{0, -300}));
    EXPECT_EQ(view.moving.at(0), (Point{0, 400}));
}

TEST(MovingParts, CommonCentreIsTheMassWeightedMean) {
    const MovingMasses moving =
        gather({{"base", Load::panel, 30, 1000, 0}, {"rail", Load::panel, 10, 1800, 40}});
    EXPECT_EQ(moving.mass, 40);
    EXPECT_EQ(moving.along, 1200);
    EXPECT_EQ(moving.across, 10);
    EXPECT_TRUE(moving.findings.empty());
}

TEST(MovingParts, ALineWithoutAPlaceOrMassIsAProblem) {
    const MovingMasses moving = gather({{"base", Load::panel, 30, std::nullopt, std::nullopt},
                                        {"rail", Load::panel, std::nullopt, 1800, std::nullopt}});
    ASSERT_EQ(moving.findings.size(), 2u);
    EXPECT_EQ(moving.findings[0].severity, contract::Severity::problem);
    EXPECT_THAT(moving.findings[0].text,
                HasSubstr("'base' moves with the panel, but nothing says where"));
    EXPECT_THAT(moving.findings[1].text,
                HasSubstr("'rail' moves with the panel, but its mass is not known"));
    EXPECT_TRUE(moving.masses.empty());
}

std::string complaint_of(const Lift& lift) {
    return complaint([&] { (void)sweep(lift); });
}

TEST(BadLift, SpringTooShort) {
    Lift lift = sprung_panel();
    lift.springs[0].spring.extended_length = 690;
    EXPECT_EQ(
        complaint_of(lift),
        "spring 's' at 'm' is too short: at 80.0 deg its ends are 697.4 mm apart, and it reaches "
        "690.0 mm; choose one at least 698.0 mm long extended, or move its ends together");
}

TEST(BadLift, SpringTooLong) {
    Lift lift = sprung_panel();
    lift.springs[0].spring.stroke = 200;
    EXPECT_EQ(
        complaint_of(lift),
        "spring 's' at 'm' is too long: at 0.0 deg its ends are 500.0 mm apart, and it closes to "
        "520.0 mm; choose one that closes to 500.0 mm or less, or move its ends apart");
}

TEST(BadLift, MountingCrossesTheHinge) {
    Lift lift = sprung_panel();
    lift.springs[0].mounting.fixed = {200, -200};
    lift.springs[0].mounting.moving_along = 400;
    lift.end = 150;
    EXPECT_THAT(complaint_of(lift),
                HasSubstr("the line of mounting 'm' crosses the hinge near 135"));
    lift.springs[0].spring = {"s", 400, 1.0, 450, 720, 0, 0};
    lift.springs[0].over_centre = true;
    EXPECT_EQ(complaint_of(lift), "");
}

TEST(BadLift, MountingAtTheHinge) {
    Lift lift = sprung_panel();
    lift.springs[0].mounting.fixed = {0, 0};
    EXPECT_THAT(complaint_of(lift),
                HasSubstr("mounting 'm' has an end at the hinge, where a spring turns nothing"));
}

TEST(BadLift, PanelWithoutMass) {
    Lift lift = sprung_panel();
    lift.masses[0].load = Load::mattress;
    EXPECT_EQ(
        complaint_of(lift),
        "the moving panel has no mass; name the lines that move with it, or give its weighed mass");
    lift.masses[0] = {"panel", -1, 1000, 0, Load::panel};
    EXPECT_THAT(complaint_of(lift), HasSubstr("'panel' has a mass of -1 kg"));
}

TEST(BadLift, SwingAndHandle) {
    Lift lift = sprung_panel();
    lift.end = 0;
    EXPECT_THAT(complaint_of(lift), HasSubstr("the panel swings from 0 to 0 deg"));
    lift.end = 181;
    EXPECT_THAT(complaint_of(lift), HasSubstr("by no more than 180 deg"));
    lift.end = std::numeric_limits<double>::quiet_NaN();
    EXPECT_THAT(complaint_of(lift), HasSubstr("a figure of the lift is not a number"));
    lift = sprung_panel();
    lift.handle_along = 0;
    EXPECT_THAT(complaint_of(lift), HasSubstr("the handle sits at the hinge"));
    lift = sprung_panel();
    lift.hinge_friction = -1;
    EXPECT_THAT(complaint_of(lift), HasSubstr("the hinge has a friction of -1 N·m"));
}

TEST(BadLift, SpringFigures) {
    const auto with = [](GasSpring spring) {
        Lift lift = sprung_panel();
        lift.springs[0].spring = std::move(spring);
        return complaint_of(lift);
    };
    EXPECT_THAT(with({"s", 0, 1, 250, 720, 0, 0}), HasSubstr("spring 's' has a force of 0 N"));
    EXPECT_THAT(with({"s", 400, 0.9, 250, 720, 0, 0}),
                HasSubstr("spring 's' has a progression of 0.9"));
    EXPECT_THAT(with({"s", 400, 1, 0, 720, 0, 0}), HasSubstr("spring 's' has a stroke of 0 mm"));
    EXPECT_THAT(
        with({"s", 400, 1, 250, 720, 480, 0}),
        HasSubstr("spring 's' is 480 mm long closed, but extended length less stroke is 470 mm"));
    EXPECT_THAT(with({"s", 400, 1, 250, 720, 0, -5}),
                HasSubstr("spring 's' has a friction of -5 N"));
    EXPECT_THAT(with({"s", std::numeric_limits<double>::infinity(), 1, 250, 720, 0, 0}),
                HasSubstr("a figure of spring 's' is not a number"));
    Lift none = sprung_panel();
    none.springs[0].count = 0;
    EXPECT_THAT(complaint_of(none), HasSubstr("spring 's' is mounted 0 times"));
}

TEST(BadLift, EveryFaultIsToldAtOnce) {
    Lift lift = sprung_panel();
    lift.masses.clear();
    lift.handle_along = 0;
    lift.springs[0].spring.force = 0;
    EXPECT_EQ(faults_of(lift).size(), 3u);
}

TEST(BadLift, FactorsOfAScenario) {
    EXPECT_THAT(complaint([] {
                    (void)sweep(uniform_panel(), {"odd", true, true, 0, 1, 1, true});
                }),
                HasSubstr("scenario 'odd' has a mass factor of 0"));
    EXPECT_THAT(complaint([] { (void)balancing_force(10, 0, 1); }),
                HasSubstr("a lever arm of 0 mm holds nothing"));
    EXPECT_THAT(complaint([] { (void)balancing_force(10, 5, 0); }),
                HasSubstr("0 springs cannot hold anything"));
}

} // namespace
} // namespace aumbry::hardware_kits
