// Board measure, dressed sizes and grades against published figures.
#include "solid_stock/engine/lumber.hpp"

#include "aumbry/fault.hpp"

#include <gtest/gtest.h>

#include <functional>

namespace aumbry::solid_stock {
namespace {

constexpr GridLength inch = steps_per_inch;
constexpr GridLength foot = 12 * inch;
constexpr GridLength mm = steps_per_mm;

TEST(BoardMeasure, PublishedBoardOf2By6AndAQuarterBy8Feet) {
    // AHEC, americanhardwood.org, "Measurement": 6 1/4 in x 8 ft is 4 1/6 square feet, surface
    // measure 4; 2 in thick it is 8 board feet (8 1/3 unrounded).
    EXPECT_EQ(surface_measure(6 * inch + inch / 4, 8 * foot), 4);
    EXPECT_DOUBLE_EQ(tallied_board_feet(2 * inch, 6 * inch + inch / 4, 8 * foot), 8.0);
    EXPECT_NEAR(board_feet(2 * inch, 6 * inch + inch / 4, 8 * foot), 8.0 + 1.0 / 3, 1e-9);
}

TEST(BoardMeasure, NominalSizes) {
    // PS 20-20 section 2.2: 1x12, 10 ft is 10 board feet. US Navy engineering aid course: 2x4, 14
    // ft; 9 1/3.
    EXPECT_NEAR(board_feet(inch, 12 * inch, 10 * foot), 10.0, 1e-9);
    EXPECT_NEAR(board_feet(2 * inch, 4 * inch, 14 * foot), 9.0 + 1.0 / 3, 1e-9);
}

TEST(BoardMeasure, UnderOneInchCountsAsOneInch) {
    // US Navy engineering aid course, same page.
    EXPECT_NEAR(board_feet(3 * inch / 4, 12 * inch, 10 * foot), 10.0, 1e-9);
}

TEST(BoardMeasure, BoardFootIs144CubicInches) {
    // UCUM [bf_i]: 144 cubic inches.
    EXPECT_NEAR(cubic_metres_per_board_foot, 144 * 0.0254 * 0.0254 * 0.0254, 1e-15);
}

TEST(DressedSizes, Ps20Table3Dry) {
    // PS 20-20 table 3, from public transcriptions; sixteenths of an inch.
    const std::vector<std::pair<std::int64_t, GridLength>> thickness{
        {3, 10}, {4, 12}, {5, 16}, {6, 20}, {8, 24}, {10, 32}, {12, 40}, {16, 56}};
    for (const auto& [nominal, sixteenths] : thickness)
        EXPECT_EQ(dressed_thickness(nominal), sixteenths * inch / 16);
    const std::vector<std::pair<std::int64_t, GridLength>> width{
        {2, 24},  {3, 40},  {4, 56},   {5, 72},   {6, 88},  {7, 104},
        {8, 116}, {9, 132}, {10, 148}, {11, 164}, {12, 180}};
    for (const auto& [nominal, sixteenths] : width)
        EXPECT_EQ(dressed_width(4 * nominal), sixteenths * inch / 16);
    EXPECT_EQ(to_mm(dressed_thickness(8)), 38.1); // a 2x4 is 1 1/2 by 3 1/2
    EXPECT_EQ(to_mm(dressed_width(16)), 88.9);
}

TEST(DressedSizes, MetricTableRoundsHalfToEven) {
    // PS 20-20 appendix B1; 7 1/2 in is 190.5 mm and becomes 190, which tells half-even from
    // half-up.
    const std::vector<std::pair<double, std::int64_t>> table{
        {0.75, 19}, {1, 25},     {1.25, 32},  {1.5, 38},    {2.5, 64},
        {3.5, 89},  {4.5, 114},  {5.5, 140},  {6.5, 165},   {7.25, 184},
        {7.5, 190}, {8.25, 210}, {9.25, 235}, {10.25, 260}, {11.25, 286}};
    for (const auto& [inches, millimetres] : table)
        EXPECT_EQ(metric_dressed_mm(static_cast<GridLength>(inches * 100) * inch / 100),
                  millimetres)
            << inches;
}

TEST(Quarters, ThinnestThatLeavesTheThickness) {
    // Common reference tables: 4/4 leaves 13/16, 5/4 1 1/16, 6/4 1 5/16, 8/4 1 3/4, 12/4 2 3/4,
    // 16/4 3 3/4.
    EXPECT_EQ(quarter_for(13 * inch / 16).quarters, 4);
    EXPECT_EQ(quarter_for(13 * inch / 16 + 1).quarters, 5);
    EXPECT_EQ(quarter_for(17 * inch / 16).quarters, 5);
    EXPECT_EQ(quarter_for(21 * inch / 16).quarters, 6);
    EXPECT_EQ(quarter_for(inch + 3 * inch / 4).quarters, 8);
    EXPECT_EQ(quarter_for(3 * inch + 3 * inch / 4).quarters, 16);
}

TEST(Quarters, RoughThicknessAfterPlaning) {
    const std::vector<GridLength> on_offer{52 * mm, 27 * mm, 34 * mm};
    EXPECT_EQ(rough_thickness_for(22 * mm, 5 * mm, on_offer), 27 * mm);
    EXPECT_EQ(rough_thickness_for(23 * mm, 5 * mm, on_offer), 34 * mm);
}

TEST(Grades, GrossUpOfAHundredBoardFeet) {
    // AHEC grade summary, yields 83 1/3, 66 2/3, 50, 33 1/3 %: 100 bd ft of clear parts need 120,
    // 150, 200, 300.
    const std::vector<std::pair<const char*, double>> expected{
        {"FAS", 120}, {"No.1 Common", 150}, {"No.2A Common", 200}, {"No.3A Common", 300}};
    for (const auto& [name, gross] : expected)
        EXPECT_NEAR(100.0 / yield_for_part(grade_named(name), 3 * inch, 2 * foot), gross, 1e-9)
            << name;
}

TEST(Grades, MinimumCuttingsAndBoards) {
    // AHEC grade summary: FAS boards 6 in x 8 ft, cuttings 4 in x 5 ft or 3 in x 7 ft.
    const Grade& fas = grade_named("FAS");
    EXPECT_EQ(fas.least_board_width, 6 * inch);
    EXPECT_EQ(fas.least_board_length, 8 * foot);
    EXPECT_DOUBLE_EQ(yield_for_part(fas, 4 * inch, 5 * foot), 10.0 / 12);
    EXPECT_DOUBLE_EQ(yield_for_part(fas, 3 * inch, 7 * foot), 10.0 / 12);
    // Selects: boards 4 in x 6 ft.
    EXPECT_EQ(grade_named("Selects").least_board_length, 6 * foot);
}

TEST(Grades, LongRailsYieldLess) {
    // Common practice: larger than every minimum cutting yields less, and ever less as it grows.
    const Grade& common = grade_named("No.1 Common");
    double before = yield_for_part(common, 3 * inch, 3 * foot);
    for (GridLength length = 4 * foot; length <= 10 * foot; length += foot) {
        const double now = yield_for_part(common, 3 * inch, length);
        EXPECT_LT(now, before);
        before = now;
    }
    EXPECT_DOUBLE_EQ(yield_for_part(common, 3 * inch, 6 * foot), 8.0 / 12 / 2);
}

TEST(Lumber, RoughNeedCarriesAllowanceAndYield) {
    // 10 pieces 550 x 66.2 x 20 mm; rough 600 x 76.2 x 27: 0.0123444 m3, FAS 10/12: 0.01481328 m3.
    const std::vector<LumberPart> parts{{"slat", 550 * mm, 662 * mm / 10, 20 * mm, 10}};
    const auto needs = rough_needs(parts, grade_named("FAS"), Allowances{}, {27 * mm, 34 * mm});
    ASSERT_EQ(needs.size(), 1u);
    EXPECT_EQ(needs[0].rough_thickness, 27 * mm);
    EXPECT_NEAR(needs[0].rough_cubic_metres, 0.0123444, 1e-12);
    EXPECT_NEAR(needs[0].cubic_metres, 0.01481328, 1e-12);
    // 27 mm is above an inch, so board measure is the volume: 423.776 bd ft in a m3 (SP 811).
    EXPECT_NEAR(needs[0].board_feet, 0.01481328 * 423.776, 1e-5);
}

std::string fault_of(const std::function<void()>& call) {
    try {
        call();
    } catch (const FaultError& error) {
        return error.what();
    }
    return "no fault";
}

TEST(LumberBadInput, EachInOneSentence) {
    EXPECT_EQ(fault_of([] { (void)quarter_for(100 * mm); }),
              "a finished thickness of 100 mm is a thickness that no quarter yields; 16/4 surfaced "
              "leaves 95.25 mm; glue "
              "the part up from thinner wood");
    EXPECT_EQ(fault_of([] { (void)grade_named("FAZ"); }),
              "unknown grade 'FAZ'; did you mean 'FAS'?");
    EXPECT_EQ(fault_of([] { (void)rough_thickness_for(60 * mm, 5 * mm, {52 * mm}); }),
              "no rough thickness on offer leaves 60 mm after planing off 5 mm; the thickest is 52 "
              "mm; glue the part up or "
              "plane off less");
    EXPECT_EQ(fault_of([] { (void)dressed_width(52); }),
              "no dressed width is known for nominal 52 quarter inches; nominal sizes in inches "
              "are 2, 3, 4, 5, 6, 7, 8, 9, "
              "10, 11, 12");
}

} // namespace
} // namespace aumbry::solid_stock
