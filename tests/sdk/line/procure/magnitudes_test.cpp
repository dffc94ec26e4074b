// Counts and contents that no job has: a broken module or a slip in a price list may send them.
#include "line/procure/model.hpp"
#include "small_market.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry {
namespace {

using namespace test;
using procurement::Content;
using procurement::minimal_pack_counts;
using testing::ElementsAre;

// The last offer was counted down to zero after it had its answer: 1e12 turns here.
TEST(PackCounts, OneSmallPackForALargeNeedIsFoundAtOnce) {
    bool complete = true;
    EXPECT_THAT(minimal_pack_counts({{1}}, 1'000'000'000'000, 40, complete),
                ElementsAre(ElementsAre(1'000'000'000'000)));
    EXPECT_TRUE(complete);
}

// With little stock of the small pack, counts of the large one were tried that it cannot complete.
TEST(PackCounts, CountsThatStockCannotCompleteAreNotTried) {
    bool complete = true;
    const std::int64_t half = 500'000'000'000;
    EXPECT_THAT(minimal_pack_counts({{2}, {1, 1}}, 2 * half, 40, complete),
                ElementsAre(ElementsAre(half, 0)));
    EXPECT_THAT(minimal_pack_counts({{2, 3}, {1, 2}}, 2 * half, 40, complete), ElementsAre());
    EXPECT_TRUE(complete);
}

// Worked out by hand: packs of 5, 3 and 2 for a need of 6, with two of 3 at most.
TEST(PackCounts, EveryMinimalChoiceLargePacksFirst) {
    bool complete = true;
    EXPECT_THAT(minimal_pack_counts({{5}, {3, 2}, {2}}, 6, 40, complete),
                ElementsAre(ElementsAre(2, 0, 0), ElementsAre(1, 1, 0), ElementsAre(1, 0, 1),
                            ElementsAre(0, 2, 0), ElementsAre(0, 1, 2), ElementsAre(0, 0, 3)));
    EXPECT_TRUE(complete);
}

ProcureProblem market_of(std::vector<OfferTerms> offers) {
    ProcureProblem problem;
    problem.currency = currency("EUR");
    problem.order_date = parse_date("2027-03-01");
    problem.suppliers = {supplier("yard")};
    problem.offers = std::move(offers);
    return problem;
}

// Counts near 2^63 were added up.
TEST(ProcureMagnitudes, AWayThatBuysMoreThanAnybodyCanIsNoWay) {
    ProcureProblem problem = market_of({offer("yard", "board", "10")});
    DemandTerms demand;
    demand.id = "shelf";
    demand.title = "shelf";
    const std::int64_t huge = std::numeric_limits<std::int64_t>::max();
    demand.ways = {way("a", {{"yard/board", huge, 0, 0}, {"yard/board", huge, 0, 0}})};
    problem.demands = {demand};
    const Procurement bought = procure(problem);
    ASSERT_EQ(bought.unmet.size(), 1U);
    EXPECT_EQ(bought.unmet[0].reason, "9223372036854775807 of 'yard/board' are more than can be "
                                      "bought at once (1000000000)");
}

TEST(ProcureMagnitudes, AnAmountOfCrumbsIsUnmetWithAReason) {
    ProcureProblem problem = market_of({offer("yard", "oil", "10")});
    problem.demands = {amount("coat", 1e12, "L", {{"yard/oil", 1e-6, 0}})};
    const Procurement bought = procure(problem);
    ASSERT_EQ(bought.unmet.size(), 1U);
    EXPECT_EQ(bought.unmet[0].reason, "1000000000000000000 of 'yard/oil' are more than can be "
                                      "bought at once (1000000000)");
}

} // namespace
} // namespace aumbry
