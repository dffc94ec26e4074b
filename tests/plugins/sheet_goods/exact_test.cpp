#include "sheet_goods/engine/cost_bound.hpp"
#include "sheet_goods/engine/exact.hpp"

#include "drawn_orders.hpp"
#include "plan_verifier.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry::sheet_goods {
namespace {

struct Valued {
    Steps length, width;
    std::int64_t count, value;
};

struct MostValue {
    const char* name;
    Steps length, width;
    std::vector<Valued> parts;
    std::int64_t fixed, turnable;
    std::vector<std::int64_t> with_kerf; ///< parts fixed, kerf 1, 2, 3
};

// Christofides and Whitlock 1977 (cgcut), Oliveira and Ferreira 1990 (OF): one sheet, most value,
// edge-to-edge cuts, limited copies. Fixed values are the published optima; those with turned parts
// or kerf were worked out with an independent exact method.
const std::vector<MostValue> most_value{
    {"cgcut1",
     15,
     10,
     {{8, 4, 2, 66},
      {3, 7, 1, 35},
      {8, 2, 3, 24},
      {3, 4, 5, 17},
      {3, 3, 2, 11},
      {3, 2, 2, 8},
      {2, 1, 1, 2}},
     244,
     260,
     {177, 169, 125}},
    {"cgcut2",
     40,
     70,
     {{21, 22, 1, 582},
      {31, 13, 1, 403},
      {9, 35, 3, 315},
      {9, 24, 3, 216},
      {30, 7, 2, 210},
      {11, 13, 3, 143},
      {10, 14, 1, 140},
      {14, 8, 3, 110},
      {12, 8, 3, 94},
      {13, 7, 3, 90}},
     2892,
     2901,
     {2397, 2154, 2022}},
    {"OF1",
     70,
     40,
     {{29, 5, 1, 145},
      {9, 39, 4, 351},
      {55, 9, 1, 495},
      {31, 15, 1, 465},
      {11, 16, 2, 176},
      {23, 21, 3, 483},
      {29, 14, 4, 406},
      {16, 19, 3, 304},
      {9, 36, 2, 324},
      {22, 4, 2, 88}},
     2737,
     2757,
     {2496, 2309, 2143}},
};

std::optional<std::int64_t> solved(const MostValue& instance, Turn turn, Steps kerf) {
    // By the equivalence of kerf and larger parts on a larger sheet: one part is smaller than the
    // kerf.
    CuttingJob order;
    order.formats.push_back({.length = instance.length + kerf, .width = instance.width + kerf});
    std::vector<std::int64_t> values;
    for (const Valued& given : instance.parts) {
        order.parts.push_back({"", given.length + kerf, given.width + kerf, given.count, turn});
        values.push_back(given.value);
    }
    return most_value_of_one_sheet(prepare(order), values, 3'000'000'000);
}

TEST(ExactCutting, PublishedOptimaOfOneSheet) {
    for (const MostValue& instance : most_value)
        EXPECT_EQ(solved(instance, Turn::fixed, 0), instance.fixed) << instance.name;
}

// The two larger instances leave the exact method too much waste to look through when parts turn or
// kerf is lost.
TEST(ExactCutting, OptimumOfOneSheetWithPartsTurned) {
    EXPECT_EQ(solved(most_value[0], Turn::free, 0), most_value[0].turnable);
}

TEST(ExactCutting, OptimaOfOneSheetWithKerf) {
    for (Steps kerf = 1; kerf <= 3; ++kerf)
        EXPECT_EQ(solved(most_value[0], Turn::fixed, kerf),
                  most_value[0].with_kerf[static_cast<std::size_t>(kerf - 1)])
            << "kerf " << kerf;
}

TEST(ExactCutting, TooMuchWorkIsNoAnswerRatherThanAWrongOne) {
    CuttingJob order;
    order.formats.push_back({.length = 70, .width = 40});
    std::vector<std::int64_t> values;
    for (const Valued& given : most_value[2].parts) {
        order.parts.push_back({"", given.length, given.width, given.count, Turn::free});
        values.push_back(given.value);
    }
    EXPECT_EQ(most_value_of_one_sheet(prepare(order), values, 1000), std::nullopt);
}

// The bound from patterns of several kinds of sheet, against the exact method, which shares nothing
// with it.
TEST(CostBound, IsNeverAboveTheLeastCost) {
    constexpr std::int64_t nothing_known = 1'000'000'000;
    int compared = 0;
    int beyond_area = 0;
    int met = 0;
    for (std::uint64_t seed = 1; seed <= 500; ++seed) {
        const CuttingJob order = Drawn(seed).order(7);
        const Problem problem = prepare(order);
        std::int64_t steps = 0;
        const std::optional<ExactPacking> exact = exact_packing(problem, steps);
        if (!exact || exact->packing.sheets.empty()) continue;
        std::int64_t cost = 0;
        for (const Layout& layout : exact->packing.sheets)
            cost += order
                        .formats[static_cast<std::size_t>(
                            problem.sheets[static_cast<std::size_t>(layout.sheet())].format)]
                        .cost;
        const std::int64_t area = area_bound(order, problem).cost;
        const std::int64_t bound =
            std::max(area, cost_bound(order, problem, area, nothing_known, {}, steps).cost);
        EXPECT_LE(bound, cost) << "seed " << seed;
        ++compared;
        beyond_area += bound > area ? 1 : 0;
        met += bound == cost ? 1 : 0;
        // Told what is enough, it stops there.
        EXPECT_LE(cost_bound(order, problem, area, cost, {}, steps).cost, cost) << "seed " << seed;
    }
    EXPECT_GT(compared, 450);
    EXPECT_GT(beyond_area, 20);
    EXPECT_GT(met, compared * 3 / 4);
}

TEST(ExactCutting, SmallOrdersAreProvenAndNoSearchBeatsThem) {
    int proven = 0;
    for (std::uint64_t seed = 1; seed <= 60; ++seed) {
        CuttingJob order = Drawn(seed).order(8);
        const Problem problem = prepare(order);
        std::int64_t steps = 0;
        const std::optional<ExactPacking> exact = exact_packing(problem, steps);
        ASSERT_TRUE(exact) << "seed " << seed;
        order.effort = Effort::draft;
        EXPECT_GE(cut(order).cost, exact->bound.cost) << "seed " << seed;
        EXPECT_LE(area_bound(order, problem).cost, exact->bound.cost) << "seed " << seed;
        order.effort = Effort::normal;
        const Plan plan = cut(order);
        EXPECT_THAT(faults_of(plan, order), testing::IsEmpty()) << "seed " << seed;
        if (!exact->packing.sheets.empty()) {
            EXPECT_TRUE(plan.proven) << "seed " << seed;
        }
        proven += plan.proven ? 1 : 0;
    }
    EXPECT_GT(proven, 50);
}

} // namespace
} // namespace aumbry::sheet_goods
