// What is said of a purchase once it is chosen: rows, orders, the next best, and sentences. Figures
// worked by hand; tax and net amounts by the calculation rules of EN 16931.
#include "small_market.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry {
namespace {

using namespace test;
using ::testing::ElementsAre;
using ::testing::IsEmpty;

/// Sentences of one code.
std::vector<std::string> said(const Procurement& bought, const std::string& code) {
    std::vector<std::string> sentences;
    for (const contract::Finding& finding : bought.findings) {
        if (finding.code == code) sentences.push_back(finding.text);
    }
    return sentences;
}

/// So many hinges of "north", whose terms are given.
ProcureProblem hinges(const SupplierTerms& north, double count, const std::string& price) {
    ProcureProblem market = problem();
    market.suppliers = {north};
    market.offers = {offer("north", "hinge", price)};
    market.demands = {amount("kits/hinges", count, "each", {{"north/hinge", 1}})};
    return market;
}

TEST(ProcureReport, ARowSaysWhatIsNeededOfWhatIsBoughtAndForWhichLines) {
    ProcureProblem market = hinges(supplier("north"), 3, "4.50");
    market.offers[0].min_quantity = 5;
    market.demands[0].shares = {{"left", 1}, {"right", 2}};
    const Procurement bought = procure(market);
    ASSERT_EQ(bought.purchases.size(), 1U);
    const Purchase& row = bought.purchases[0];
    EXPECT_EQ(row.count, 5);
    EXPECT_EQ(row.needed, 3);
    EXPECT_EQ(row.amount, euros("22.50"));
    EXPECT_THAT(row.demands, ElementsAre("kits/hinges"));
    ASSERT_EQ(row.lines.size(), 2U); // a third and two thirds of what is needed
    EXPECT_EQ(row.lines[0].line, "left");
    EXPECT_EQ(row.lines[0].weight, 1);
    EXPECT_EQ(row.lines[1].weight, 2);
}

TEST(ProcureReport, WhatADemandCannotGiveBackIsNotReturnable) {
    ProcureProblem market = hinges(supplier("north"), 1, "4.50");
    EXPECT_TRUE(procure(market).purchases.at(0).returnable);
    market.demands[0].returnable = false;
    EXPECT_FALSE(procure(market).purchases.at(0).returnable);
}

TEST(ProcureReport, APriceOfAnotherCurrencyIsListedAsItIsAndReckonedAtTheRate) {
    SupplierTerms terms = supplier("north");
    terms.supplier.currency = currency("SEK");
    terms.supplier.delivery.flat = Money::zero(terms.supplier.currency);
    terms.rate = Decimal::parse("0.09");
    const Procurement bought = procure(hinges(terms, 2, "100.00"));
    const Purchase& row = bought.purchases.at(0);
    EXPECT_EQ(row.listed_price, Decimal::parse("100"));
    EXPECT_EQ(row.listed_currency, "SEK");
    EXPECT_EQ(row.unit_price, Decimal::parse("9"));
    EXPECT_EQ(row.amount, euros("18.00"));
}

TEST(ProcureReport, TaxThatAPriceHoldsIsTakenOutAndRoundedOnceARate) {
    SupplierTerms terms = supplier("north");
    terms.supplier.tax_included = true;
    terms.supplier.tax_percent = Decimal(25);
    const Procurement bought = procure(hinges(terms, 1, "125.00"));
    EXPECT_EQ(bought.purchases.at(0).unit_price, Decimal(100));
    const SupplierOrder& order = bought.orders.at(0);
    EXPECT_EQ(order.goods, euros("100.00"));
    ASSERT_EQ(order.taxes.size(), 1U);
    EXPECT_EQ(order.taxes[0].taxable, euros("100.00"));
    EXPECT_EQ(order.taxes[0].tax, euros("25.00"));
    EXPECT_EQ(order.total, euros("125.00")); // BR-CO-15
}

TEST(ProcureReport, AnOrderBelowItsMinimumIsMadeUpAndSaid) {
    SupplierTerms terms = supplier("north", "10.00");
    terms.supplier.minimum_order = euros("50.00");
    const Procurement bought = procure(hinges(terms, 3, "12.00"));
    EXPECT_EQ(bought.orders.at(0).small_order, euros("14.00"));
    EXPECT_EQ(bought.orders.at(0).total, euros("60.00"));
    EXPECT_THAT(said(bought, "small-order"),
                ElementsAre("The order to 'north' is 14.00 EUR below its minimum order of 50.00 "
                            "EUR; the supplier charges the difference. Ordering goods for that "
                            "amount costs the same."));
    EXPECT_THAT(said(procure(hinges(terms, 5, "12.00")), "small-order"), IsEmpty());
}

TEST(ProcureReport, DeliveryThatIsNearlyFreeIsSaidWhereFillingUpCostsLess) {
    SupplierTerms terms = supplier("north", "10.00");
    terms.supplier.delivery.free_from = euros("100.00");
    EXPECT_THAT(said(procure(hinges(terms, 1, "95.00")), "delivery-nearly-free"),
                ElementsAre("Goods for another 5.00 EUR from 'north' would make its delivery free, "
                            "which costs 10.00 EUR."));
    EXPECT_THAT(said(procure(hinges(terms, 1, "85.00")), "delivery-nearly-free"), IsEmpty());
    EXPECT_THAT(said(procure(hinges(terms, 1, "100.00")), "delivery-nearly-free"), IsEmpty());
}

TEST(ProcureReport, AMassThatNobodyKnowsIsSaidWhereDeliveryIsChargedByIt) {
    SupplierTerms terms = supplier("north");
    terms.supplier.delivery.flat.reset();
    terms.supplier.delivery.by_mass = {{20, euros("8.00")}, {std::nullopt, euros("30.00")}};
    ProcureProblem market = hinges(terms, 1, "4.50");
    EXPECT_THAT(said(procure(market), "mass-unknown"),
                ElementsAre("'north' charges delivery by mass and that of 'north/hinge' is not "
                            "known; it is counted as nothing. Add it to the price list."));
    market.offers[0].mass_kg = 21;
    const Procurement bought = procure(market);
    EXPECT_THAT(said(bought, "mass-unknown"), IsEmpty());
    EXPECT_EQ(bought.orders.at(0).mass, 21);
    EXPECT_EQ(bought.orders.at(0).delivery, euros("30.00"));
}

TEST(ProcureReport, TheNextBestIsTheCostOfTheWholeJobWithIt) {
    ProcureProblem market = hinges(supplier("north", "5.00"), 1, "10.00");
    market.suppliers.push_back(supplier("south", "5.00"));
    market.offers.push_back(offer("south", "hinge", "11.00"));
    market.offers.push_back(offer("north", "glue", "7.00"));
    market.demands[0].amount->offers.push_back({"south/hinge", 1});
    market.demands.push_back(amount("kits/glue", 1, "each", {{"north/glue", 1}}));
    const Procurement bought = procure(market);
    EXPECT_EQ(bought.cost, euros("22.00")); // 10 + 7 + one delivery
    ASSERT_EQ(bought.choices.size(), 2U);
    const Choice& choice = bought.choices[0];
    EXPECT_EQ(choice.demand, "kits/hinges");
    EXPECT_THAT(choice.suppliers, ElementsAre("north"));
    ASSERT_TRUE(choice.next_best);
    EXPECT_THAT(choice.next_best->suppliers, ElementsAre("south"));
    EXPECT_EQ(choice.next_best->cost, euros("28.00")); // 11 + 7 + two deliveries
    EXPECT_FALSE(bought.choices[1].next_best);         // nobody else has glue
    // With one order at most the other supplier is no choice.
    market.max_suppliers = 1;
    EXPECT_FALSE(procure(market).choices.at(0).next_best);
}

TEST(ProcureReport, PricesHoldUntilTheFirstThatIsUsedEnds) {
    ProcureProblem market = hinges(supplier("north"), 1, "10.00");
    EXPECT_FALSE(procure(market).prices_hold);
    market.offers.push_back(offer("north", "glue", "7.00"));
    market.offers.push_back(offer("north", "tape", "1.00"));
    market.offers[0].valid_to = make_date(2027, 6, 30);
    market.offers[1].valid_to = make_date(2027, 4, 30);
    market.offers[2].valid_to = make_date(2027, 3, 31); // nobody needs it
    market.demands.push_back(amount("kits/glue", 1, "each", {{"north/glue", 1}}));
    EXPECT_EQ(procure(market).prices_hold, make_date(2027, 4, 30));
}

} // namespace
} // namespace aumbry
