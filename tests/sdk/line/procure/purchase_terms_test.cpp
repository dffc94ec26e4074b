// From catalog and take-off to what procure reads: who is in play, and what an offer's terms are.
#include "line/procure/purchase_terms.hpp"

#include "catalog/sample.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry {
namespace {

using ::testing::ElementsAre;

const Date priced_on = make_date(2027, 2, 1);

class PurchaseTerms : public ::testing::Test {
  protected:
    test::TemporaryFolder folder;
    Catalog catalog;
    Resolved project;
    TakenOff taken;

    void SetUp() override {
        project.currency = currency("EUR");
        project.priced_on = priced_on;
    }

    /// Suppliers in a catalog, each with the rows of its list.
    void sold(const std::vector<std::pair<std::string, std::string>>& suppliers) {
        for (const auto& [id, rows] : suppliers) {
            folder.write("suppliers/" + id + "/supplier.json", test::sample_terms);
            folder.write("suppliers/" + id + "/list.csv", test::sample_header + rows);
        }
        catalog = load_catalog({folder.path()}, test::sample_classes());
        ASSERT_TRUE(catalog.faults().empty()) << catalog.faults().front().fault.sentence();
        for (const DatedOffer& offer : catalog.offers_on(priced_on).valid)
            taken.offers.emplace(offer.offer.id, offer);
    }
    /// What a row of sheets says: sku, price, then quantities and dates.
    static std::string sheet(const std::string& sku, const std::string& price,
                             const std::string& min_quantity, const std::string& valid_to) {
        return sku + ",sheet,Birch " + sku + ',' + price + ",each,2," + min_quantity + ",9,4,," +
               valid_to + ",,birch,18 mm,BB/BB,2500 mm,1250 mm,,,\r\n";
    }
    /// A demand whose one way uses so many of an offer.
    static contract::Demand uses(const std::string& offer, double mass) {
        contract::Demand demand;
        demand.id = "sheets/" + offer;
        demand.ways = {{.id = "only", .uses = {{.offer = offer, .count = 1, .mass = mass}}}};
        return demand;
    }
    OfferTerms terms_of(const std::string& id) {
        for (const OfferTerms& terms : offer_terms(project, catalog, taken)) {
            if (terms.id == id) return terms;
        }
        ADD_FAILURE() << "no terms of " << id;
        return {};
    }
};

TEST_F(PurchaseTerms, SuppliersInPlayAreThoseWhoseOffersAModuleSaw) {
    sold({{"north", sheet("A", "50.00", "1", "")},
          {"south", sheet("B", "51.00", "1", "")},
          {"west", sheet("C", "52.00", "1", "")}});
    taken.offers.erase("south/B");
    project.suppliers.exclude = {"west"};
    project.suppliers.prefer = {"north"};
    project.suppliers.rates = {{"EUR", Decimal::parse("1.5"), priced_on}};
    const std::vector<SupplierTerms> list = supplier_terms(project, catalog, taken);
    ASSERT_EQ(list.size(), 2U);
    EXPECT_EQ(list[0].supplier.id, "north");
    EXPECT_TRUE(list[0].preferred);
    EXPECT_FALSE(list[0].excluded);
    EXPECT_EQ(list[0].rate, Decimal::parse("1.5"));
    EXPECT_EQ(list[1].supplier.id, "west");
    EXPECT_FALSE(list[1].preferred);
    EXPECT_TRUE(list[1].excluded);
}

TEST_F(PurchaseTerms, AStatedPriceIsBoughtOfWhoNamedItInTheProjectsCurrency) {
    project.services = {"service"};
    project.pricing.tax_paid = Decimal(21);
    taken.stated = {
        {.id = "stated/a",
         .description = "Cushion",
         .unit = "each",
         .price =
             {.price = "148.00", .supplier = "Naad", .catalog_class = "item", .lead_days = 12}},
        {.id = "stated/b",
         .description = "Parking",
         .unit = "h",
         .price = {.price = "2.50", .supplier = "", .catalog_class = "service", .tax_rate = "0"}},
        {.id = "stated/c",
         .description = "Tray",
         .unit = "",
         .price = {.price = "9.00", .supplier = "Naad", .catalog_class = "item"}}};
    const std::vector<SupplierTerms> list = supplier_terms(project, catalog, taken);
    ASSERT_EQ(list.size(), 2U); // one for each who named a price
    EXPECT_EQ(list[0].supplier.id, "stated/Naad");
    EXPECT_EQ(list[0].supplier.name, "Naad");
    EXPECT_EQ(list[0].supplier.currency, currency("EUR"));
    EXPECT_EQ(list[0].supplier.delivery.flat, Money::zero(currency("EUR")));
    EXPECT_EQ(list[1].supplier.name, "Prices stated in the project");

    const OfferTerms cushion = terms_of("stated/a");
    EXPECT_EQ(cushion.supplier, "stated/Naad");
    EXPECT_EQ(cushion.price, Decimal(148));
    EXPECT_EQ(cushion.price_unit, "piece"); // the measure makes up the amount
    EXPECT_EQ(cushion.lead_days, 12);
    EXPECT_FALSE(cushion.service);
    EXPECT_EQ(cushion.tax_percent, Decimal(21)); // as the project says of such prices
    EXPECT_EQ(terms_of("stated/b").tax_percent, Decimal(0));
    EXPECT_EQ(terms_of("stated/b").price_unit, "h");
    EXPECT_TRUE(terms_of("stated/b").service);
    EXPECT_EQ(terms_of("stated/c").price_unit, "piece");
}

TEST_F(PurchaseTerms, AnOfferHasItsRowsBreaksStockAndTimes) {
    sold({{"north",
           sheet("A", "50.00", "1", "2027-12-31") + sheet("A", "45.00", "10", "2027-06-30")}});
    const OfferTerms terms = terms_of("north/A");
    EXPECT_EQ(terms.supplier, "north");
    EXPECT_EQ(terms.sku, "A");
    EXPECT_EQ(terms.price, Decimal(50));
    ASSERT_FALSE(terms.breaks.empty());
    EXPECT_EQ(terms.breaks.back().from, 10);
    EXPECT_EQ(terms.breaks.back().price, Decimal(45));
    EXPECT_EQ(terms.price_unit, "each");
    EXPECT_EQ(terms.pack, Decimal(2));
    EXPECT_EQ(terms.limit, 9);
    EXPECT_EQ(terms.lead_days, 4);
    EXPECT_EQ(terms.longest_mm, 2500);
    EXPECT_EQ(terms.valid_to, make_date(2027, 6, 30)); // the first of its prices to end
    EXPECT_FALSE(terms.service);
    project.services = {"sheet"};
    EXPECT_TRUE(terms_of("north/A").service);
}

// The estimate named the folder from which it was asked for.
TEST_F(PurchaseTerms, WhereAPriceStandsIsToldWithinTheCatalog) {
    sold({{"north", sheet("A", "50.00", "1", "")}});
    EXPECT_EQ(terms_of("north/A").row.file, "suppliers/north/list.csv, row 2");
}

TEST_F(PurchaseTerms, TheMassOfACountIsTheGreatestThatAModuleSays) {
    sold({{"north", sheet("A", "50.00", "1", "") + sheet("B", "50.00", "1", "")}});
    contract::Demand amount;
    amount.id = "kits/a";
    amount.amount = contract::Amount{
        .quantity = 1, .unit = "each", .offers = {{.offer = "north/A", .content = 1, .mass = 30}}};
    taken.demands = {uses("north/A", 28), amount, uses("north/A", 0)};
    EXPECT_EQ(terms_of("north/A").mass_kg, 30);
    EXPECT_EQ(terms_of("north/B").mass_kg, 0);
}

TEST_F(PurchaseTerms, WhatIsOwnedCostsItsValueAndIsThereOnceItHasCome) {
    taken.owned = {{.id = "offcut",
                    .title = "Half a sheet",
                    .catalog_class = "sheet",
                    .count = 2,
                    .value = Money::parse("7.50", currency("EUR"))},
                   {.id = "bought/1",
                    .title = "A sheet",
                    .catalog_class = "sheet",
                    .value = Money::zero(currency("EUR")),
                    .arrives = make_date(2027, 3, 9)}};
    const OfferTerms terms = terms_of("owned/offcut");
    EXPECT_TRUE(terms.owned);
    EXPECT_TRUE(terms.supplier.empty());
    EXPECT_EQ(terms.price, Decimal::parse("7.5"));
    EXPECT_EQ(terms.price_unit, "pack");
    EXPECT_EQ(terms.limit, 2);
    EXPECT_FALSE(terms.arrives);
    EXPECT_EQ(terms_of("owned/bought/1").arrives, make_date(2027, 3, 9));
    EXPECT_TRUE(supplier_terms(project, catalog, taken).empty());
}

} // namespace
} // namespace aumbry
