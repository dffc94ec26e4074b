#include "constants.hpp"
#include "hardware_kits/engine/fixings/anchors.hpp"

#include "faults.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry::hardware_kits {
namespace {

using ::testing::HasSubstr;

constexpr double pound = 4.4482216152605;

AnchoredFrame frame() {
    return {"frame", 400, true, 30, 200, {{2000, 4}}};
}

TEST(WoodScrew, WithdrawalExampleOf109PoundsAnInch) {
    // Published wood-screw rule 2850 G2 D: G 0.45, D 0.190 in gives 109 lb/in as printed (exact
    // 109.65).
    const double pounds_an_inch = wood_screw_withdrawal(0.45, 0.190 * inch) / pound * inch;
    EXPECT_NEAR(pounds_an_inch, 109.65, 0.01);
    EXPECT_EQ(static_cast<int>(pounds_an_inch), 109);
}

TEST(WoodScrew, ThreadNeededIsPullOverWithdrawal) {
    EXPECT_NEAR(thread_needed(109.65 * pound * 2, 0.45, 0.190 * inch), 2 * inch, 0.01);
    EXPECT_EQ(thread_needed(-5, 0.45, 4.8), 0);
}

TEST(WoodScrew, BadFigures) {
    EXPECT_THAT(complaint([] { (void)wood_screw_withdrawal(0, 5); }),
                HasSubstr("a wood of specific gravity 0"));
    EXPECT_THAT(complaint([] { (void)wood_screw_withdrawal(0.5, 0); }),
                HasSubstr("a screw of 0 mm diameter"));
}

TEST(AnchorForce, SomeoneSittingOnTheEndBalancesAboutTheFrontEdge) {
    // Moments about the front edge, by hand: panel 50 kg at 1.4 - 0.4 m, person 80 kg at 2.4 - 0.4
    // m twice over, frame 30 kg holding back 0.4 - 0.2 m, over 2 m of height and 4 screws.
    const AnchorForce force = anchor_force(frame(), sitting_on_end(50, 1400, 80, 2400));
    const double moment = 9.80665 * (50 * 1.0 + 2 * 80 * 2.0 - 30 * 0.2);
    EXPECT_NEAR(force.moment, moment, 0.001);
    EXPECT_NEAR(force.greatest_pull, moment / 2.0 / 4, 0.01);
    EXPECT_NEAR(force.pull_total, moment / 2.0, 0.01);
    EXPECT_EQ(force.shear, 0);
}

TEST(AnchorForce, PullingTheLoadedPanelDownCountsTheHandOnce) {
    const AnchorForce force = anchor_force(frame(), pulled_down(50, 1400, 150, 2350));
    EXPECT_NEAR(force.moment, 9.80665 * (50 * 1.0 - 30 * 0.2) + 150 * 1.95, 0.001);
}

TEST(AnchorForce, AFrameThatStandsByItselfPullsOnNothing) {
    AnchoredFrame heavy = frame();
    heavy.mass = 400;
    EXPECT_EQ(anchor_force(heavy, pulled_down(10, 500, 0, 600)).greatest_pull, 0);
}

TEST(AnchorForce, RowsShareInProportionToTheirHeight) {
    AnchoredFrame rows = frame();
    rows.rows = {{2000, 2}, {1000, 2}};
    const AnchorForce force = anchor_force(rows, sitting_on_end(50, 1400, 80, 2400));
    EXPECT_NEAR(force.row_pull[0], 2 * force.row_pull[1], 0.011);
    // Equilibrium: the screws' moments make up the whole.
    EXPECT_NEAR(2 * force.row_pull[0] * 2.0 + 2 * force.row_pull[1] * 1.0, force.moment, 0.05);
}

TEST(AnchorForce, HungOnTheWallTheScrewsCarryTheWeightInShear) {
    AnchoredFrame hung = frame();
    hung.on_floor = false;
    hung.turning_edge = 0;
    hung.rows = {{200, 6}};
    const AnchorForce force =
        anchor_force(hung, {"rest", {{"panel", 300, 500, 0, 0, 1}, {"pull", 0, 0, 60, 100, 1}}});
    EXPECT_NEAR(force.shear, (30 * 9.80665 + 300) / 6, 0.01);
    const double moment = 30 * 9.80665 * 0.2 + 300 * 0.5 + 60 * 0.1;
    EXPECT_NEAR(force.greatest_pull, moment / 0.2 / 6 + 60.0 / 6, 0.01);
}

TEST(AnchorForce, BadFigures) {
    const AnchorCase sitting = sitting_on_end(50, 1400, 80, 2400);
    AnchoredFrame bad = frame();
    bad.rows.clear();
    EXPECT_THAT(complaint([&] { (void)anchor_force(bad, sitting); }),
                HasSubstr("frame 'frame' has no screws to the wall"));
    bad.rows = {{0, 4}};
    EXPECT_THAT(complaint([&] { (void)anchor_force(bad, sitting); }),
                HasSubstr("a row of 4 screws at 0 mm"));
    bad = frame();
    bad.mass = -1;
    EXPECT_THAT(complaint([&] { (void)anchor_force(bad, sitting); }), HasSubstr("are negative"));
    EXPECT_THAT(complaint([&] { (void)sitting_on_end(-50, 1400, 80, 2400); }),
                HasSubstr("'panel' has a mass of -50 kg"));
    EXPECT_THAT(complaint([&] {
                    (void)anchor_force(frame(), {"c", {{"x", 1, 1, 1, 1, 0.5}}});
                }),
                HasSubstr("load 'x' has a factor of 0.5"));
}

TEST(AnchorFindings, AnUnknownWallIsAProblem) {
    const AnchorForce force = anchor_force(frame(), sitting_on_end(50, 1400, 80, 2400));
    const std::vector<contract::Finding> findings = anchor_findings(frame(), {force});
    ASSERT_EQ(findings.size(), 1u);
    EXPECT_THAT(findings[0].text, HasSubstr("each screw must hold 446 N of pull"));
    EXPECT_THAT(findings[0].text, HasSubstr("certifies nothing"));
}

TEST(AnchorFindings, FewerThanFourScrewsIsAWarning) {
    // Common practice: four screws at least, into structure.
    AnchoredFrame few = frame();
    few.rows = {{2000, 3}};
    const std::vector<contract::Finding> findings = anchor_findings(few, {});
    ASSERT_EQ(findings.size(), 2u);
    EXPECT_EQ(findings[0].code, "few-anchors");
    EXPECT_EQ(findings[0].severity, contract::Severity::warning);
    EXPECT_EQ(findings[1].code, "fix-to-structure");
    EXPECT_EQ(findings[1].severity, contract::Severity::warning);
}

TEST(AnchorFindings, AskForACompetentPersonWhateverTheForces) {
    EXPECT_THAT(anchor_findings(frame(), {}).back().text,
                HasSubstr("a competent person must check"));
}

TEST(AnchorClimbing, AChildTurnsAnEmptyBookcaseAboutItsFrontEdge) {
    // A bookcase of 40 kg, 300 mm deep, held at 2.0 m. It would turn about its front edge, 300 mm
    // from the wall. Its own weight, 150 mm behind that edge, holds it with 40 x 9.80665 x 0.15 =
    // 58.84 N·m. A child of 27.2 kg whose centre hangs 150 mm in front of the edge turns it with
    // 27.2 x 9.80665 x 0.15 = 40.01 N·m, and its hands pull 44.5 N outwards at 1.422 m, the most
    // that tests of tipping ask: 63.28 N·m. What is left, 40.01 + 63.28 - 58.84 = 44.45 N·m, one
    // screw at 2.0 m takes with 22.2 N.
    AnchoredFrame bookcase{"bookcase", 300, true, 40, 150, {{2000, 1}}};
    const AnchorForce force = anchor_force(bookcase, climbed_on(300, 2000, true));
    EXPECT_NEAR(force.moment, 44.45, 0.02);
    EXPECT_NEAR(force.greatest_pull, 22.2, 0.1);
}

TEST(AnchorClimbing, PullsOnWhateverStandsUpright) {
    // The load at rest in the middle of a piece never tips it, so its pull was nil whatever the
    // piece: 46 kg of lockers, 305 mm deep and 1676 high.
    AnchoredFrame lockers{"lockers", 305, true, 46, 152.5, {{1600, 5}, {76, 5}}};
    EXPECT_GT(anchor_force(lockers, climbed_on(305, 1600, true)).greatest_pull, 0);
}

} // namespace
} // namespace aumbry::hardware_kits
