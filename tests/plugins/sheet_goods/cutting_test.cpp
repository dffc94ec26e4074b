#include "drawn_orders.hpp"
#include "plan_verifier.hpp"
#include "sheet_goods/engine/cutting.hpp"

#include "aumbry/fault.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry::sheet_goods {
namespace {

using testing::HasSubstr;
using testing::IsEmpty;

Format sheet(Steps length, Steps width, std::int64_t cost = 1) {
    Format format;
    format.length = length;
    format.width = width;
    format.cost = cost;
    return format;
}

Part part(Steps length, Steps width, std::int64_t count = 1, Turn turn = Turn::free) {
    return {"", length, width, count, turn};
}

std::string refused(const CuttingJob& order) {
    try {
        (void)cut(order);
    } catch (const FaultError& error) {
        return error.what();
    }
    return "not refused";
}

TEST(SheetCutting, EveryPlanOfThousandsOfDrawnOrdersHolds) {
    for (std::uint64_t seed = 1; seed <= 1500; ++seed) {
        CuttingJob order = Drawn(seed).order(40);
        order.effort = Effort::draft;
        const Plan plan = cut(order);
        ASSERT_THAT(faults_of(plan, order), IsEmpty()) << "seed " << seed;
        ASSERT_THAT(plan.unplaced, IsEmpty()) << "seed " << seed;
    }
}

TEST(SheetCutting, KerfIsTheSameAsLargerPartsFromALargerSheet) {
    for (std::uint64_t seed = 1; seed <= 200; ++seed) {
        CuttingJob order = Drawn(seed).order(30);
        order.effort = Effort::draft;
        CuttingJob enlarged = order;
        enlarged.kerf = 0;
        for (Format& format : enlarged.formats) {
            format.length += order.kerf;
            format.width += order.kerf;
        }
        for (Part& p : enlarged.parts) {
            p.length += order.kerf;
            p.width += order.kerf;
        }
        const Plan a = cut(order);
        const Plan b = cut(enlarged);
        EXPECT_EQ(a.cost, b.cost) << "seed " << seed;
        EXPECT_EQ(a.sheet_count, b.sheet_count) << "seed " << seed;
        EXPECT_EQ(a.lower_bound_sheets, b.lower_bound_sheets) << "seed " << seed;
    }
}

TEST(SheetCutting, SheetsThatAreCutAlikeAreOnePlanWithCopies) {
    CuttingJob order{
        .formats = {sheet(100, 50)}, .parts = {part(50, 50, 2000)}, .effort = Effort::draft};
    const Plan plan = cut(order);
    EXPECT_EQ(plan.sheet_count, 1000);
    EXPECT_TRUE(plan.proven);
    ASSERT_EQ(plan.sheets.size(), 1u);
    EXPECT_EQ(plan.sheets[0].copies, 1000);
    EXPECT_THAT(faults_of(plan, order), IsEmpty());
}

TEST(SheetCutting, AFreePartIsTurnedAndOneWithGrainIsNot) {
    CuttingJob order{.formats = {sheet(100, 50)}, .parts = {part(50, 100)}};
    EXPECT_EQ(cut(order).sheets.at(0).placements.at(0).rotated, true);
    order.formats[0].grain = Grain::along_length;
    order.parts[0].turn = Turn::with_grain;
    EXPECT_THAT(refused(order), HasSubstr("fits no sheet in the direction its grain asks for"));
    order.parts[0].turn = Turn::across_grain;
    EXPECT_EQ(cut(order).sheets.at(0).placements.at(0).rotated, true);
}

TEST(SheetCutting, AnOwnedOffcutThatCostsNothingIsUsedFirst) {
    CuttingJob order{.formats = {sheet(100, 100, 500), sheet(60, 60, 0)}, .parts = {part(50, 50)}};
    order.formats[1].limit = 1;
    const Plan plan = cut(order);
    EXPECT_EQ(plan.cost, 0);
    EXPECT_EQ(plan.sheets.at(0).format, 1);
    EXPECT_TRUE(plan.proven);
}

TEST(SheetCutting, PartsBeyondLimitedStockAreNamed) {
    CuttingJob order{.formats = {sheet(100, 100)}, .parts = {part(90, 90, 3)}};
    order.formats[0].limit = 2;
    const Plan plan = cut(order);
    ASSERT_EQ(plan.unplaced.size(), 1u);
    EXPECT_EQ(plan.unplaced[0].count, 1);
    EXPECT_FALSE(plan.proven);
    EXPECT_THAT(faults_of(plan, order), IsEmpty());
}

TEST(SheetCutting, TheLargestOffcutStaysInOnePiece) {
    const CuttingJob order{.formats = {sheet(100, 100)}, .parts = {part(100, 30, 2)}};
    const Plan plan = cut(order);
    ASSERT_EQ(plan.sheets.at(0).offcuts.size(), 1u);
    EXPECT_EQ(plan.sheets[0].offcuts[0].length * plan.sheets[0].offcuts[0].width, 4000);
}

TEST(SheetCutting, BadInputIsOneClearSentenceEach) {
    CuttingJob order{.formats = {sheet(100, 100)}, .parts = {part(50, 50)}};
    const CuttingJob good = order;
    order.parts[0].length = 101;
    EXPECT_EQ(refused(order),
              "/parts/0: part 1 (101 x 50) is larger than every sheet less its clean-up; "
              "split it at a seam or add a larger format");
    order = good;
    order.kerf = -1;
    EXPECT_THAT(refused(order), HasSubstr("the kerf is -1"));
    order.kerf = 51;
    EXPECT_THAT(refused(order), HasSubstr("the kerf of 51 is larger than part 1 (50 x 50)"));
    order = good;
    order.formats[0].clean_up = {50, 50, 0, 0};
    EXPECT_THAT(refused(order),
                HasSubstr("sheet format 1 is 100 x 100 and smaller than its clean-up"));
    order = good;
    order.parts[0].count = 1'000'000;
    EXPECT_THAT(refused(order), HasSubstr("count of 1000000; at most 100000 parts"));
    order = good;
    order.parts[0].width = 0;
    EXPECT_THAT(refused(order), HasSubstr("part 1 is 50 x 0"));
    order = good;
    order.formats.clear();
    EXPECT_THAT(refused(order), HasSubstr("there is no sheet to cut from"));
    order = good;
    order.formats[0].cost = -1;
    EXPECT_THAT(refused(order), HasSubstr("has a cost of -1"));
}

TEST(SheetCutting, NothingOrderedIsNoSheet) {
    const Plan plan = cut({.formats = {sheet(100, 100)}});
    EXPECT_EQ(plan.sheet_count, 0);
    EXPECT_TRUE(plan.proven);
}

Plan with_effort(CuttingJob order, Effort effort) {
    order.effort = effort;
    return cut(order);
}

std::string text_of(const Plan& plan) {
    std::string text =
        std::to_string(plan.cost) + "/" + std::to_string(plan.steps) + "/" + plan.bound_method;
    for (const SheetPlan& sheet : plan.sheets) {
        text += "\n" + std::to_string(sheet.format) + "*" + std::to_string(sheet.copies);
        for (const Blank& b : sheet.blanks)
            text += " " + std::to_string(b.x) + "," + std::to_string(b.y) + "," +
                    std::to_string(b.length) + "," + std::to_string(b.width) + "," +
                    std::to_string(b.part);
    }
    return text;
}

TEST(SheetCutting, TheSameOrderGivesTheSamePlan) {
    for (std::uint64_t seed = 1; seed <= 20; ++seed) {
        const CuttingJob order = Drawn(seed).order(40);
        EXPECT_EQ(text_of(with_effort(order, Effort::draft)),
                  text_of(with_effort(order, Effort::draft)));
    }
    const CuttingJob order = Drawn(7).order(30);
    EXPECT_EQ(text_of(with_effort(order, Effort::normal)),
              text_of(with_effort(order, Effort::normal)));
}

TEST(SheetCutting, AHigherEffortIsNeverWorse) {
    for (std::uint64_t seed = 1; seed <= 25; ++seed) {
        const CuttingJob order = Drawn(seed).order(25);
        const Plan draft = with_effort(order, Effort::draft);
        const Plan normal = with_effort(order, Effort::normal);
        EXPECT_THAT(faults_of(normal, order), IsEmpty()) << "seed " << seed;
        EXPECT_LE(normal.cost, draft.cost) << "seed " << seed;
        if (normal.cost == draft.cost) {
            EXPECT_LE(normal.sheet_count, draft.sheet_count) << "seed " << seed;
        }
        EXPECT_GE(normal.lower_bound_cost, draft.lower_bound_cost) << "seed " << seed;
        EXPECT_GE(normal.lower_bound_sheets, draft.lower_bound_sheets) << "seed " << seed;
    }
}

TEST(SheetCutting, AWarmStartIsKeptWhenNothingBetterIsFound) {
    CuttingJob order = Drawn(11).order(40);
    order.effort = Effort::normal;
    const Plan first = cut(order);
    order.effort = Effort::draft;
    order.warm_start = first;
    const Plan again = cut(order);
    EXPECT_THAT(faults_of(again, order), IsEmpty());
    EXPECT_LE(again.cost, first.cost);
    order.parts.push_back(part(7, 6, 3));
    const Plan more = cut(order);
    EXPECT_THAT(faults_of(more, order), IsEmpty());
    order.parts[0].count = 0;
    const Plan fewer = cut(order);
    EXPECT_THAT(faults_of(fewer, order), IsEmpty());
}

TEST(SheetCutting, ASpoiledWarmStartDoesNoHarm) {
    CuttingJob order = Drawn(3).order(30);
    order.effort = Effort::draft;
    Plan spoiled = cut(order);
    for (SheetPlan& sheet : spoiled.sheets) {
        for (Cut& c : sheet.cuts) c.second = c.blank;
        sheet.format = 99;
    }
    order.warm_start = spoiled;
    EXPECT_THAT(faults_of(cut(order), order), IsEmpty());
}

TEST(SheetCutting, TwoThousandPartsAreADraftWithoutDelay) {
    Drawn drawn(5);
    CuttingJob order{.formats = {sheet(2500, 1250)}, .kerf = 4, .effort = Effort::draft};
    for (int i = 0; i < 2000; ++i)
        order.parts.push_back(part(drawn.between(100, 1200), drawn.between(50, 600)));
    const Plan plan = cut(order);
    EXPECT_THAT(faults_of(plan, order), IsEmpty());
    EXPECT_LT(static_cast<double>(plan.sheet_count),
              1.10 * static_cast<double>(plan.lower_bound_sheets));
}

// Published instances of Berkey and Wang 1987 (classes 1-6) and Martello and Vigo 1998 (7-10).
// The fewest sheets named are the best known of guillotine cutting with parts that may turn; each
// is proven by a published lower bound of the same value or by the pattern bound.
struct Published {
    const char* name;
    Steps side;
    std::vector<std::pair<Steps, Steps>> parts;
    std::int64_t best_known;
};

const std::vector<Published> published{
    {"class 1, n 20, instance 1",
     10,
     {{5, 9}, {4, 2}, {10, 6}, {5, 7},  {6, 3}, {10, 7}, {1, 5}, {3, 5}, {6, 9}, {2, 4},
      {6, 7}, {7, 2}, {8, 3},  {4, 10}, {4, 5}, {10, 3}, {8, 3}, {7, 8}, {8, 3}, {8, 7}},
     7},
    {"class 2, n 20, instance 3",
     30,
     {{7, 5},  {10, 6}, {5, 6}, {7, 2}, {4, 8}, {9, 10}, {8, 5}, {8, 6},  {4, 9}, {9, 3},
      {3, 10}, {9, 5},  {1, 7}, {8, 9}, {4, 6}, {3, 6},  {4, 3}, {10, 2}, {6, 1}, {1, 4}},
     1},
    {"class 3, n 20, instance 5",
     40,
     {{34, 13}, {5, 32},  {6, 13}, {32, 33}, {22, 6},  {29, 34}, {15, 20},
      {23, 17}, {2, 23},  {18, 9}, {9, 31},  {29, 14}, {5, 35},  {14, 11},
      {6, 6},   {12, 29}, {4, 28}, {3, 1},   {3, 24},  {14, 13}},
     4},
    {"class 5, n 20, instance 1",
     100,
     {{50, 85}, {35, 14}, {94, 54}, {47, 62}, {52, 25}, {96, 67}, {1, 43},
      {24, 42}, {53, 86}, {11, 31}, {52, 65}, {66, 11}, {76, 25}, {36, 94},
      {36, 42}, {97, 24}, {76, 29}, {61, 79}, {74, 29}, {71, 69}},
     7},
    {"class 7, n 20, instance 3",
     100,
     {{85, 32}, {25, 26}, {93, 32}, {96, 46}, {86, 36}, {16, 97}, {98, 42},
      {94, 21}, {94, 1},  {19, 83}, {76, 14}, {100, 8}, {76, 29}, {88, 19},
      {96, 47}, {20, 70}, {2, 78},  {72, 23}, {36, 42}, {66, 17}},
     5},
    {"class 7, n 20, instance 9",
     100,
     {{78, 27}, {99, 22}, {49, 86}, {91, 45}, {7, 90},  {84, 45}, {95, 44},
      {80, 24}, {70, 5},  {68, 80}, {99, 20}, {78, 15}, {78, 37}, {80, 28},
      {77, 7},  {26, 18}, {95, 30}, {89, 37}, {97, 6},  {97, 33}},
     6},
    {"class 8, n 20, instance 1",
     100,
     {{56, 75}, {47, 84}, {13, 82}, {48, 89}, {21, 66}, {27, 96}, {33, 69},
      {33, 69}, {47, 92}, {18, 80}, {15, 99}, {31, 93}, {35, 91}, {21, 73},
      {8, 68},  {39, 90}, {34, 99}, {36, 73}, {13, 79}, {10, 42}},
     6},
    {"class 10, n 20, instance 1",
     100,
     {{7, 25}, {47, 27}, {13, 24}, {48, 34}, {21, 1},  {76, 93}, {33, 6},
      {33, 6}, {97, 88}, {18, 21}, {64, 99}, {31, 40}, {85, 87}, {21, 11},
      {8, 4},  {89, 85}, {34, 48}, {85, 61}, {13, 20}, {10, 42}},
     6},
};

TEST(SheetCutting, PublishedInstancesAreSolvedToTheBestKnownAndProven) {
    for (const Published& instance : published) {
        CuttingJob order{.formats = {sheet(instance.side, instance.side)}};
        for (const auto& [length, width] : instance.parts)
            order.parts.push_back(part(length, width));
        const Plan plan = cut(order);
        EXPECT_EQ(plan.sheet_count, instance.best_known) << instance.name;
        EXPECT_TRUE(plan.proven) << instance.name;
        EXPECT_THAT(faults_of(plan, order), IsEmpty()) << instance.name;
    }
}

} // namespace
} // namespace aumbry::sheet_goods
