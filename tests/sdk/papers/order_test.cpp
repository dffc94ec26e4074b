// What a supplier is sent, from estimates made by hand. The published figures are those of EN
// 16931's ubl-tc434-example8 (ConnectingEurope/eInvoicing-EN16931): prices with five decimals, 21 %
// of 908.91.
#include "aumbry/order.hpp"
#include "euros.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::SizeIs;

EstimatePurchase purchase(const char* supplier, const char* sku, std::int64_t count,
                          const char* price, const char* amount) {
    EstimatePurchase made;
    made.supplier = supplier;
    made.sku = sku;
    made.offer = std::string(supplier) + '/' + sku;
    made.description = sku;
    made.count = count;
    made.unit_price = made.listed_price = Decimal::parse(price);
    made.listed_currency = "EUR";
    made.amount = eur(amount);
    made.tax_percent = Decimal(21);
    made.lines = {{"side", made.amount}};
    made.demands = {"m/d"};
    return made;
}

EstimateOrder order(const char* supplier, const char* net, const char* tax, const char* total) {
    EstimateOrder made;
    made.supplier = supplier;
    made.name = supplier;
    made.goods = eur(net);
    made.cuts = made.delivery = made.small_order = made.services = Money::zero(euro);
    made.taxes = {{Decimal(21), eur(net), eur(tax)}};
    made.tax = eur(tax);
    made.total = eur(total);
    made.arrives = make_date(2027, 3, 5);
    return made;
}

Estimate with(std::vector<EstimatePurchase> purchases, std::vector<EstimateOrder> orders) {
    Estimate estimate;
    estimate.title = "Loft";
    estimate.currency = euro;
    estimate.schedule.ready = make_date(2027, 4, 2);
    EstimateLine line;
    line.id = "side";
    line.title = "Side of the bed";
    estimate.lines = {line};
    estimate.purchases = std::move(purchases);
    estimate.orders = std::move(orders);
    return estimate;
}

TEST(Orders, ThePublishedInvoiceAddsUp) {
    const Estimate estimate = with({purchase("north", "a", 16000, "0.0088", "140.80"),
                                    purchase("north", "b", 16000, "0.00101", "16.16"),
                                    purchase("north", "c", 58, "1.53", "88.74"),
                                    purchase("north", "rest", 1, "663.21", "663.21")},
                                   {order("north", "908.91", "190.87", "1099.78")});
    const std::vector<Order> orders = orders_of(estimate);
    ASSERT_THAT(orders, SizeIs(1));
    EXPECT_EQ(orders[0].net, eur("908.91"));
    EXPECT_EQ(orders[0].total, eur("1099.78"));
    EXPECT_EQ(orders[0].positions[3].number, 4);
    for (const OrderPosition& position : orders[0].positions) {
        const Price price{position.unit_price, euro, Decimal(1)};
        EXPECT_EQ(price.amount_for(Decimal(position.count)), position.amount) << position.sku;
    }
}

TEST(Orders, EachSupplierIsSentHisOwnAndNothingOwnedOrOrderedAlready) {
    EstimatePurchase owned = purchase("", "offcut", 1, "10", "10.00");
    owned.owned = true;
    EstimatePurchase had = purchase("north", "glue", 1, "9", "9.00");
    had.state = Progress::ordered;
    const std::vector<Order> orders = orders_of(with(
        {owned, had, purchase("north", "ply", 2, "50", "100.00"),
         purchase("south", "oil", 1, "20", "20.00")},
        {order("north", "100.00", "21.00", "121.00"), order("south", "20.00", "4.20", "24.20")}));
    ASSERT_THAT(orders, SizeIs(2));
    ASSERT_THAT(orders[0].positions, SizeIs(1));
    EXPECT_EQ(orders[0].positions[0].sku, "ply");
    EXPECT_THAT(orders[0].positions[0].lines, ElementsAre("Side of the bed"));
    ASSERT_THAT(orders[1].positions, SizeIs(1));
    EXPECT_EQ(orders[1].positions[0].number, 1);
    EXPECT_EQ(orders[1].net, eur("20.00"));
}

TEST(Orders, ChargesStandBesideTheGoodsAndAddToTheNet) {
    EstimateOrder terms = order("north", "100.00", "30.45", "175.45");
    terms.cuts = eur("5.00");
    terms.cut_count = 2;
    terms.delivery = eur("35.00");
    terms.small_order = eur("5.00");
    terms.taxes = {{Decimal(21), eur("145.00"), eur("30.45")}};
    const Order made =
        orders_of(with({purchase("north", "ply", 2, "50", "100.00")}, {terms})).front();
    std::vector<std::string> charges;
    for (const OrderCharge& charge : made.charges) charges.push_back(charge.amount.str());
    EXPECT_THAT(charges, ElementsAre("5.00", "35.00", "5.00"));
    EXPECT_EQ(made.net, eur("145.00"));
    EXPECT_EQ(made.total, eur("175.45"));
    EXPECT_EQ(made.collecting, eur("0.00"));
}

TEST(Orders, WhatFetchingCostsIsOnNoInvoice) {
    EstimateOrder terms = order("north", "100.00", "21.00", "133.00");
    terms.delivery = eur("12.00");
    terms.collected = true;
    const Order made =
        orders_of(with({purchase("north", "ply", 2, "50", "100.00")}, {terms})).front();
    EXPECT_THAT(made.charges, IsEmpty());
    EXPECT_EQ(made.net, eur("100.00"));
    EXPECT_EQ(made.collecting, eur("12.00"));
    EXPECT_EQ(made.total, eur("121.00"));
}

TEST(Orders, AreNeededOnTheEarliestDayThatOneOfTheirDemandsIs) {
    EstimatePurchase first = purchase("north", "ply", 1, "50", "50.00");
    EstimatePurchase second = purchase("north", "oil", 1, "50", "50.00");
    second.demands = {"m/oil"};
    Estimate estimate = with({first, second}, {order("north", "100.00", "21.00", "121.00")});
    EXPECT_EQ(orders_of(estimate).front().needed, make_date(2027, 4, 2)); // nothing waits for it
    estimate.latest_arrivals = {{"m/d", make_date(2027, 3, 20)}, {"m/oil", make_date(2027, 3, 12)}};
    EXPECT_EQ(orders_of(estimate).front().needed, make_date(2027, 3, 12));
}

TEST(OrderCsv, AmountsAddUpToTheRowTotal) {
    EstimateOrder terms = order("north", "100.00", "28.35", "163.35");
    terms.delivery = eur("35.00");
    terms.taxes = {{Decimal(21), eur("135.00"), eur("28.35")}};
    const Order made =
        orders_of(with({purchase("north", "ply, \"birch\"", 2, "50", "100.00")}, {terms})).front();
    const std::string text = order_csv(made);
    EXPECT_THAT(text, HasSubstr("1,\"ply, \"\"birch\"\"\",\"ply, "
                                "\"\"birch\"\"\",2,,,50,100.00,EUR,21,Side of the bed,\r\n"));
    EXPECT_THAT(text, HasSubstr(",,Delivery,,,,,35.00,EUR,,,\r\n,,tax 21 % of "
                                "135.00,,,,,28.35,EUR,21,,\r\n,,total,,,,,163.35,EUR,,,\r\n"));
}

// What a list leaves open stands on every form of an order.
TEST(Orders, SayWhichBoardsAreWanted) {
    EstimatePurchase oak = purchase("north", "oak", 8, "12", "96.00");
    oak.wanted = {"2 boards, each at least 6 in wide and 8 ft long", "please crosscut 1 of them"};
    const Estimate estimate = with({oak}, {order("north", "96.00", "20.16", "116.16")});
    const Order made = orders_of(estimate).front();
    const std::string both =
        "2 boards, each at least 6 in wide and 8 ft long; please crosscut 1 of them";
    EXPECT_EQ(wanted_text(made.positions.front()), both);
    EXPECT_THAT(order_csv(made), HasSubstr(",Side of the bed,\"" + both + "\"\r\n"));
    const Json json = orders_json(head_of(estimate), {made});
    EXPECT_EQ(json.at("orders").at(0).at("positions").at(0).at("wanted").at(0), oak.wanted[0]);
}

TEST(OrdersJson, IsWhatIsOrdered) {
    const Estimate estimate = with({purchase("north", "ply", 2, "50", "100.00")},
                                   {order("north", "100.00", "21.00", "121.00")});
    const Json json = orders_json(head_of(estimate), orders_of(estimate));
    EXPECT_EQ(json.at("title"), "Loft");
    EXPECT_EQ(json.at("currency"), "EUR");
    const Json& north = json.at("orders").at(0);
    EXPECT_EQ(north.at("supplier"), "north");
    EXPECT_EQ(north.at("net"), "100.00");
    EXPECT_EQ(north.at("total"), "121.00");
    EXPECT_EQ(north.at("positions").at(0).at("count"), 2);
    EXPECT_EQ(north.at("positions").at(0).at("amount"), "100.00");
}

TEST(PriceInWords, KeepsDecimalsOnlyWhereRoundingWouldLoseTooMuch) {
    EXPECT_EQ(price_in_words(Decimal::parse("0.0088"), euro), "0.0088");
    EXPECT_EQ(price_in_words(Decimal::parse("0.5"), euro), "0.50");
    EXPECT_EQ(price_in_words(Decimal::parse("12.345"), euro), "12.35");
}

TEST(FileNames, AreTakenOnceEach) {
    std::vector<Order> orders(3);
    orders[0].supplier = "stated/Anna & Co.";
    orders[1].supplier = "stated/Anna - Co";
    orders[2].supplier = "north";
    const std::vector<std::string> names = file_names_of(orders);
    EXPECT_THAT(names, SizeIs(3));
    EXPECT_NE(names[0], names[1]);
    EXPECT_EQ(names[2], "north");
    for (const std::string& name : names)
        EXPECT_EQ(name.find_first_of("/& ."), std::string::npos) << name;
}

} // namespace
} // namespace aumbry
