#include "hardware_kits/engine/lifts/lift_choice.hpp"

#include "faults.hpp"
#include "hardware_kits/engine/cautions.hpp"
#include "hardware_kits/engine/lifts/lift_scenarios.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <string>

namespace aumbry::hardware_kits {
namespace {

using ::testing::HasSubstr;

/// A lift-up base of 1400 x 2000 mm plywood of 680 kg/m3 hinged at its long side, with mattress and
/// bedding.
Lift lift_up_base(double thickness, double mattress) {
    Lift lift;
    lift.end = 70;
    lift.masses = {{"base", 1.4 * 2.0 * thickness / 1000 * 680, 700, 0, Load::panel},
                   {"mattress", mattress, 700, 100, Load::mattress},
                   {"bedding", 4, 700, 200, Load::bedding}};
    lift.handle_along = 1380;
    return lift;
}

std::vector<GasSpring> springs() {
    std::vector<GasSpring> all;
    for (int force = 500; force <= 1200; force += 50)
        all.push_back(
            {std::to_string(force) + " N", static_cast<double>(force), 1.3, 250, 600, 0, 30});
    return all;
}

const std::vector<Mounting> mountings{{"rear", {100, -100}, 500, -20},
                                      {"low", {100, -80}, 480, -20}};

SpringChoice choose(const Lift& lift, const HandLimits& limits = {200, 200, 150, 5}) {
    return choose_springs(lift, springs(), mountings, {2}, usual_scenarios(lift), limits);
}

TEST(SpringChoice, KeepsEveryLimitInEveryJudgedScenario) {
    const Lift lift = lift_up_base(18, 18);
    const HandLimits limits{200, 200, 150, 5};
    const SpringChoice choice = choose(lift, limits);
    ASSERT_TRUE(choice.chosen) << choice.why;
    const SpringOffer& best = choice.offers[*choice.chosen];
    Lift fitted = lift;
    fitted.springs.push_back({best.spring, best.mounting, best.count, false});
    for (const Scenario& scenario : usual_scenarios(lift)) {
        if (!scenario.judged) continue;
        const Swing swing = sweep(fitted, scenario);
        for (const SwingSample& sample : swing.samples) {
            EXPECT_LE(sample.hand_to_open, limits.open);
            EXPECT_LE(sample.hand_to_close, limits.close);
            EXPECT_GE(sample.hand_to_open, -limits.hold_back);
            EXPECT_GE(sample.hand_to_close, -limits.hold_back);
        }
        EXPECT_GE(swing.samples.front().hand_to_open, best.safest_end);
        EXPECT_GE(swing.samples.back().hand_to_close, best.safest_end);
    }
    for (const SpringOffer& offer : choice.offers) {
        EXPECT_EQ(offer.reasons.empty(), offer.fits);
        if (offer.fits) {
            EXPECT_LE(offer.safest_end, best.safest_end);
        }
    }
}

TEST(SpringChoice, AHeavierMattressAsksForStrongerSprings) {
    const SpringChoice light = choose(lift_up_base(18, 18));
    const SpringChoice heavy = choose(lift_up_base(18, 26));
    ASSERT_TRUE(light.chosen && heavy.chosen) << light.why << '\n' << heavy.why;
    EXPECT_GT(heavy.offers[*heavy.chosen].spring.force, light.offers[*light.chosen].spring.force);
}

TEST(SpringChoice, AThinnerBaseAsksForWeakerSprings) {
    const SpringChoice thick = choose(lift_up_base(18, 18));
    const SpringChoice thin = choose(lift_up_base(12, 18));
    ASSERT_TRUE(thick.chosen && thin.chosen) << thick.why << '\n' << thin.why;
    EXPECT_LT(thin.offers[*thin.chosen].spring.force, thick.offers[*thick.chosen].spring.force);
}

TEST(SpringChoice, SaysThatNoneDoesAndWhichIsNearest) {
    const SpringChoice choice = choose(lift_up_base(18, 18), {20, 20, 10, 5});
    EXPECT_FALSE(choice.chosen);
    ASSERT_TRUE(choice.nearest);
    EXPECT_THAT(choice.why, HasSubstr("none of 30 keeps the limits; nearest is 2 x '"));
    EXPECT_EQ(choice.findings.front().severity, contract::Severity::problem);
    EXPECT_EQ(choice.findings.front().code, "no-spring-fits");
}

TEST(SpringChoice, SaysWhenNothingCanBeMounted) {
    const SpringChoice choice =
        choose_springs(lift_up_base(18, 18), {{"stub", 800, 1.3, 50, 200, 0, 0}}, mountings, {2},
                       usual_scenarios(lift_up_base(18, 18)), {});
    EXPECT_FALSE(choice.chosen);
    EXPECT_FALSE(choice.nearest);
    EXPECT_THAT(
        choice.why,
        HasSubstr("none of 2 can be mounted; the first: spring 'stub' at 'rear' is too short"));
}

TEST(SpringChoice, AdvisesToWeighThePanelBeforeOrdering) {
    const SpringChoice choice = choose(lift_up_base(18, 18));
    EXPECT_TRUE(std::any_of(
        choice.findings.begin(), choice.findings.end(),
        [](const contract::Finding& finding) { return finding.code == "weigh-before-ordering"; }));
}

TEST(SpringChoice, WarnsOfTheUnloadedPanel) {
    const SpringChoice choice = choose(lift_up_base(12, 26));
    ASSERT_TRUE(choice.chosen) << choice.why;
    // A panel that moves by itself maims, one that is hard to move does not.
    int told = 0;
    for (const contract::Finding& finding : choice.findings) {
        if (!finding.code.starts_with("unloaded-")) continue;
        ++told;
        const bool by_itself =
            finding.code == "unloaded-slams-shut" || finding.code == "unloaded-flies-open";
        EXPECT_EQ(finding.severity,
                  by_itself ? contract::Severity::warning : contract::Severity::caution)
            << finding.code;
        // It said to keep the springs unloaded, when the plan fits them before the mattress is
        // laid, as makers of kits do with the panel propped (common practice).
        EXPECT_NE(finding.text.find("propped where they are slack until the mattress is in"),
                  std::string::npos)
            << finding.text;
        EXPECT_NE(finding.text.find("maker of the kit"), std::string::npos);
    }
    EXPECT_GT(told, 0);
}

TEST(SpringChoice, RefusesToChooseAmongNothing) {
    const Lift lift = lift_up_base(18, 18);
    EXPECT_THAT(complaint([&] {
                    (void)choose_springs(lift, {}, mountings, {2}, usual_scenarios(lift), {});
                }),
                HasSubstr("no springs, mountings or counts to choose among"));
    EXPECT_THAT(complaint([&] { (void)choose_springs(lift, springs(), mountings, {2}, {}, {}); }),
                HasSubstr("no scenario is to be judged"));
    Lift empty = lift;
    empty.masses.clear();
    EXPECT_THAT(complaint([&] {
                    (void)choose_springs(empty, springs(), mountings, {2}, usual_scenarios(lift),
                                         {});
                }),
                HasSubstr("the moving panel has no mass"));
}

TEST(Limits, SlamsWhereItMustBeHeldBackMoreThanTheLimit) {
    // 20 kg at 1 m with the handle at 1 m: 196.133 cos t N to hold back; above 98.07 N below 60
    // deg.
    Lift lift;
    lift.masses = {{"lid", 20, 1000, 0, Load::panel}};
    lift.handle_along = 1000;
    const Verdict verdict = judge(lift, sweep(lift), {250, 250, 98.07, 0});
    ASSERT_EQ(verdict.slams.size(), 1u);
    EXPECT_EQ(verdict.slams[0].from, 0);
    EXPECT_NEAR(verdict.slams[0].to, 60, 0.51);
    EXPECT_NEAR(verdict.slams[0].worst.force, 196.13, 0.01);
    EXPECT_TRUE(verdict.flies.empty());
    ASSERT_EQ(verdict.breaches.size(), 1u);
    EXPECT_EQ(verdict.breaches[0].code, "slams-shut");
    EXPECT_THAT(verdict.breaches[0].sentence,
                HasSubstr("slams shut; at 0 deg it has to be held back with 196 N"));
}

TEST(Limits, FliesOpenAndDoesNotStayShutWhenSpringsAreTooStrong) {
    Lift lift;
    lift.end = 80;
    lift.masses = {{"lid", 10, 500, 0, Load::panel}};
    lift.handle_along = 1000;
    lift.torques = {{"coil", 250, 250}};
    const Verdict verdict = judge(lift, sweep(lift), {150, 300, 100, 5});
    std::vector<std::string> codes;
    for (const Breach& breach : verdict.breaches) codes.push_back(breach.code);
    EXPECT_THAT(codes, ::testing::ElementsAre("flies-open", "start-not-held"));
    lift.start_latched = true;
    EXPECT_EQ(judge(lift, sweep(lift), {150, 300, 100, 5}).breaches.size(), 1u);
}

TEST(Limits, SayWhetherAFoldUpPanelFallsOrIsThrown) {
    Lift lift; // stowed at 90 deg, opened downwards
    lift.start = 90;
    lift.end = 0;
    lift.masses = {{"panel", 40, 1000, 0, Load::panel}};
    lift.handle_along = 2000;
    const HandLimits limits{400, 400, 100, 0};
    const Verdict bare = judge(lift, sweep(lift), limits);
    ASSERT_FALSE(bare.flies.empty());
    EXPECT_THAT(bare.breaches.at(0).sentence, HasSubstr("falls open; at 0 deg"));
    lift.torques = {{"coil", -700, -700}};
    const Verdict strong = judge(lift, sweep(lift), limits);
    ASSERT_FALSE(strong.slams.empty());
    EXPECT_THAT(strong.breaches.at(0).sentence, HasSubstr("flies shut; at 90 deg"));
}

TEST(Limits, MustNotBeNegative) {
    const Lift lift = lift_up_base(18, 18);
    EXPECT_THAT(complaint([&] {
                    (void)judge(lift, sweep(lift), {-1, 1, 1, 1});
                }),
                HasSubstr("the limit 'open' is -1 N"));
}

TEST(Scenarios, GasForceFollowsAbsoluteTemperature) {
    // Ideal gas at fixed volume: 278.15 / 293.15 and 308.15 / 293.15.
    EXPECT_NEAR(temperature_factor(5, 20), 0.94883, 1e-5);
    EXPECT_NEAR(temperature_factor(35, 20), 1.05117, 1e-5);
    EXPECT_THAT(complaint([] { (void)temperature_factor(120, 20); }),
                HasSubstr("at 120 °C is outside"));
}

TEST(Scenarios, CoverLoadsWarmthAgeAndMassAndOnlyTellTheBarePanel) {
    const std::vector<Scenario> scenarios = usual_scenarios(lift_up_base(18, 18));
    EXPECT_EQ(scenarios.size(), 24u);
    for (const Scenario& s : scenarios) EXPECT_EQ(s.judged, s.mattress);
    Lift lid;
    lid.masses = {{"lid", 5, 200, 0, Load::panel}};
    for (const Scenario& s : usual_scenarios(lid)) EXPECT_TRUE(s.judged);
    EXPECT_THAT(complaint([&] {
                    (void)usual_scenarios(lid, {20, 30, 10, 0.9, 0.05});
                }),
                HasSubstr("is above warm"));
    EXPECT_THAT(complaint([&] {
                    (void)usual_scenarios(lid, {20, 5, 35, 1.1, 0.05});
                }),
                HasSubstr("keep 1.1 of its force"));
    EXPECT_THAT(complaint([&] {
                    (void)usual_scenarios(lid, {20, 5, 35, 0.9, 1});
                }),
                HasSubstr("range by a share of 1"));
    EXPECT_THAT(stated({}), HasSubstr("from 5 to 35 °C"));
}

TEST(Cautions, CoverEveryHazardThatMustBeSaid) {
    std::string all;
    for (const Caution& caution : cautions()) all += caution.text + '\n';
    for (const char* word : {"stores energy", "crushes and traps", "can fall", "Children",
                             "instructions and local codes", "EN 1129", "EN 747",
                             "16 CFR 1213 and 1513", "sockets", "licensed", "competent person"})
        EXPECT_THAT(all, HasSubstr(word));
    EXPECT_FALSE(cautions_for(Hazard::electric).empty());
    // ANSI Z535.4: WARNING is what could kill or seriously injure.
    for (const char* code :
         {"stored-energy", "crushing-and-entrapment", "falling-panel", "children",
          "unanchored-frame", "bunk-beds", "fix-to-structure", "electric-work"})
        EXPECT_EQ(caution(code).severity, contract::Severity::warning) << code;
    for (const char* code : {"maker-and-codes-first", "weigh-before-ordering", "foldaway-beds"})
        EXPECT_EQ(caution(code).severity, contract::Severity::caution) << code;
    EXPECT_THAT(complaint([] { (void)caution_text("nonsense"); }),
                HasSubstr("unknown caution 'nonsense'"));
}

} // namespace
} // namespace aumbry::hardware_kits
