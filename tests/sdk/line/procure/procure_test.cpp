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

contract::Use use_of(const std::string& offer, std::int64_t count, double mass,
                     bool must_be_delivered) {
    contract::Use use;
    use.offer = offer;
    use.count = count;
    use.mass = mass;
    use.must_be_delivered = must_be_delivered;
    return use;
}

SupplierTerms with_trip(SupplierTerms terms, const std::string& cost) {
    terms.supplier.delivery.collect = euros(cost);
    return terms;
}

// Whole sheets were collected in a vehicle that they do not fit, because that cost less.
TEST(ProcureCarriage, WhatDoesNotFitTheVehicleIsNotCollected) {
    ProcureProblem market = problem();
    market.suppliers = {with_trip(supplier("north", "30"), "6")};
    market.offers = {offer("north", "sheet", "80")};
    market.demands = {plan("a/sheets", {way("whole", {use_of("north/sheet", 2, 20, true)})})};
    Procurement bought = procure(market);
    ASSERT_THAT(bought.orders, SizeIs(1));
    EXPECT_FALSE(bought.orders[0].collected);
    EXPECT_EQ(bought.cost, euros("190"));
    EXPECT_EQ(bought.findings.front().text,
              "'north/sheet' cannot be fetched as it is handed over, so the order to 'north' comes "
              "delivered.");
    market.demands.front().ways.front().uses.front().must_be_delivered = false;
    bought = procure(market);
    EXPECT_TRUE(bought.orders[0].collected);
    EXPECT_EQ(bought.cost, euros("166"));
}

TEST(ProcureCarriage, WhatNobodyBringsIsNotBought) {
    ProcureProblem market = problem();
    market.suppliers = {with_trip(supplier("north"), "6")};
    market.suppliers.front().supplier.delivery.flat.reset();
    market.offers = {offer("north", "sheet", "80")};
    market.demands = {plan("a/sheets", {way("whole", {use_of("north/sheet", 2, 20, true)})})};
    const Procurement bought = procure(market);
    ASSERT_THAT(bought.unmet, SizeIs(1));
    EXPECT_EQ(bought.unmet[0].reason,
              "'north/sheet' is to be delivered and 'north' does not deliver");
}

// 3 x 200 kg in a vehicle of 420 kg: two trips of 6.
TEST(ProcureCarriage, MoreThanTheLoadTakesSeveralTrips) {
    ProcureProblem market = problem();
    market.suppliers = {with_trip(supplier("north", "30"), "6")};
    market.offers = {offer("north", "sheet", "80")};
    market.demands = {plan("a/sheets", {way("whole", {use_of("north/sheet", 3, 200, false)})})};
    market.load = 420;
    const Procurement bought = procure(market);
    EXPECT_EQ(bought.orders[0].trips, 2);
    EXPECT_EQ(bought.orders[0].delivery, euros("12"));
    EXPECT_EQ(bought.findings.front().text,
              "The order to 'north' weighs about 600 kg and the vehicle carries 420 kg: it takes 2 "
              "trips, which are counted.");
}

TEST(ProcureCarriage, TheProjectSaysHowASuppliersGoodsCome) {
    ProcureProblem market = problem();
    market.suppliers = {with_trip(supplier("north", "30"), "6")};
    market.offers = {offer("north", "glue", "10")};
    market.demands = {amount("a/glue", 1, "each", {{"north/glue", 1}})};
    EXPECT_TRUE(procure(market).orders[0].collected);
    market.suppliers.front().carriage = contract::Carriage::delivered;
    EXPECT_FALSE(procure(market).orders[0].collected);
    market.suppliers.front().supplier.delivery.flat.reset();
    const Procurement bought = procure(market);
    EXPECT_THAT(bought.unmet, SizeIs(1));
    EXPECT_EQ(
        bought.findings.front().text,
        "Supplier 'north' does not deliver, and \"carriage\" under \"suppliers\" wants it; it "
        "is left out. Change its \"by\".");
}

// Boards of several sizes at one price a metre: each weighs what it weighs.
TEST(ProcureCarriage, AnOrderWeighsWhatItsPurchasesWeigh) {
    ProcureProblem market = problem();
    market.suppliers = {supplier("north")};
    market.offers = {offer("north", "board", "2")};
    market.offers.front().price_unit = "m";
    contract::Use short_one = use_of("north/board", 2, 3, false);
    short_one.measure = 2.4;
    contract::Use long_one = use_of("north/board", 1, 6, false);
    long_one.measure = 4.8;
    market.demands = {plan("a/short", {way("w", {short_one})}),
                      plan("a/long", {way("w", {long_one})})};
    EXPECT_DOUBLE_EQ(procure(market).orders[0].mass, 12);
}

// Of one demand some lines need one article and others another: each pays for its own.
TEST(Procure, LinesPayForWhatTheyNeed) {
    ProcureProblem market = problem();
    market.suppliers = {supplier("north")};
    market.offers = {offer("north", "thin", "40"), offer("north", "thick", "100")};
    contract::Use thin = use_of("north/thin", 1, 0, false);
    thin.lines = {"seat"};
    contract::Use thick = use_of("north/thick", 1, 0, false);
    thick.lines = {"leg"};
    DemandTerms demand = plan("a/oak", {way("w", {thin, thick})});
    demand.shares = {{"seat", 9}, {"leg", 1}};
    market.demands = {demand};
    for (const Purchase& purchase : procure(market).purchases) {
        ASSERT_THAT(purchase.lines, SizeIs(1));
        EXPECT_EQ(purchase.lines[0].line, purchase.sku == "thin" ? "seat" : "leg");
    }
}

// 2.3 of 2.5 litres bought: an opened tin of 0.4 beside it was left, and a new one opened.
TEST(Procure, AnOpenedTinIsUsedBeforeANewOne) {
    ProcureProblem market = problem();
    market.suppliers = {supplier("north")};
    market.offers = {offer("north", "tin", "40"), owned_offer("opened", "0", 1)};
    market.demands = {amount("a/sealer", 2.3, "L", {{"north/tin", 2.5}, {"owned/opened", 0.4}})};
    const Procurement bought = procure(market);
    EXPECT_EQ(bought.cost, euros("40"));
    ASSERT_THAT(bought.choices[0].uses, SizeIs(2));
    EXPECT_EQ(bought.choices[0].uses[1].offer, "owned/opened");
    EXPECT_EQ(bought.choices[0].uses[1].count, 1);
}

// One opened tin, two demands for it: it is used once. Two articles of one kind: each once.
TEST(Procure, WhatIsAtHandIsNeverUsedTwice) {
    ProcureProblem market = problem();
    market.suppliers = {supplier("north")};
    market.offers = {offer("north", "tin", "40"), owned_offer("opened", "0", 1),
                     owned_offer("opened_2", "0", 1)};
    const std::vector<contract::AmountOffer> offers{
        {"north/tin", 2.5}, {"owned/opened", 0.4}, {"owned/opened_2", 0.4}};
    market.demands = {amount("a/bed", 2.3, "L", offers), amount("a/bench", 2.2, "L", offers),
                      amount("a/shelf", 2.1, "L", offers)};
    std::map<std::string, std::int64_t> used;
    for (const Choice& choice : procure(market).choices)
        for (const contract::Use& use : choice.uses) used[use.offer] += use.count;
    EXPECT_EQ(used["owned/opened"], 1);
    EXPECT_EQ(used["owned/opened_2"], 1);
    EXPECT_EQ(used["north/tin"], 3);
}

} // namespace
} // namespace aumbry
