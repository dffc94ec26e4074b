#include "sample.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry {
namespace {

using test::sample_header;
using testing::ElementsAre;

class CatalogTest : public testing::Test {
  protected:
    void SetUp() override { folder.write("suppliers/north/supplier.json", test::sample_terms); }
    [[nodiscard]] Catalog load() const {
        return load_catalog({folder.path()}, test::sample_classes());
    }
    [[nodiscard]] Catalog load_list(const std::string& rows) const {
        folder.write("suppliers/north/list.csv", sample_header + rows);
        return load();
    }
    [[nodiscard]] std::vector<std::string> sentences(const Catalog& catalog) const {
        std::vector<std::string> all;
        for (const csv::RowFault& fault : catalog.faults())
            all.push_back(folder.without_path(fault.fault.sentence()));
        return all;
    }

    test::TemporaryFolder folder;
};

std::vector<std::string> skus(const std::vector<const PriceRow*>& rows) {
    std::vector<std::string> all;
    for (const PriceRow* row : rows) all.push_back(row->offer_id());
    return all;
}

TEST_F(CatalogTest, AGoodRowBecomesAnOfferInContractUnits) {
    const Catalog catalog =
        load_list("B18,sheet,Birch plywood,74.50,each,1,,12,3,2027-01-01,2027-12-31,6291041500213,"
                  "birch,18 mm,BB/BB,2440 mm,4 ft,,,\r\n");
    ASSERT_THAT(sentences(catalog), ElementsAre());
    ASSERT_EQ(catalog.rows().size(), 1u);
    const contract::Offer offer = catalog.offer(catalog.rows().front());
    EXPECT_EQ(offer.id, "north/B18");
    EXPECT_EQ(offer.price, "74.5");
    EXPECT_EQ(offer.limit, 12);
    EXPECT_EQ(
        offer.attributes,
        Json::parse(
            R"({"species":"birch","thickness":18.0,"grade":"BB/BB","length":2440.0,"width":1219.2})"));
    EXPECT_EQ(folder.without_path(catalog.source(catalog.rows().front())),
              "suppliers/north/list.csv, row 2");
}

TEST_F(CatalogTest, MatchFindsEqualTextsAndNumbersBySupplierAndSku) {
    const Catalog catalog = load_list("C,sheet,,70,,,,,,,,,birch,18 mm,BB/BB,,,,,\r\n"
                                      "A,sheet,,60,,,,,,,,,birch,1.8 cm,BB/CP,,,,,\r\n"
                                      "B,sheet,,50,,,,,,,,,poplar,18 mm,BB/BB,,,,,\r\n"
                                      "K,kit,,50,,,,,,,,,,,,,,L2,bed; desk,yes\r\n");
    ASSERT_THAT(sentences(catalog), ElementsAre());
    EXPECT_THAT(skus(catalog.match("sheet", {{"thickness", {18}}})),
                ElementsAre("north/A", "north/B", "north/C"));
    EXPECT_THAT(skus(catalog.match("sheet", {{"thickness", {18.0000001}}, {"species", {"birch"}}})),
                ElementsAre("north/A", "north/C"));
    EXPECT_THAT(skus(catalog.match(
                    "sheet", {{"grade", {"BB/BB", "BB/CP"}}, {"species", {"poplar", "birch"}}})),
                ElementsAre("north/A", "north/B", "north/C"));
    EXPECT_THAT(skus(catalog.match("kit", {{"suits", {"desk"}}})), ElementsAre("north/K"));
    EXPECT_THAT(skus(catalog.match("kit", {{"soft_close", {true}}})), ElementsAre("north/K"));
    EXPECT_THAT(skus(catalog.match("sheet", {{"species", {"oak"}}})), ElementsAre());
    EXPECT_THAT(skus(catalog.match("sheet", {{"colour", {"red"}}})), ElementsAre());
    EXPECT_THAT(skus(catalog.match("lamp", {})), ElementsAre());
}

/// One sheet row with a value in one column.
std::string sheet_row(const std::string& column, const std::string& value,
                      const std::string& sku = "S") {
    const std::vector<std::pair<std::string, std::string>> cells = {
        {"sku", sku},       {"class", "sheet"},     {"description", ""},  {"price", "10"},
        {"price_unit", ""}, {"pack", ""},           {"min_quantity", ""}, {"stock", ""},
        {"lead_days", ""},  {"valid_from", ""},     {"valid_to", ""},     {"gtin", ""},
        {"species", "oak"}, {"thickness", "18 mm"}, {"grade", ""},        {"length", ""},
        {"width", ""},      {"model", ""},          {"suits", ""},        {"soft_close", ""}};
    std::vector<std::string> row;
    for (const auto& [name, usual] : cells) row.push_back(name == column ? value : usual);
    return csv::write_record(row);
}

struct BadCell {
    const char* column;
    const char* value;
    const char* sentence;
};

class BadCells : public CatalogTest, public testing::WithParamInterface<BadCell> {};

TEST_P(BadCells, AreOneSentenceAndTheRestWorks) {
    const auto& [column, value, sentence] = GetParam();
    const Catalog catalog = load_list(sheet_row("sku", "before") + sheet_row(column, value) +
                                      sheet_row("sku", "behind"));
    EXPECT_THAT(sentences(catalog), ElementsAre("suppliers/north/list.csv:3: row 3, column " +
                                                std::string(column) + ": " + sentence));
    EXPECT_EQ(catalog.rows().size(), 2u);
    ASSERT_EQ(catalog.faults().size(), 1u);
    EXPECT_EQ(catalog.faults().front().row, 3);
    EXPECT_EQ(catalog.faults().front().column, column);
    EXPECT_EQ(catalog.faults().front().value, value);
}

INSTANTIATE_TEST_SUITE_P(
    Each, BadCells,
    testing::Values(
        BadCell{"sku", "", "the sku is missing; write what the supplier calls it"},
        BadCell{"class", "", "the class is missing; write what kind of thing it is, such as sheet"},
        BadCell{"price", "", "the price is missing; write it, such as 12.50"},
        BadCell{"price", "on request",
                "'on request' is no price; write the number alone, such as 12.50; it is taken in "
                "EUR, the supplier's currency"},
        BadCell{"price", "12.50 USD",
                "'12.50 USD' is more than a number; write the number alone, such as 12.50; it is "
                "taken in EUR, the supplier's currency"},
        BadCell{"price", "$12",
                "'$12' is more than a number; write the number alone, such as 12.50; it is taken "
                "in EUR, the supplier's currency"},
        BadCell{"price", "12,50",
                "'12,50' has a comma where the supplier's lists have a decimal point; write 12.50 "
                "and 1234.50, or set decimal_comma in supplier.json"},
        BadCell{"price", "1.234.50", "'1.234.50' is no price; write a number such as 12.50"},
        BadCell{"price", ".50", "'.50' is no price; write a number such as 12.50"},
        BadCell{"price", "-3.00", "the price '-3.00' is below zero; write what one costs"},
        BadCell{"price", "99999999999999999999",
                "'99999999999999999999' is beyond all amounts; write a number such as 12.50"},
        BadCell{"price_unit", "stick",
                "'stick' is no unit of a price; write each, pack, m, m2, m3, ft, bdft, L, kg or h"},
        BadCell{"price_unit", "N",
                "'N' is no unit of a price; write each, pack, m, m2, m3, ft, bdft, L, kg or h"},
        BadCell{"pack", "0", "'0' is too small; write how many are in one pack"},
        BadCell{"pack", "a box", "'a box' is no number; write how many are in one pack"},
        BadCell{"min_quantity", "0", "'0' is too small; write at least 1"},
        BadCell{"min_quantity", "2.5", "'2.5' is not a whole number; write digits alone"},
        BadCell{"stock", "-1", "'-1' is too small; write at least 0"},
        BadCell{"stock", "99999999999999999999",
                "'99999999999999999999' is too large; write at most 1000000000000"},
        BadCell{"lead_days", "4000", "'4000' is too large; write at most 3650"},
        BadCell{"valid_from", "2027-02-30",
                "there is no date 2027-02-30; write a date of the calendar from 1900-01-01 on"},
        BadCell{"valid_to", "1.2.2027",
                "'1.2.2027' is not a date; write year-month-day, such as 2027-03-01"},
        BadCell{"thickness", "18",
                "'18' has no unit where a length is expected; write the unit, as "
                "in '280 mm' or '11 in'"},
        BadCell{"grade", "BB/B", "unknown value 'BB/B'; did you mean 'BB/BB'?"},
        BadCell{"model", "L2", "a sheet has no model, found 'L2'; leave it empty"},
        BadCell{"species", "", "a sheet must have its species; fill it in"},
        // GS1's own example is 6291041500213 (General Specifications, check digit calculation): one
        // digit off.
        BadCell{"gtin", "6291041500214",
                "'6291041500214' is no GTIN: its length or check digit is wrong; write all 8, 12, "
                "13 or 14 digits, or leave it empty"}),
    [](const auto& one) {
        return std::string(one.param.column) + "_" + std::to_string(one.index);
    });

TEST_F(CatalogTest, PublishedGtinsAreTaken) {
    // GS1 General Specifications; GS1 Sweden; EN 16931 example invoice 2: digits before the check
    // digit, check digit.
    const Catalog catalog = load_list(
        sheet_row("gtin", "6291041500213", "A") + sheet_row("gtin", "7300011000017", "B") +
        sheet_row("gtin", "1234567890128", "C") + sheet_row("gtin", "1234567890135", "D"));
    EXPECT_THAT(sentences(catalog), ElementsAre());
    EXPECT_EQ(catalog.rows().size(), 4u);
}

TEST_F(CatalogTest, EveryRowThatIsNoCsvIsOneSentenceAndTheRestWorks) {
    using namespace std::string_literals;
    const auto row = [](const std::string& name, const std::string& description) {
        return name + ",sheet," + description + ",10,,,,,,,,,oak,18 mm,,,,,,\r\n";
    };
    const Catalog catalog = load_list(
        row("good-1",
            "\"quoted, with \"\"quotes\"\" and\r\na line break\"") + // rows and lines part
        row("stray", "3/4\" oak") +
        row("behind", "\"oak\"board") + row("space", "\"oak\" ") + "short,sheet,oak,10\r\n" +
        row("long", "oak,board") + row("nul", "o\0ak"s) +
        row("million", std::string(1'000'000, 'x')) +
        row("million-quoted", '"' + std::string(1'000'000, 'x') + '"') + row("good-2", "oak") +
        row("open", "\"oak") + row("good-3", "oak"));
    const std::string list = "suppliers/north/list.csv:";
    EXPECT_THAT(
        sentences(catalog),
        ElementsAre(
            list + "4: row 3, column description: a quote inside a field that does not begin with "
                   "one; put the field in quotes and double the quotes inside it",
            list + "5: row 4, column description: text after the closing quote; double the quotes "
                   "inside the field",
            list + "6: row 5, column description: a space after the closing quote; end the field "
                   "at the quote",
            list + "7: row 6: 4 fields where the header has 20; write every field, empty ones too",
            list + "8: row 7: 21 fields where the header has 20; put fields that hold the "
                   "separator in quotes",
            list + "9: row 8, column description: a NUL character; remove it",
            list + "10: row 9, column description: a field of 1000000 bytes; at most 65536 are "
                   "read",
            list + "11: row 10, column description: a quoted field of more than 65536 bytes; close "
                   "its quote, or shorten it",
            list + "13: row 12, column description: the quote that opens this field is never "
                   "closed; close it, and double the quotes inside the field"));
    ASSERT_EQ(catalog.rows().size(), 3u);
    EXPECT_EQ(catalog.find("north/good-1")->description,
              "quoted, with \"quotes\" and\r\na line break");
    EXPECT_EQ(catalog.find("north/good-3")->row, 13);
    const Json report = parse_json(check_report(catalog, true));
    EXPECT_EQ(report.at("faults").size(), 9u);
    for (const Json& fault : report.at("faults"))
        EXPECT_LE(fault.at("value").get<std::string>().size(), 83u); // a beginning, not the million
}

TEST_F(CatalogTest, AllFaultsOfARowAreToldAtOnce) {
    const Catalog catalog = load_list("S,sheet,,free,,0,,,,,,,oak,eighteen,,,,,,\r\n");
    EXPECT_EQ(sentences(catalog).size(), 3u);
    EXPECT_TRUE(catalog.rows().empty());
}

TEST_F(CatalogTest, APriceThatEndsBeforeItBeginsIsAFault) {
    const Catalog catalog =
        load_list("S,sheet,,10,,,,,,2027-02-01,2027-01-31,,oak,18 mm,,,,,,\r\n");
    EXPECT_THAT(sentences(catalog),
                ElementsAre("suppliers/north/list.csv:2: row 2, column valid_to: the price ends on "
                            "2027-01-31, before it begins on "
                            "2027-02-01; write the last day on which it holds"));
}

TEST_F(CatalogTest, AnUnknownColumnIsOneFaultWithTheNearestName) {
    folder.write("suppliers/north/list.csv",
                 "sku,class,price,spicies,thickness\nA,sheet,10,oak,18 mm\nB,sheet,10,oak,18 mm\n");
    const std::vector<std::string> all = sentences(load());
    ASSERT_EQ(all.size(), 3u); // and both rows lack their species
    EXPECT_EQ(all.front(), "suppliers/north/list.csv:1: row 1, column spicies: unknown column "
                           "'spicies'; did you mean 'species'?");
}

TEST_F(CatalogTest, AMissingColumnLeavesTheListOut) {
    folder.write("suppliers/north/list.csv",
                 "sku,class,prize,species,thickness\nA,sheet,10,oak,18 mm\n");
    EXPECT_THAT(sentences(load()),
                ElementsAre("suppliers/north/list.csv:1: row 1, column price: the list has no "
                            "column 'price'; is 'prize' meant?"));
}

TEST_F(CatalogTest, AColumnTwiceLeavesTheListOut) {
    folder.write("suppliers/north/list.csv", "sku,class,price,species,price\nA,sheet,10,oak,12\n");
    EXPECT_THAT(sentences(load()),
                ElementsAre("suppliers/north/list.csv:1: row 1, column price: the column 'price' "
                            "is there twice; keep one of them"));
}

TEST_F(CatalogTest, RowsOfAClassWithoutAModuleAreKeptAsideAndSaidOnce) {
    folder.write("suppliers/north/list.csv",
                 "sku,class,price,species,thickness,sheen\nA,sheet,10,oak,18 "
                 "mm,\nV1,varnish,10,,,satin\nV2,varnish,10,,,matt\n");
    const Catalog catalog = load();
    EXPECT_THAT(sentences(catalog), ElementsAre());
    EXPECT_EQ(catalog.rows().size(), 1u);
    EXPECT_EQ(catalog.rows_aside().size(), 2u);
    ASSERT_EQ(catalog.notes().size(), 1u);
    EXPECT_EQ(folder.without_path(catalog.notes().front()),
              "no module prices class 'varnish': 2 rows kept aside, the first in "
              "suppliers/north/list.csv");
}

TEST_F(CatalogTest, FurtherRowsOfASkuAreQuantityBreaks) {
    const Catalog catalog = load_list("S,sheet,Oak,10,each,,1,40,2,,,,oak,18 mm,,2440 mm,,,,\r\n"
                                      "S,sheet,,9.50,,,10,,,,,,,,,,,,,\r\n"
                                      "S,sheet,,9,,,25,,5,,,,oak,,,,,,,\r\n");
    ASSERT_THAT(sentences(catalog), ElementsAre());
    const DatedOffers offers = catalog.offers_on(make_date(2027, 2, 1));
    ASSERT_EQ(offers.valid.size(), 1u);
    const DatedOffer& offer = offers.valid.front();
    EXPECT_EQ(offer.offer.price, "10");
    ASSERT_EQ(offer.breaks.size(), 3u);
    EXPECT_EQ(offer.breaks[1].from, 10);
    EXPECT_EQ(offer.breaks[1].price, "9.5");
    EXPECT_EQ(offer.breaks[2].from, 25);
    EXPECT_EQ(offer.rows[1]->stock, 40);
    EXPECT_EQ(offer.rows[1]->lead_days, 2);
    EXPECT_EQ(offer.rows[2]->lead_days, 5);
    EXPECT_EQ(catalog.attributes(*offer.rows[2]).at("length"), 2440);
}

TEST_F(CatalogTest, ASkuTwiceForOneQuantityIsAFaultOfTheLaterRow) {
    const Catalog catalog =
        load_list(sheet_row("price", "12", "S") + sheet_row("price", "10", "A") +
                  sheet_row("price", "11", "S"));
    EXPECT_THAT(sentences(catalog),
                ElementsAre("suppliers/north/list.csv:4: row 4, column sku: the sku 'S' with "
                            "min_quantity 1 is already in row 2; give it "
                            "another min_quantity, or dates that do not overlap"));
    ASSERT_EQ(catalog.rows().size(), 2u);
    EXPECT_EQ(catalog.rows()[1].price, Decimal(12));
}

TEST_F(CatalogTest, ASkuTwiceInTwoListsOfASupplierNamesTheOtherList) {
    folder.write("suppliers/north/a.csv",
                 "sku,class,price,species,thickness\nS,sheet,10,oak,18 mm\n");
    folder.write("suppliers/north/b.csv",
                 "sku,class,price,species,thickness\nS,sheet,10,oak,18 mm\n");
    EXPECT_THAT(
        sentences(load()),
        ElementsAre(
            "suppliers/north/b.csv:2: row 2, column sku: the sku 'S' with min_quantity 1 is "
            "already in row 2 of "
            "suppliers/north/a.csv; give it another min_quantity, or dates that do not overlap"));
}

TEST_F(CatalogTest, ASkuThatIsTwoThingsIsAFault) {
    const Catalog catalog =
        load_list(sheet_row("species", "oak", "S") + "S,sheet,,9,,,10,,,,,,birch,,,,,,,\r\n");
    EXPECT_THAT(sentences(catalog),
                ElementsAre("suppliers/north/list.csv:3: row 3, column species: the sku 'S' is "
                            "something else in row 2; say the same, "
                            "leave it empty, or use another sku"));
    EXPECT_EQ(catalog.rows().size(), 1u);
}

TEST_F(CatalogTest, SuccessivePricesHoldInTheirTime) {
    const Catalog catalog = load_list("S,sheet,,10,,,,,,2027-01-01,2027-01-31,,oak,18 mm,,,,,,\r\n"
                                      "S,sheet,,11,,,,,,2027-02-01,2027-03-31,,,,,,,,,\r\n"
                                      "T,sheet,,20,,,,,,,2026-12-31,,oak,18 mm,,,,,,\r\n");
    ASSERT_THAT(sentences(catalog), ElementsAre());
    const auto price_on = [&](int month, int day) {
        const DatedOffers offers =
            catalog.offers_on(make_date(2027, month, day), catalog.match("sheet", {}));
        return offers.valid.empty() ? std::string("none") : offers.valid.front().offer.price;
    };
    EXPECT_EQ(price_on(1, 31), "10");
    EXPECT_EQ(price_on(2, 1), "11");
    EXPECT_EQ(price_on(3, 31), "11");
    EXPECT_EQ(price_on(4, 1), "none");
    const DatedOffers offers = catalog.offers_on(make_date(2027, 1, 15));
    ASSERT_EQ(offers.outdated.size(), 1u);
    EXPECT_EQ(offers.outdated.front()->sku, "T");
    EXPECT_EQ(catalog.offers_on(make_date(2027, 6, 1)).outdated.front()->price, Decimal(11));
}

TEST_F(CatalogTest, ADecimalCommaIsReadWhereItIsDeclared) {
    folder.write(
        "suppliers/south/supplier.json",
        R"({"name": "Sued", "currency": "EUR", "tax_percent": "19", "delivery": {"flat": "0"}, "decimal_comma": true})");
    folder.write("suppliers/south/list.csv",
                 "sku;class;price;species;thickness;pack\nA;sheet;74,50;oak;18,5 "
                 "mm;2,5\nB;sheet;74.50;oak;18 mm;\nC;sheet;1000;oak;18 mm;\n");
    const Catalog catalog = load();
    EXPECT_THAT(
        sentences(catalog),
        ElementsAre("suppliers/south/list.csv:3: row 3, column price: '74.50' has a point where "
                    "the supplier's lists have a decimal "
                    "comma; write 12,50 and 1234,50, or take decimal_comma out of supplier.json"));
    ASSERT_EQ(catalog.rows().size(), 2u);
    EXPECT_EQ(catalog.rows()[0].price, Decimal::parse("74.5"));
    EXPECT_EQ(catalog.rows()[0].pack, 2.5);
    EXPECT_EQ(catalog.attributes(catalog.rows()[0]).at("thickness"), 18.5);
}

TEST_F(CatalogTest, BareLengthsAreReadWhereAUnitIsDeclared) {
    folder.write(
        "suppliers/south/supplier.json",
        R"({"name": "South", "currency": "USD", "tax_percent": "0", "delivery": {"flat": "0"}, "length_unit": "in"})");
    folder.write(
        "suppliers/south/list.csv",
        "sku,class,price,species,thickness\nA,sheet,74.50,oak,3/4\nB,sheet,74.50,oak,18 mm\n");
    const Catalog catalog = load();
    ASSERT_THAT(sentences(catalog), ElementsAre());
    EXPECT_EQ(catalog.attributes(catalog.rows()[0]).at("thickness"), 19.05);
    EXPECT_EQ(catalog.attributes(catalog.rows()[1]).at("thickness"), 18);
}

TEST_F(CatalogTest, Latin1IsSaid) {
    folder.write("suppliers/north/list.csv",
                 "sku,class,price,species,thickness,description\nA,sheet,10,B\xFC"
                 "che,18 mm,\xBD Tafel\n");
    const Catalog catalog = load();
    EXPECT_EQ(catalog.rows().at(0).description, "½ Tafel");
    EXPECT_THAT(skus(catalog.match("sheet", {{"species", {"Büche"}}})), ElementsAre("north/A"));
    ASSERT_EQ(catalog.notes().size(), 1u);
    EXPECT_EQ(folder.without_path(catalog.notes().front()),
              "suppliers/north/list.csv: not UTF-8, read as Latin-1; check that letters with "
              "accents look right");
}

TEST_F(CatalogTest, TextsOutliveTheCatalogThatACopyIsOf) {
    std::optional<Catalog> first = load_list(
        sheet_row("description", "\"quoted\", long enough to be nowhere but on the heap"));
    const Catalog copy = *first;
    first.reset();
    EXPECT_EQ(copy.rows().at(0).description,
              "\"quoted\", long enough to be nowhere but on the heap");
    EXPECT_EQ(copy.rows().at(0).supplier, "north");
}

TEST_F(CatalogTest, OffersAreFoundByTheirId) {
    folder.write("suppliers/alpha/supplier.json", test::sample_terms);
    folder.write("suppliers/alpha/list.csv", sample_header + sheet_row("sku", "a/b"));
    const Catalog catalog = load_list(sheet_row("sku", "a/b") + sheet_row("sku", "z"));
    ASSERT_NE(catalog.find("north/a/b"), nullptr);
    EXPECT_EQ(catalog.find("north/a/b")->supplier, "north");
    EXPECT_EQ(catalog.find("alpha/a/b")->supplier, "alpha");
    EXPECT_EQ(catalog.find("alpha/z"), nullptr);
    EXPECT_EQ(catalog.find("z"), nullptr);
}

TEST_F(CatalogTest, AFaultInTermsLeavesThatSupplierOutAndTheRestWorks) {
    folder.write("suppliers/broken/supplier.json",
                 "{\n  \"name\": \"X\", \"currency\": \"EUR\", \"tax_percent\": \"19\",\n  "
                 "\"delivery\": { \"flatt\": \"3\" } }");
    folder.write("suppliers/broken/list.csv", sample_header + sheet_row("sku", "A"));
    const Catalog catalog = load_list(sheet_row("sku", "A"));
    EXPECT_THAT(sentences(catalog),
                ElementsAre("suppliers/broken/supplier.json:3:17: /delivery/flatt: unknown key "
                            "'flatt'; did you mean 'flat'?"));
    ASSERT_EQ(catalog.notes().size(), 1u);
    EXPECT_EQ(folder.without_path(catalog.notes().front()),
              "suppliers/broken: the price lists are not read until supplier.json is mended");
    EXPECT_EQ(catalog.rows().size(), 1u);
}

TEST_F(CatalogTest, AFolderWithoutTermsIsAFault) {
    folder.write("suppliers/bare/list.csv", sample_header);
    EXPECT_THAT(
        sentences(load()),
        ElementsAre("suppliers/bare/supplier.json: the supplier 'bare' has no supplier.json; write "
                    "one with its name, currency, tax_percent and delivery"));
}

TEST_F(CatalogTest, FoldersAreReadTogetherAndNamesAreTheirOwn) {
    const test::TemporaryFolder other;
    other.write("suppliers/north/supplier.json", test::sample_terms);
    other.write("suppliers/west/supplier.json", test::sample_terms);
    other.write("suppliers/west/list.csv", sample_header + sheet_row("sku", "W"));
    other.write(
        "reference/woods.json",
        R"({"table": "woods", "note": "source", "rows": [{"species": "oak", "density": 690}]})");
    folder.write("reference/woods.json",
                 "{\"note\": \"source\",\n \"table\": \"woods\", \"rows\": []}");
    folder.write("suppliers/north/list.csv", sample_header + sheet_row("sku", "N"));
    const Catalog catalog = load_catalog({other.path(), folder.path()}, test::sample_classes());
    std::vector<std::string> all;
    for (const std::string& one : sentences(catalog)) all.push_back(other.without_path(one));
    EXPECT_THAT(all, ElementsAre("suppliers/north: the supplier 'north' is already in "
                                 "suppliers/north; rename one of the folders",
                                 "reference/woods.json:2:2: /table: the table 'woods' is already "
                                 "in reference/woods.json; rename one of them"));
    EXPECT_EQ(catalog.suppliers().size(), 2u);
    ASSERT_NE(catalog.table("woods"), nullptr);
    EXPECT_EQ(catalog.table("woods")->at(0).at("density"), 690);
    EXPECT_EQ(catalog.table("metals"), nullptr);
}

TEST_F(CatalogTest, AMissingFolderIsOneSentence) {
    const Catalog catalog =
        load_catalog({folder.path() / "nowhere", folder.path() / "suppliers"}, {});
    EXPECT_THAT(sentences(catalog),
                ElementsAre("nowhere: there is no such catalog folder; name a folder that holds "
                            "suppliers or reference",
                            "suppliers: the folder holds neither suppliers nor reference nor "
                            "pieces; put suppliers into suppliers/<id>/, tables into reference/ "
                            "and piece files into pieces/"));
}

TEST_F(CatalogTest, ATableOfAnotherShapeIsAFault) {
    folder.write("reference/woods.json", R"({"rows": []})");
    EXPECT_THAT(sentences(load()),
                ElementsAre("reference/woods.json:1:1: this is no reference table; write an object "
                            "with \"table\", a name, and \"rows\", a list"));
}

TEST_F(CatalogTest, TheReportCountsAndNamesEveryFault) {
    const Catalog catalog =
        load_list(sheet_row("sku", "A") + sheet_row("price", "12,50", "B") +
                  "C,sheet,,9,,,10,,,,,,oak,18 mm,,,,,,\r\nC,sheet,,10,,,,,,,,,,,,,,,,\r\n");
    EXPECT_EQ(folder.without_path(check_report(catalog, false)),
              "1 supplier, 3 price rows, 0 reference tables, 1 fault\n"
              "  north  EUR  2 skus in 3 rows  Nordholz (invented)\n"
              "\n"
              "Faults: these rows and files are left out, the rest is used\n"
              "  suppliers/north/list.csv:3: row 3, column price: '12,50' has a comma where the "
              "supplier's lists have a decimal point; write 12.50 and 1234.50, or "
              "set decimal_comma in supplier.json\n");
    const Json report = parse_json(check_report(catalog, true));
    const Json& fault = report.at("faults").at(0);
    EXPECT_EQ(fault.at("row"), 3);
    EXPECT_EQ(fault.at("line"), 3);
    EXPECT_EQ(fault.at("column"), "price");
    EXPECT_EQ(fault.at("value"), "12,50");
    EXPECT_EQ(fault.at("code"), "wrong-decimal-sign");
    EXPECT_EQ(report.at("suppliers").at(0).at("skus"), 2);
}

TEST_F(CatalogTest, AReportOfALongForeignNameIsUtf8) {
    folder.write("suppliers/north/list.csv",
                 "sku,class,price,species,thickness,xx" +
                     std::string("ÅÅÅÅÅÅÅÅÅÅÅÅÅÅÅÅÅÅÅÅÅÅÅÅÅÅÅÅÅÅÅÅÅÅÅÅÅÅÅÅÅÅÅÅÅÅÅ") +
                     "\nA,sheet,10,oak,18 mm,\n");
    EXPECT_EQ(parse_json(check_report(load(), true)).at("faults").size(), 1u);
}

TEST_F(CatalogTest, TheOrderOfRowsInAListMakesNoDifference) {
    std::vector<std::string> rows;
    for (int i = 0; i < 200; ++i)
        rows.push_back(
            sheet_row("price", std::to_string(i + 1), "PLY-18-" + std::to_string(i * 37 % 200)));
    std::string straight, backward;
    for (const std::string& row : rows) {
        straight += row;
        backward.insert(0, row);
    }
    const auto listed = [](const Catalog& catalog) {
        std::vector<std::string> all;
        for (const PriceRow& row : catalog.rows())
            all.push_back(row.offer_id() + ' ' + row.price.str());
        return all;
    };
    const std::vector<std::string> first = listed(load_list(straight));
    ASSERT_EQ(first.size(), 200u);
    EXPECT_TRUE(std::is_sorted(first.begin(), first.end()));
    EXPECT_EQ(listed(load_list(backward)), first);
}

TEST_F(CatalogTest, MatchAgreesWithLookingAtEveryRow) {
    const std::vector<std::string> species = {"oak", "ash", "birch"};
    const std::vector<std::string> grades = {"BB/BB", "BB/CP", "S/BB", ""};
    std::string rows;
    for (int i = 0; i < 600; ++i) {
        const auto n = static_cast<std::size_t>(i * 7919 % 1009);
        rows += "P" + std::to_string(i) + ",sheet,,10,,,,,,,,," + species[n % 3] + ',' +
                std::to_string(9 + n % 5 * 3) + " mm," + grades[n / 3 % 4] + ",,,,,\r\n";
    }
    const Catalog catalog = load_list(rows);
    ASSERT_EQ(catalog.rows().size(), 600u);
    for (const std::vector<AttributeMatch>& wanted : std::vector<std::vector<AttributeMatch>>{
             {{"species", {"oak"}}},
             {{"species", {"oak", "ash"}}, {"grade", {"BB/CP"}}},
             {{"thickness", {9, 12, 18}},
              {"grade", {"BB/BB", "S/BB"}},
              {"species", {"birch", "oak"}}},
             {{"thickness", {21, 9, 15, 18, 12}}, {"grade", {"BB/BB", "S/BB", "BB/CP"}}}}) {
        std::vector<const PriceRow*> expected;
        for (const PriceRow& row : catalog.rows()) {
            const Json has = catalog.attributes(row);
            bool fits = true;
            for (const auto& [name, any_of] : wanted) {
                fits = fits && has.contains(name) &&
                       std::find(any_of.begin(), any_of.end(), has.at(name)) != any_of.end();
            }
            if (fits) expected.push_back(&row);
        }
        ASSERT_FALSE(expected.empty());
        EXPECT_EQ(catalog.match("sheet", wanted), expected);
    }
}

} // namespace
} // namespace aumbry
