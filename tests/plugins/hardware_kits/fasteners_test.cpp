#include "hardware_kits/engine/fasteners/fasteners.hpp"

#include "faults.hpp"
#include "hardware_kits/engine/fasteners/glue.hpp"
#include "hardware_kits/engine/fasteners/joints.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <limits>
#include <numeric>

namespace aumbry::hardware_kits {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;

TEST(FastenerRow, EightHundredMillimetresTakeFiveScrewsAt175) {
    // Common practice: 150 to 200 mm apart, the first 40 to 50 mm from the end. 700 / 200 = 3.5, so
    // four gaps.
    const FastenerRow row = fastener_row({"side", 800, 200, 50, 2, 3});
    EXPECT_EQ(row.each, 5);
    EXPECT_EQ(row.count, 15);
    EXPECT_EQ(row.spacing, 175);
    EXPECT_THAT(row.positions, ElementsAre(50, 225, 400, 575, 750));
}

TEST(FastenerRow, AWholeNumberOfGapsIsNotRoundedUp) {
    EXPECT_EQ(fastener_row({"a", 700, 200, 50, 2, 1}).each, 4);
    // 0.1 three times over is not 0.3 in floating point; the count must not hang on it.
    EXPECT_EQ(fastener_row({"b", 0.3, 0.1, 0, 2, 1}).each, 4);
    // 48 in with 2 in ends and 8 in spacing: 44 / 8 = 5.5, six gaps.
    EXPECT_EQ(fastener_row({"c", 48 * 25.4, 8 * 25.4, 2 * 25.4, 2, 1}).each, 7);
    EXPECT_EQ(fastener_row({"d", 700.01, 200, 50, 2, 1}).each, 5);
}

TEST(FastenerRow, AtLeastTwoAJoint) {
    const FastenerRow row = fastener_row({"short", 120, 200, 50, 2, 1});
    EXPECT_EQ(row.each, 2);
    EXPECT_EQ(row.spacing, 20);
    const FastenerRow one = fastener_row({"one", 100, 200, 50, 1, 1});
    EXPECT_THAT(one.positions, ElementsAre(50));
}

TEST(FastenerRow, BadFigures) {
    const auto with = [](Joint joint) { return complaint([&] { (void)fastener_row(joint); }); };
    EXPECT_EQ(with({"j", 80, 200, 50, 2, 1}),
              "joint 'j' is 80 mm long, shorter than two end distances of 50 mm; lessen the "
              "end distance, or join it with glue alone");
    EXPECT_EQ(
        with({"j", 800, -200, 50, 2, 1}),
        "the spacing of joint 'j' is -200 mm; give a spacing above 0 mm, commonly 150 to 200 mm");
    EXPECT_THAT(with({"j", 800, 0, 50, 2, 1}), HasSubstr("the spacing of joint 'j' is 0 mm"));
    EXPECT_THAT(with({"j", 800, 200, -1, 2, 1}),
                HasSubstr("the end distance of joint 'j' is -1 mm"));
    EXPECT_THAT(with({"j", 100, 200, 50, 2, 1}),
                HasSubstr("room for one fastener, and at least 2"));
    EXPECT_THAT(with({"j", 800, 0.01, 50, 2, 1}), HasSubstr("would take 70001 fasteners"));
    EXPECT_THAT(with({"j", 800, 200, 50, 0, 1}), HasSubstr("fewer than one fastener or joint"));
    EXPECT_THAT(with({"j", std::numeric_limits<double>::infinity(), 200, 50, 2, 1}),
                HasSubstr("no usable length"));
}

TEST(ScrewLength, PluggedScrewIsThicknessLessCounterborePlusPenetration) {
    // Common practice. 18 mm fixed, 8 mm counterbore, 30 mm into an edge: 18 - 8 + 30 = 40.
    const ScrewLength screw = screw_length({"side", 18, 400, 8, 30, 2}, {25, 30, 35, 40, 45, 50});
    EXPECT_EQ(screw.wanted, 40);
    EXPECT_EQ(screw.length, 40);
    EXPECT_EQ(screw.penetration, 30);
    EXPECT_EQ(screw.rounding, 0);
    EXPECT_TRUE(screw.findings.empty());
}

TEST(ScrewLength, WithoutCounterboreIsTwoTimesTheThicknessFixed) {
    // Common practice: 2 to 2.5 times the thickness of the part fixed.
    const ScrewLength screw = screw_length({"side", 18, 400, 0, 0, 2}, {25, 30, 35, 40, 45, 50});
    EXPECT_EQ(screw.wanted, 36);
    EXPECT_EQ(screw.length, 35);
    EXPECT_EQ(screw.rounding, -1);
}

TEST(ScrewLength, IntoAnEdgeIsTwiceAsDeep) {
    // 18 + 2 x 18 = 54: into the edge of a panel 2 to 2.5 times what is fixed (common practice).
    const ScrewLength screw = screw_length({"side", 18, 400, 0, 0, 2, true}, {35, 40, 50, 55, 60});
    EXPECT_EQ(screw.wanted, 54);
    EXPECT_EQ(screw.length, 55);
    // What the line states comes first.
    EXPECT_EQ(screw_length({"side", 18, 400, 8, 35, 2, true}, {40, 45, 50}).wanted, 45);
}

TEST(ScrewLength, NeverComesThroughTheFarSide) {
    // 18 + 18 - 2 mm of cover: no more than 34.
    const ScrewLength screw = screw_length({"faces", 18, 18, 0, 0, 2}, {25, 30, 35, 40});
    EXPECT_EQ(screw.length, 30);
    EXPECT_EQ(screw.penetration, 12);
    ASSERT_EQ(screw.findings.size(), 1u);
    EXPECT_EQ(screw.findings[0].code, "short-penetration");
}

TEST(ScrewLength, BadFigures) {
    const auto with = [](ScrewJoint joint, std::vector<double> stocked) {
        return complaint([&] { (void)screw_length(joint, stocked); });
    };
    EXPECT_THAT(with({"j", 0, 18, 0, 0, 2}, {30}), HasSubstr("joint 'j' joins 0 mm to 18 mm"));
    EXPECT_THAT(with({"j", 18, 18, 18, 0, 2}, {30}),
                HasSubstr("the counterbore of joint 'j' is 18 mm in a part of 18 mm"));
    EXPECT_THAT(with({"j", 18, 18, 0, -1, 2}, {30}),
                HasSubstr("penetration or cover of joint 'j' is negative"));
    EXPECT_EQ(with({"j", 18, 12, 0, 0, 2}, {16, 30, 40}),
              "no stocked screw suits joint 'j': it must be longer than 18 mm to hold and no "
              "longer than 28 mm not to come "
              "through; stock one near 28 mm");
}

TEST(EdgeDistance, IsThreeDiameters) {
    EXPECT_EQ(min_edge_distance(4), 12); // common practice: 2 to 3 diameters
    EXPECT_THAT(complaint([] { (void)min_edge_distance(0); }),
                HasSubstr("a screw of 0 mm diameter"));
}

TEST(Plugs, StickHoldsEveryPlugWithItsCut) {
    const PlugStock stock = plug_stock({10, 8, 8.5, 2}, 24, 1);
    EXPECT_EQ(stock.plugs, 24);
    EXPECT_EQ(stock.length_each, 10);
    EXPECT_EQ(stock.stick, 264);
}

TEST(Plugs, BadFigures) {
    EXPECT_THAT(complaint([] {
                    (void)plug_stock({8, 8, 8.5, 2}, 4, 1);
                }),
                HasSubstr("a plug hole of 8 mm does not take a screw head of 8.5 mm"));
    EXPECT_THAT(complaint([] {
                    (void)plug_stock({10, 0, 8.5, 2}, 4, 1);
                }),
                HasSubstr("a plug of 0 mm depth"));
    EXPECT_THAT(complaint([] { (void)plug_stock({10, 8, 8.5, 2}, -1, 1); }), HasSubstr("-1 plugs"));
}

TEST(Dowels, LongestThatFitsBothHoles) {
    // 18 - 5 into the face, 25 into the edge, 1 mm of glue at either end: 36.
    EXPECT_EQ(dowel_length({"d", 18, 5, 25, 1}, {30, 35, 40}), 35);
    EXPECT_THAT(complaint([] {
                    (void)dowel_length({"d", 18, 5, 10, 1}, {30, 35});
                }),
                HasSubstr("no stocked dowel fits joint 'd': 13 mm into the face and 10 mm into the "
                          "edge leave 21 mm"));
}

TEST(Glue, AmountIsAreaTimesSpread) {
    // 2 joints of 1 m by 18 mm at 180 g/m2: 6.48 g, at 1.1 g/mL 5.891 mL, with a tenth lost 6.545
    // mL.
    const GlueAmount glue = glue_amount({"j", 1000, 18, 2}, {});
    EXPECT_NEAR(glue.wood, 6.55, 0.011);
    EXPECT_EQ(glue.wood_length, 2000);
    EXPECT_EQ(glue.instant, 0);
}

TEST(Glue, InstantGlueTakesTurnsEvery100Millimetres) {
    // Common practice: instant glue beside wood glue as a clamp, alternating every 100 mm.
    GlueRule rule;
    rule.pitch = 100;
    EXPECT_EQ(glue_amount({"j", 1000, 18, 1}, rule).instant_length, 500);
    EXPECT_EQ(glue_amount({"j", 1000, 18, 1}, rule).wood_length, 500);
    EXPECT_EQ(glue_amount({"j", 750, 18, 1}, rule).instant_length,
              350); // the last 50 mm fall to instant glue
    EXPECT_EQ(glue_amount({"j", 850, 18, 2}, rule).instant_length, 800);
    EXPECT_EQ(glue_amount({"j", 80, 18, 1}, rule).instant_length, 0);
    EXPECT_NEAR(glue_amount({"j", 1000, 18, 1}, rule).instant, 500 * 0.01 / 0.9, 0.01);
}

TEST(Glue, OnDowelsIsTheirSurfaceTimesTheSpreadOfOneFace) {
    // 100 dowels of 8 x 35 mm: pi x 8 x 35 = 879.6 mm2 each, 0.08796 m2 in all; 90 g/m2 on one face
    // make 7.917 g, 7.197 mL at 1.1 g/mL, and 8.0 mL with a tenth lost.
    EXPECT_NEAR(glue_on_dowels(8, 35, 100, GlueRule()), 8.0, 0.01);
    EXPECT_THAT(complaint([] { (void)glue_on_dowels(0, 35, 1, GlueRule()); }),
                HasSubstr("dowels of 0 x 35 mm"));
}

TEST(Glue, BadFigures) {
    EXPECT_THAT(complaint([] {
                    (void)glue_amount({"j", 0, 18, 1}, {});
                }),
                HasSubstr("glue joint 'j' is 0 by 18 mm"));
    GlueRule rule;
    rule.loss = 1;
    EXPECT_THAT(complaint([&] {
                    (void)glue_amount({"j", 10, 18, 1}, rule);
                }),
                HasSubstr("is out of range"));
}

} // namespace
} // namespace aumbry::hardware_kits
