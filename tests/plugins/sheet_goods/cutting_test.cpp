#include "cutting.hpp"
#include "drawn_orders.hpp"
#include "plan_verifier.hpp"

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

std::string refused(const Order& order) {
    try {
        (void)cut(order);
    } catch (const FaultError& error) {
        return error.what();
    }
    return "not refused";
}

TEST(SheetCutting, EveryPlanOfThousandsOfDrawnOrdersHolds) {
    for (std::uint64_t seed = 1; seed <= 2000; ++seed) {
        Order order = Drawn(seed).order(40);
        order.effort = Effort::draft;
        const Plan plan = cut(order);
        ASSERT_THAT(faults_of(plan, order), IsEmpty()) << "seed " << seed;
        ASSERT_THAT(plan.unplaced, IsEmpty()) << "seed " << seed;
    }
}

TEST(SheetCutting, KerfIsTheSameAsLargerPartsFromALargerSheet) {
    for (std::uint64_t seed = 1; seed <= 200; ++seed) {
        Order order = Drawn(seed).order(30);
        order.effort = Effort::draft;
        order.blank_limit.reset();
        Order enlarged = order;
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
    Order order{
        .formats = {sheet(100, 50)}, .parts = {part(50, 50, 2000)}, .effort = Effort::draft};
    const Plan plan = cut(order);
    EXPECT_EQ(plan.sheet_count, 1000);
    EXPECT_TRUE(plan.proven);
    ASSERT_EQ(plan.sheets.size(), 1u);
    EXPECT_EQ(plan.sheets[0].copies, 1000);
    EXPECT_THAT(faults_of(plan, order), IsEmpty());
}

TEST(SheetCutting, AFreePartIsTurnedAndOneWithGrainIsNot) {
    Order order{.formats = {sheet(100, 50)}, .parts = {part(50, 100)}};
    EXPECT_EQ(cut(order).sheets.at(0).placements.at(0).rotated, true);
    order.formats[0].grain = Grain::along_length;
    order.parts[0].turn = Turn::with_grain;
    EXPECT_THAT(refused(order), HasSubstr("fits no sheet in the direction its grain asks for"));
    order.parts[0].turn = Turn::across_grain;
    EXPECT_EQ(cut(order).sheets.at(0).placements.at(0).rotated, true);
}

TEST(SheetCutting, AnOwnedOffcutThatCostsNothingIsUsedFirst) {
    Order order{.formats = {sheet(100, 100, 500), sheet(60, 60, 0)}, .parts = {part(50, 50)}};
    order.formats[1].limit = 1;
    order.formats[1].owned = true;
    const Plan plan = cut(order);
    EXPECT_EQ(plan.cost, 0);
    EXPECT_EQ(plan.sheets.at(0).format, 1);
    EXPECT_TRUE(plan.proven);
}

TEST(SheetCutting, PartsBeyondLimitedStockAreNamed) {
    Order order{.formats = {sheet(100, 100)}, .parts = {part(90, 90, 3)}};
    order.formats[0].limit = 2;
    const Plan plan = cut(order);
    ASSERT_EQ(plan.unplaced.size(), 1u);
    EXPECT_EQ(plan.unplaced[0].count, 1);
    EXPECT_FALSE(plan.proven);
    EXPECT_THAT(faults_of(plan, order), IsEmpty());
}

TEST(SheetCutting, TheDealerCutsUntilEveryBlankFitsTheVehicle) {
    Order order{
        .formats = {sheet(2500, 1250)}, .parts = {part(620, 1250, 4, Turn::fixed)}, .kerf = 4};
    order.blank_limit = BlankLimit{1300, 1250};
    const Plan plan = cut(order);
    EXPECT_THAT(faults_of(plan, order), IsEmpty());
    ASSERT_EQ(plan.sheets.size(), 1u);
    EXPECT_EQ(std::count_if(plan.sheets[0].cuts.begin(), plan.sheets[0].cuts.end(),
                            [](const Cut& c) { return c.dealer; }),
              1)
        << "one cut across makes two blanks of at most 1300";
}

TEST(SheetCutting, TheLargestOffcutStaysInOnePiece) {
    const Order order{.formats = {sheet(100, 100)}, .parts = {part(100, 30, 2)}};
    const Plan plan = cut(order);
    ASSERT_EQ(plan.sheets.at(0).offcuts.size(), 1u);
    EXPECT_EQ(plan.sheets[0].offcuts[0].length * plan.sheets[0].offcuts[0].width, 4000);
}

TEST(SheetCutting, BadInputIsOneClearSentenceEach) {
    Order order{.formats = {sheet(100, 100)}, .parts = {part(50, 50)}};
    const Order good = order;
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
    order.formats[0].owned = true;
    EXPECT_THAT(refused(order), HasSubstr("offcut 1 is 100 x 100 and smaller than its clean-up"));
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
    order.blank_limit = BlankLimit{40, 60};
    EXPECT_THAT(refused(order),
                HasSubstr("larger than the largest blank that can be carried (40 x 60)"));
    order = good;
    order.formats[0].cost = -1;
    EXPECT_THAT(refused(order), HasSubstr("has a cost of -1"));
}

TEST(SheetCutting, NothingOrderedIsNoSheet) {
    const Plan plan = cut({.formats = {sheet(100, 100)}});
    EXPECT_EQ(plan.sheet_count, 0);
    EXPECT_TRUE(plan.proven);
}

} // namespace
} // namespace aumbry::sheet_goods
