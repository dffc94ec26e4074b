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

} // namespace
} // namespace aumbry
