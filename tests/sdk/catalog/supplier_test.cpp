#include "sample.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/supplier.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>

namespace aumbry {
namespace {

using testing::ElementsAre;

std::string text_of(const std::filesystem::path& path) {
    std::ifstream in(path, std::ios::binary);
    EXPECT_TRUE(in) << path;
    return {std::istreambuf_iterator<char>(in), {}};
}

std::vector<std::string> sentences_of(const std::string& text) {
    try {
        (void)read_supplier(text, "supplier.json", "x");
        return {};
    } catch (const FaultError& error) {
        std::vector<std::string> all;
        for (const Fault& fault : error.faults()) all.push_back(fault.sentence());
        return all;
    }
}

/// Good terms but for what `more` adds and `delivery` says.
std::string terms(const std::string& delivery, const std::string& more = "") {
    return R"({"name": "X", "currency": "EUR", "tax_percent": "19", "delivery": {)" + delivery +
           "}" + more + "}";
}

TEST(Supplier, FullTermsAreReadInContractUnits) {
    const Supplier supplier = read_supplier(text_of(AUMBRY_FIXTURES "/suppliers/good/full.json"),
                                            "supplier.json", "hafen");
    const Currency euro = currency("EUR");
    EXPECT_EQ(supplier.id, "hafen");
    EXPECT_TRUE(supplier.invented);
    EXPECT_EQ(supplier.currency, euro);
    EXPECT_EQ(supplier.tax_percent, Decimal(19));
    EXPECT_EQ(supplier.minimum_order, Money(5000, euro));
    EXPECT_TRUE(supplier.delivery.delivers());
    ASSERT_EQ(supplier.delivery.by_mass.size(), 3u);
    EXPECT_NEAR(*supplier.delivery.by_mass[1].up_to, 181.436948,
                1e-9); // 400 lb, NIST SP 811 appendix B.8
    EXPECT_EQ(supplier.delivery.by_mass[2].up_to, std::nullopt);
    EXPECT_EQ(supplier.delivery.by_mass[2].cost, Money(9000, euro));
    EXPECT_EQ(supplier.delivery.free_from, Money(60000, euro));
    EXPECT_EQ(supplier.delivery.oversize->longer_than, 2000);
    EXPECT_EQ(supplier.delivery.collect, Money(1200, euro));
    EXPECT_EQ(supplier.cutting.supplier, "hafen");
    EXPECT_TRUE(supplier.cutting.offered);
    EXPECT_EQ(supplier.cutting.price_per_cut, "1.5");
    EXPECT_EQ(supplier.cutting.free_cuts, 2);
    EXPECT_EQ(supplier.cutting.kerf, 3.2);
    EXPECT_FALSE(supplier.calendar.is_working(make_date(2027, 3, 5)));   // a Friday
    EXPECT_TRUE(supplier.calendar.is_working(make_date(2027, 3, 6)));    // a Saturday
    EXPECT_FALSE(supplier.calendar.is_working(make_date(2027, 12, 28))); // in the range
    EXPECT_TRUE(supplier.calendar.is_working(make_date(2028, 1, 3)));
    EXPECT_EQ(supplier.extra.at("x-contact").at("telephone"), "none");
}

TEST(Supplier, AllFaultsAreToldAtOnceEachWithItsPlace) {
    EXPECT_THAT(
        sentences_of("{\n  \"name\": \"X\",\n  \"curency\": \"EUR\",\n  \"tax_percent\": "
                     "\"high\",\n  \"delivery\": { \"flat\": 45 }\n}"),
        ElementsAre(
            "supplier.json:3:3: /curency: unknown key 'curency'; did you mean 'currency'?",
            "supplier.json:1:1: missing key 'currency'; add it: ISO 4217 code of its prices",
            "supplier.json:4:3: /tax_percent: 'high' is not a decimal number; write digits with at "
            "most one decimal point, such as 12.50",
            "supplier.json:5:17: /delivery/flat: found the number 45; write an amount as text, as "
            "in "
            "\"12.50\""));
}

TEST(Supplier, ACurrencyMustBeOneOfIso4217) {
    const auto all = sentences_of(
        R"({"name": "X", "currency": "EUX", "tax_percent": "19", "delivery": {"flat": "1"}})");
    ASSERT_EQ(all.size(), 1u);
    EXPECT_THAT(all.front(), testing::StartsWith("supplier.json:1:15: /currency: "));
}

TEST(Supplier, AmountsHaveNoMoreDecimalsThanTheirCurrency) {
    EXPECT_THAT(sentences_of(terms(R"("flat": "1.505")")),
                ElementsAre("supplier.json:1:68: /delivery/flat: '1.505' has more decimals than "
                            "EUR has; use at most 2"));
}

TEST(Supplier, GoodsMustGetOutSomehow) {
    EXPECT_THAT(sentences_of(terms("")),
                ElementsAre("supplier.json:1:55: /delivery: goods can be neither delivered nor "
                            "collected; add flat, by_mass or collect"));
    EXPECT_THAT(
        sentences_of(terms(R"("flat": "1", "by_mass": [{"cost": "2"}])")),
        ElementsAre(
            "supplier.json:1:55: /delivery: both flat and by_mass are given; keep one of them"));
    EXPECT_THAT(sentences_of(terms(R"("collect": {"cost": "0"})")), ElementsAre());
}

TEST(Supplier, BandsOfMassRise) {
    const std::string right = "order the bands by up_to; only the last may leave it out";
    EXPECT_THAT(
        sentences_of(terms(
            R"("by_mass": [{"up_to": "50 kg", "cost": "2"}, {"up_to": "50 kg", "cost": "3"}])")),
        ElementsAre("supplier.json:1:113: /delivery/by_mass/1: the band does not rise above the "
                    "one before it; " +
                    right));
    EXPECT_EQ(sentences_of(terms(R"("by_mass": [{"cost": "2"}, {"up_to": "50 kg", "cost": "3"}])"))
                  .size(),
              1u);
}

TEST(Supplier, WorkingDaysAreDaysOfTheCalendar) {
    const auto faults = [](const std::string& calendar) {
        return sentences_of(terms(R"("flat": "1")", ", \"calendar\": {" + calendar + "}"));
    };
    EXPECT_THAT(faults(R"("weekdays": ["monday", "teusday"])"),
                ElementsAre("supplier.json:1:118: /calendar/weekdays/1: unknown weekday 'teusday'; "
                            "did you mean 'tuesday'?"));
    EXPECT_THAT(faults(R"("holidays": ["2027-02-29"])"),
                ElementsAre("supplier.json:1:108: /calendar/holidays/0: there is no date "
                            "2027-02-29; write a date of the calendar from 1900-01-01 on"));
    EXPECT_THAT(faults(R"("holidays": ["2027-12-24/2027-01-02"])"),
                ElementsAre("supplier.json:1:108: /calendar/holidays/0: '2027-12-24/2027-01-02' "
                            "ends before it begins; write the first day first"));
    EXPECT_EQ(faults(R"("weekdays": [])").size(), 1u);
}

TEST(SupplierSchema, ThePublishedOneIsThatOfTheReader) {
    EXPECT_TRUE(test::is_published(AUMBRY_SCHEMAS, "supplier.schema.json", supplier_schema()));
}

// An outside validator judges the same documents (schema_test.py).
TEST(SupplierSchema, TheReaderTakesWhatTheSchemaTakesAndRefusesWhatItRefuses) {
    int good = 0, bad = 0;
    for (const auto& entry :
         std::filesystem::directory_iterator(AUMBRY_FIXTURES "/suppliers/good")) {
        EXPECT_THAT(sentences_of(text_of(entry.path())), ElementsAre()) << entry.path();
        ++good;
    }
    for (const auto& entry :
         std::filesystem::directory_iterator(AUMBRY_FIXTURES "/suppliers/bad")) {
        EXPECT_EQ(sentences_of(text_of(entry.path())).size(), 1u) << entry.path();
        ++bad;
    }
    EXPECT_EQ(good, 2);
    EXPECT_EQ(bad, 8);
}

} // namespace
} // namespace aumbry
