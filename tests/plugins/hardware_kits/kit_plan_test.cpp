#include "constants.hpp"
#include "hardware_kits/engine/kits/kit_plan.hpp"

#include "faults.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

namespace aumbry::hardware_kits {
namespace {

using ::testing::HasSubstr;

/// An invented plan in inches for a 60 x 80 in mattress: a frame round it with 1/4 in of gap on
/// three sides (common practice for a fold-up panel).
KitPlan plan() {
    KitPlan plan;
    plan.name = "fold-up";
    plan.nominal = {60 * inch, 80 * inch, 10 * inch};
    plan.sizes = {{"frame width", 63.5 * inch, Follows::mattress_width, false},
                  {"left side", 0.75 * inch, Follows::nothing, false},
                  {"left gap", 0.25 * inch, Follows::nothing, false},
                  {"panel", 61.5 * inch, Follows::mattress_width, false},
                  {"right side and gap", 1 * inch, Follows::nothing, false},
                  {"side rail", 82.125 * inch, Follows::mattress_length, false},
                  {"pivot height", 9.8125 * inch, Follows::nothing, true},
                  {"plate holes", 1.25984375 * inch, Follows::nothing, true}};
    plan.chains = {{"frame width", {"left side", "left gap", "panel", "right side and gap"}}};
    return plan;
}

const CutSize& cut(const std::vector<CutSize>& cuts, const std::string& name) {
    return *std::find_if(cuts.begin(), cuts.end(),
                         [&](const CutSize& c) { return c.name == name; });
}

TEST(KitPlan, OnlySizesThatFollowTheMattressShiftByTheDifference) {
    const std::vector<CutSize> cuts = redimension(plan(), {1600, 2000, 200}, CutStep::mm);
    EXPECT_DOUBLE_EQ(cut(cuts, "frame width").shift, 1600 - 1524);
    EXPECT_DOUBLE_EQ(cut(cuts, "panel").shift, 76);
    EXPECT_DOUBLE_EQ(cut(cuts, "side rail").shift, 2000 - 2032);
    EXPECT_DOUBLE_EQ(cut(cuts, "left gap").shift, 0);
}

TEST(KitPlan, PivotsPlatesAndHoleSpacingsNeitherScaleNorRound) {
    for (const MattressSize& mattress :
         {MattressSize{900, 1900, 150}, MattressSize{1800, 2200, 300}}) {
        const std::vector<CutSize> cuts = redimension(plan(), mattress, CutStep::mm);
        for (const char* name : {"pivot height", "plate holes"}) {
            EXPECT_EQ(cut(cuts, name).rounding, 0);
            EXPECT_EQ(cut(cuts, name).shift, 0);
        }
        EXPECT_DOUBLE_EQ(cut(cuts, "pivot height").size, 249.2375);
    }
}

TEST(KitPlan, TheLastPartOfAChainComesBySubtraction) {
    // Whole millimetres, reckoned by hand: 1688.9 -> 1689; 19.05 -> 19; 6.35 -> 6; 1638.1 -> 1638;
    // left over 26, and rounding each alone would have made it 25.4 -> 25 and the parts a
    // millimetre short.
    const std::vector<CutSize> cuts = redimension(plan(), {1600, 2000, 200}, CutStep::mm);
    EXPECT_EQ(cut(cuts, "frame width").size, 1689);
    EXPECT_EQ(cut(cuts, "left side").size, 19);
    EXPECT_EQ(cut(cuts, "left gap").size, 6);
    EXPECT_EQ(cut(cuts, "panel").size, 1638);
    const CutSize& last = cut(cuts, "right side and gap");
    EXPECT_TRUE(last.by_subtraction);
    EXPECT_EQ(last.size, 26);
    EXPECT_DOUBLE_EQ(last.rounding, 0.6);
}

TEST(KitPlan, PartsAddUpToTheWholeInEveryUnit) {
    for (CutStep step : {CutStep::tenth_mm, CutStep::half_mm, CutStep::mm, CutStep::inch_16,
                         CutStep::inch_32, CutStep::inch_64})
        for (double width = 800; width < 2000; width += 37.3) {
            const std::vector<CutSize> cuts = redimension(plan(), {width, 2000, 200}, step);
            const double parts = cut(cuts, "left side").size + cut(cuts, "left gap").size +
                                 cut(cuts, "panel").size + cut(cuts, "right side and gap").size;
            EXPECT_NEAR(parts, cut(cuts, "frame width").size, 1e-9);
        }
}

TEST(KitPlan, EveryRoundingErrorIsShownAndWithinHalfAStep) {
    for (const CutSize& c : redimension(plan(), {1533.33, 2011, 200}, CutStep::inch_32)) {
        EXPECT_NEAR(c.exact + c.rounding, c.size, 1e-9) << c.name;
        if (c.by_subtraction) continue;
        EXPECT_LE(std::abs(c.rounding), inch / 64 + 1e-9) << c.name;
    }
}

TEST(KitPlan, TheNominalMattressInThePlansOwnUnitChangesNothing) {
    for (const CutSize& c : redimension(plan(), plan().nominal, CutStep::inch_16)) {
        EXPECT_EQ(c.shift, 0) << c.name;
        EXPECT_NEAR(c.size, c.planned, c.fixed_by_kit ? 0 : 1e-9) << c.name;
    }
}

TEST(KitPlan, MetricPlanForAnInchMattress) {
    KitPlan metric;
    metric.name = "metric";
    metric.nominal = {1400, 2000, 200};
    metric.sizes = {{"panel", 1420, Follows::mattress_width, false}};
    // 54 in = 1371.6 mm; 1420 - 28.4 = 1391.6 mm = 54.787 in, 54 25/32 in = 1391.44375 mm.
    const std::vector<CutSize> cuts =
        redimension(metric, {54 * inch, 75 * inch, 200}, CutStep::inch_32);
    EXPECT_NEAR(cuts[0].exact, 1391.6, 1e-9);
    EXPECT_EQ(cut_text(cuts[0].size, CutStep::inch_32), "54 25/32 in");
    EXPECT_NEAR(cuts[0].rounding, -0.15625, 1e-9);
}

TEST(CutText, ReadsAsAMakerReadsIt) {
    EXPECT_EQ(cut_text(1524, CutStep::inch_16), "60 in");
    EXPECT_EQ(cut_text(6.35, CutStep::inch_64), "1/4 in");
    EXPECT_EQ(cut_text(59.8125 * inch, CutStep::inch_16), "59 13/16 in");
    EXPECT_EQ(cut_text(1688.9, CutStep::mm), "1689 mm");
    EXPECT_EQ(cut_text(1688.85, CutStep::half_mm), "1689 mm");
    EXPECT_EQ(cut_text(1688.7, CutStep::half_mm), "1688.5 mm");
    EXPECT_EQ(cut_text(0, CutStep::mm), "0 mm");
}

TEST(KitPlan, BadPlans) {
    const auto with = [](auto change) {
        KitPlan bad = plan();
        change(bad);
        return complaint([&] { (void)redimension(bad, {1600, 2000, 200}, CutStep::mm); });
    };
    EXPECT_THAT(with([](KitPlan& p) { p.chains[0].parts[2] = "panell"; }),
                HasSubstr("names 'panell', which is no size of it; did you mean 'panel'?"));
    EXPECT_THAT(with([](KitPlan& p) { p.sizes[1].size = 2 * inch; }),
                HasSubstr("the parts of 'frame width' add up to 1644.65 mm, not 1612.9 mm"));
    EXPECT_THAT(
        with([](KitPlan& p) { p.sizes[6].follows = Follows::mattress_width; }),
        HasSubstr(
            "'pivot height' of plan 'fold-up' is fixed by the kit and cannot follow the mattress"));
    EXPECT_THAT(with([](KitPlan& p) { p.sizes[4].fixed_by_kit = true; }),
                HasSubstr("the last part of chain 'frame width' in plan 'fold-up' is 'right side "
                          "and gap', which the kit"));
    EXPECT_THAT(with([](KitPlan& p) { p.chains.push_back(p.chains[0]); }),
                HasSubstr("is the last part of two chains"));
    EXPECT_THAT(with([](KitPlan& p) {
                    p.sizes[4].size = 0.75 * inch;
                    p.sizes[2].size = 0.5 * inch;
                    p.chains[0].parts = {"left side", "left gap", "panel", "left side"};
                }),
                HasSubstr("settles 'left side', which is used elsewhere before"));
    EXPECT_THAT(with([](KitPlan& p) { p.sizes[3].follows = Follows::nothing; }),
                HasSubstr("the parts of 'frame width' in plan 'fold-up' come to 1612.9 mm, the "
                          "whole to 1688.9 mm; say"));
    EXPECT_THAT(with([](KitPlan& p) {
                    p.sizes.push_back({"room", 63.5 * inch, Follows::mattress_width, false});
                    p.chains.push_back({"room", {"frame width"}});
                }),
                HasSubstr("chain 'room' of plan 'fold-up' settles 'frame width', which is used "
                          "elsewhere before"));
    EXPECT_THAT(with([](KitPlan& p) { p.sizes[1].name = "panel"; }),
                HasSubstr("has two sizes named 'panel'"));
    EXPECT_THAT(with([](KitPlan& p) { p.sizes[1].size = 0; }),
                HasSubstr("size 'left side' of plan 'fold-up' is 0 mm"));
    EXPECT_THAT(with([](KitPlan& p) { p.nominal.width = 0; }),
                HasSubstr("the nominal mattress of plan"));
    EXPECT_THAT(with([](KitPlan& p) { p.chains[0].parts.clear(); }), HasSubstr("has no parts"));
    EXPECT_THAT(with([](KitPlan& p) { p.nominal.length = 5000; }),
                HasSubstr("size 'side rail' of plan 'fold-up' becomes -914 mm"));
}

} // namespace
} // namespace aumbry::hardware_kits
