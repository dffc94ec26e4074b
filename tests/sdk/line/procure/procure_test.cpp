// What is bought where, on small markets that can be worked out by hand.
#include "small_market.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry {
namespace {

using namespace test;
using ::testing::ElementsAre;
using ::testing::IsEmpty;
using ::testing::SizeIs;

TEST(Procure, DeliveryMakesOneOrderCheaperThanTheCheapestLines) {
    ProcureProblem market = problem();
    market.suppliers = {supplier("north", "30"), supplier("south", "30")};
    market.offers = {offer("north", "glue", "10"), offer("south", "glue", "14"),
                     offer("north", "oil", "50"), offer("south", "oil", "40")};
    market.demands = {amount("a/glue", 1, "each", {{"north/glue", 1}, {"south/glue", 1}}),
                      amount("a/oil", 1, "each", {{"north/oil", 1}, {"south/oil", 1}})};
    // Line by line: 10 + 40 + two deliveries = 110. Of south alone: 14 + 40 + 30 = 84.
    const Procurement bought = procure(market);
    EXPECT_EQ(bought.cost, euros("84"));
    EXPECT_THAT(bought.orders, SizeIs(1));
    EXPECT_EQ(bought.orders[0].supplier, "south");
    EXPECT_EQ(bought.orders[0].delivery, euros("30"));
}

TEST(Procure, CountsAreOfPacksThatReachTheQuantity) {
    ProcureProblem market = problem();
    market.suppliers = {supplier("north")};
    market.offers = {offer("north", "screws_100", "4"), offer("north", "screws_500", "15")};
    market.demands = {
        amount("a/screws", 540, "each", {{"north/screws_100", 100}, {"north/screws_500", 500}})};
    // 500 + 100 = 19; 6 x 100 = 24; 2 x 500 = 30.
    const Procurement bought = procure(market);
    EXPECT_EQ(bought.cost, euros("19"));
    EXPECT_THAT(bought.purchases, SizeIs(2));
}

TEST(Procure, ADemandThatNobodyFillsIsNamedAndTheRestIsBought) {
    ProcureProblem market = problem();
    market.suppliers = {supplier("north")};
    market.offers = {offer("north", "glue", "10")};
    market.demands = {amount("a/glue", 1, "each", {{"north/glue", 1}}),
                      amount("a/moon", 1, "each", {})};
    const Procurement bought = procure(market);
    EXPECT_EQ(bought.cost, euros("10"));
    EXPECT_THAT(bought.unmet, SizeIs(1));
    EXPECT_EQ(bought.findings.back().text, "Nobody can fill 'a/moon': no supplier offers it. It is "
                                           "not in the total; find a supplier or change the "
                                           "line.");
}

} // namespace
} // namespace aumbry
