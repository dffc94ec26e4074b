// Goods that are ordered later stand in an order of their own, with all that an order costs.
#include "line/procure/problem.hpp"
#include "line/procure/second_orders.hpp"
#include "small_market.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry {
namespace {

using namespace test;

/// Hinges and springs from "north", who brings an order for 8.95 in three working days, and springs
/// from "south", who asks more for them.
ProcureProblem lift_from_north() {
    ProcureProblem market = problem();
    market.order_date = make_date(2027, 3, 1); // a Monday
    market.suppliers = {supplier("north", "8.95"), supplier("south", "8.95")};
    market.suppliers[0].supplier.dispatch_days = 3;
    market.offers = {offer("north", "hinge", "20"), offer("north", "spring", "30"),
                     offer("south", "spring", "31")};
    market.demands = {amount("kit/hinge", 1, "each", {{"north/hinge", 1}}),
                      amount("kit/spring", 2, "each", {{"north/spring", 1}, {"south/spring", 1}})};
    return market;
}

OrderedApart springs_on(Date date) {
    return {{"kit/spring"}, "kit/weigh", date};
}

TEST(SecondOrders, CostADeliveryOfTheirOwnAndComeLater) {
    const ProcureProblem market = lift_from_north();
    const Procurement together = procure(market);
    EXPECT_EQ(together.cost, euros("88.95")) << "20 + 2 x 30 + 8.95";
    const ProcureProblem apart = with_second_orders(market, springs_on(make_date(2027, 3, 12)));
    const Procurement bought = by_listed_offers(procure(apart), apart);
    EXPECT_EQ(bought.cost, euros("97.90")) << "another 8.95";
    ASSERT_EQ(bought.orders.size(), 2U);
    EXPECT_EQ(bought.orders[0].supplier, "north");
    EXPECT_EQ(bought.orders[1].supplier, "north-second");
    EXPECT_EQ(bought.orders[0].arrives, make_date(2027, 3, 4));
    // Three working days after Friday, 12 March.
    EXPECT_EQ(bought.orders[1].arrives, make_date(2027, 3, 17));
    for (const Purchase& purchase : bought.purchases)
        EXPECT_EQ(purchase.offer.substr(0, 6), "north/") << "as the price list names it";
    EXPECT_EQ(earliest_arrivals(apart).at("kit/spring"), make_date(2027, 3, 12)) << "from south";
}

TEST(SecondOrders, GoToWhoeverIsCheapestThen) {
    ProcureProblem market = lift_from_north();
    market.suppliers[1].supplier.delivery.flat = euros("2.00");
    EXPECT_EQ(procure(market).orders.size(), 1U);
    const ProcureProblem apart = with_second_orders(market, springs_on(make_date(2027, 3, 12)));
    const Procurement bought = procure(apart);
    EXPECT_EQ(bought.cost, euros("92.95")) << "20 + 8.95 + 2 x 31 + 2.00";
    EXPECT_EQ(bought.orders.at(1).supplier, "south-second");
}

TEST(SecondOrders, TakeAnIdThatNobodyHas) {
    ProcureProblem market = lift_from_north();
    market.suppliers.push_back(supplier("north-second"));
    const ProcureProblem apart = with_second_orders(market, springs_on(make_date(2027, 3, 12)));
    EXPECT_EQ(apart.suppliers.at(3).supplier.id, "north-second-order");
    EXPECT_EQ(apart.suppliers.at(3).second_of, "north");
    EXPECT_EQ(apart.suppliers.at(3).after, "kit/weigh");
}

} // namespace
} // namespace aumbry
