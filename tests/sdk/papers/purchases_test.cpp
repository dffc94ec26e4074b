// Curves of one purchase and a purchase of several projects, worked out by hand.
#include "fault_of.hpp"
#include "line/small_job.hpp"

#include "aumbry/purchase_curves.hpp"
#include "aumbry/shared_purchase.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry {
namespace {

using namespace test;
using ::testing::ElementsAre;
using ::testing::SizeIs;

TEST(PurchaseCurves, FewerSuppliersCostMore) {
    PriceLists lists;
    lists.dealer("north", "EUR", "2.00",
                 "HINGE,item,Hinge,10.00,each,0,hinge\r\nOIL,item,Oil,50.00,each,0,oil\r\n");
    lists.dealer("south", "EUR", "2.00",
                 "HINGE,item,Hinge,14.00,each,0,hinge\r\nOIL,item,Oil,40.00,each,0,oil\r\n");
    // South alone 14 + 40 + 2 = 56 (north 62); both 10 + 40 + 4 = 54.
    const PurchaseCurves curves =
        purchase_curves(job("Box", item("hinges", "hinge", 1) + ", " + item("oil", "oil", 1)),
                        host(), lists.catalog());
    ASSERT_THAT(curves.by_suppliers, SizeIs(2));
    EXPECT_THAT(curves.by_suppliers[0].suppliers, ElementsAre("south"));
    EXPECT_EQ(curves.by_suppliers[0].cost.str(), "56.00");
    EXPECT_EQ(curves.by_suppliers[0].more.str(), "2.00");
    EXPECT_TRUE(curves.by_suppliers[0].proven);
    EXPECT_THAT(curves.by_suppliers[1].suppliers, ElementsAre("north", "south"));
    EXPECT_EQ(curves.by_suppliers[1].cost.str(), "54.00");
    EXPECT_EQ(curves.by_suppliers[1].more.str(), "0.00");
    const Json json = to_json(curves);
    EXPECT_EQ(json.at("by_suppliers").at(1).at("cost"), "54.00");
    EXPECT_EQ(json.at("by_suppliers").at(1).at("goods").size(), 2U);
}

TEST(PurchaseCurves, EachEarlierFinishCostsMore) {
    PriceLists lists;
    lists.dealer("slow", "EUR", "0", "HINGE,item,Hinge,10.00,each,10,hinge\r\n");
    lists.dealer("fair", "EUR", "0", "HINGE,item,Hinge,12.00,each,5,hinge\r\n");
    lists.dealer("late", "EUR", "0",
                 "HINGE,item,Hinge,13.00,each,20,hinge\r\n"); // later and dearer: on no curve
    lists.dealer("fast", "EUR", "0", "HINGE,item,Hinge,15.00,each,0,hinge\r\n");
    // An hour's work once the hinges are in hand; Monday, 1 March 2027 and working days from there.
    const Project project =
        job("Box", item("hinges", "hinge", 2),
            R"("tasks": {"hang": {"title": "Hang the lid", "hours": "1 h", "after": ["hinges"]}})");
    std::vector<std::string> told;
    for (const PurchaseStep& step : purchase_curves(project, host(), lists.catalog()).by_finish)
        told.push_back(step.suppliers.at(0) + " " + step.cost.str() + " +" + step.more.str() + " " +
                       format_date(step.ready));
    EXPECT_THAT(told, ElementsAre("slow 20.00 +0.00 2027-03-15", "fair 24.00 +4.00 2027-03-08",
                                  "fast 30.00 +10.00 2027-03-01"));
}

TEST(SharedPurchase, SharesDeliveryInProportionToWhatEachPaysAlone) {
    PriceLists lists;
    lists.dealer("north", "EUR", "30.00", "HINGE,item,Hinge,10.00,each,0,hinge\r\n");
    // Alone 50 + 30 = 80 and 30 + 30 = 60; together 80 + 30 = 110, of which 80 in 140 are 62.857.
    const SharedPurchase made = buy_together(
        {job("Box", item("hinges", "hinge", 5)), job("Chest", item("hinges", "hinge", 3))}, host(),
        lists.catalog());
    EXPECT_EQ(made.alone.str(), "140.00");
    EXPECT_EQ(made.together.str(), "110.00");
    ASSERT_THAT(made.shares, SizeIs(2));
    EXPECT_EQ(made.shares[0].alone.str(), "80.00");
    EXPECT_EQ(made.shares[0].share.str(), "62.86");
    EXPECT_EQ(made.shares[1].share.str(), "47.14");
    EXPECT_EQ(made.head.title, "Box and Chest");
    ASSERT_THAT(made.orders, SizeIs(1));
    ASSERT_THAT(made.orders[0].positions, SizeIs(1));
    EXPECT_EQ(made.orders[0].positions[0].count, 8);
    EXPECT_EQ(made.orders[0].positions[0].amount.str(), "80.00");
    EXPECT_THAT(made.orders[0].positions[0].lines, ElementsAre("5 for Box", "3 for Chest"));
    EXPECT_EQ(made.orders[0].total.str(), "110.00");
}

TEST(SharedPurchase, ReachesAMinimumOrderTogether) {
    PriceLists lists;
    lists.dealer("north", "EUR", "0", "HINGE,item,Hinge,10.00,each,0,hinge\r\n",
                 R"(, "minimum_order": "60.00")");
    // Alone 60 (50 made up to it) and 60 (30 made up to it); together 80 reach it.
    const SharedPurchase made = buy_together(
        {job("Box", item("hinges", "hinge", 5)), job("Chest", item("hinges", "hinge", 3))}, host(),
        lists.catalog());
    EXPECT_EQ(made.alone.str(), "120.00");
    EXPECT_EQ(made.together.str(), "80.00");
    EXPECT_EQ(made.shares[0].share.str(), "40.00");
}

TEST(SharedPurchase, AStatedPriceStaysItsProjectsOwn) {
    PriceLists lists;
    lists.dealer("north", "EUR", "30.00", "HINGE,item,Hinge,10.00,each,0,hinge\r\n");
    const std::string stated =
        R"("vase": {"kind": "item", "piece": "box", "type": "vase", "price": "25.00"})";
    const SharedPurchase made =
        buy_together({job("Box", item("hinges", "hinge", 5) + ", " + stated),
                      job("Chest", item("hinges", "hinge", 3))},
                     host(), lists.catalog());
    EXPECT_EQ(made.alone.str(), "165.00");
    EXPECT_EQ(made.together.str(), "135.00");
}

TEST(SharedPurchase, IsOfOneCurrencyAndOneUseOfTax) {
    PriceLists lists;
    lists.dealer("north", "EUR", "30.00", "HINGE,item,Hinge,10.00,each,0,hinge\r\n");
    const Project box = job("Box", item("hinges", "hinge", 5));
    const Catalog catalog = lists.catalog();
    const Fault clash = fault_of([&] {
        (void)buy_together({box, job("Chest", item("hinges", "hinge", 3), "", "USD")}, host(),
                           catalog);
    });
    EXPECT_EQ(clash.code, "currency-clash");
    EXPECT_EQ(clash.wrong, "the project is in USD, the first one in EUR");
    EXPECT_EQ(clash.place.file, "Chest.aumbry.json");
    const Fault tax = fault_of([&] {
        (void)buy_together({box, job("Chest", item("hinges", "hinge", 3),
                                     R"("pricing": {"tax_recoverable": false})")},
                           host(), catalog);
    });
    EXPECT_EQ(tax.code, "tax-clash");
}

} // namespace
} // namespace aumbry
