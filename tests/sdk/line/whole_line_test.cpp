// The whole line from project and price lists to the estimate, on jobs that can be worked out by
// hand.
#include "line/small_job.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <clocale>
#include <future>
#include <locale>

namespace aumbry {
namespace {

using namespace test;
using ::testing::HasSubstr;
using ::testing::SizeIs;

std::string rate(const std::string& of_a_dollar) {
    return R"("suppliers": {"rates": [{"currency": "USD", "rate": ")" + of_a_dollar +
           R"(", "on": "2027-01-15"}]})";
}

TEST(ForeignSupplier, IsPaidAtTheStatedRate) {
    PriceLists lists;
    lists.dealer("west", "USD", "10.00", "HINGE,item,Hinge,8.00,each,0,hinge\r\n");
    // 5 x 8.00 = 40.00 dollars are 36.00 euros, delivery 9.00.
    const Estimate made =
        estimate(job("Box", item("hinges", "hinge", 5), rate("0.90")), host(), lists.catalog());
    EXPECT_EQ(made.totals.goods.str(), "36.00");
    EXPECT_EQ(made.totals.delivery.str(), "9.00");
    EXPECT_EQ(made.totals.total.str(), "45.00");
    ASSERT_THAT(made.purchases, SizeIs(1));
    EXPECT_EQ(made.purchases[0].listed_price, Decimal(8));
    EXPECT_EQ(made.purchases[0].listed_currency, "USD");
    EXPECT_EQ(made.purchases[0].unit_price, Decimal::parse("7.2"));
    EXPECT_EQ(made.purchases[0].amount.currency().code, "EUR");
    EXPECT_EQ(made.orders.at(0).total.str(), "45.00");
}

TEST(ForeignSupplier, IsRoundedOnceAnAmountAndNotOnceACount) {
    PriceLists lists;
    lists.dealer("west", "USD", "0", "HINGE,item,Hinge,7.77,each,0,hinge\r\n");
    // 300 x 7.77 x 0.9137 = 2129.8347; one hinge of 7.10 each would make 2130.00 of them.
    const Estimate made =
        estimate(job("Box", item("hinges", "hinge", 300), rate("0.9137")), host(), lists.catalog());
    EXPECT_EQ(made.totals.goods.str(), "2129.83");
}

TEST(ForeignSupplier, IsChosenByWhatItCostsInTheProjectsCurrency) {
    PriceLists lists;
    lists.dealer("north", "EUR", "30.00", "HINGE,item,Hinge,10.00,each,0,hinge\r\n");
    lists.dealer("west", "USD", "10.00", "HINGE,item,Hinge,8.00,each,0,hinge\r\n");
    // North: 50 + 30 = 80. West: (40 + 10) dollars: 79.50 at 1.59, 80.50 at 1.61.
    const Estimate cheap =
        estimate(job("Box", item("hinges", "hinge", 5), rate("1.59")), host(), lists.catalog());
    EXPECT_EQ(cheap.purchases.at(0).supplier, "west");
    EXPECT_EQ(cheap.totals.total.str(), "79.50");
    const Estimate dear =
        estimate(job("Box", item("hinges", "hinge", 5), rate("1.61")), host(), lists.catalog());
    EXPECT_EQ(dear.purchases.at(0).supplier, "north");
    EXPECT_EQ(dear.totals.total.str(), "80.00");
}

TEST(ForeignSupplier, WithoutARateIsLeftOutAndSaid) {
    PriceLists lists;
    lists.dealer("north", "EUR", "30.00", "HINGE,item,Hinge,10.00,each,0,hinge\r\n");
    lists.dealer("west", "USD", "0", "HINGE,item,Hinge,0.01,each,0,hinge\r\n");
    const Estimate made = estimate(job("Box", item("hinges", "hinge", 5)), host(), lists.catalog());
    EXPECT_EQ(made.totals.total.str(), "80.00");
    std::string said;
    for (const EstimateFinding& finding : made.findings) said += finding.text + '\n';
    EXPECT_THAT(said, HasSubstr("USD"));
}

/// Writes numbers as 1.234,5.
struct CommaNumbers : std::numpunct<char> {
    [[nodiscard]] char do_decimal_point() const override { return ','; }
    [[nodiscard]] char do_thousands_sep() const override { return '.'; }
    [[nodiscard]] std::string do_grouping() const override { return "\3"; }
};

TEST(SameInput, GivesTheSameBytesInAnyThreadLocaleAndFolder) {
    PriceLists lists;
    lists.dealer("north", "EUR", "30.00",
                 "HINGE,item,Hinge,1234.56,each,3,hinge\r\nOIL,item,Oil,12.50,each,0,oil\r\n");
    lists.dealer("south", "EUR", "25.00",
                 "HINGE,item,Hinge,1200.00,each,9,hinge\r\nOIL,item,Oil,13.50,each,0,oil\r\n");
    const Catalog catalog = lists.catalog();
    const Project project =
        job("Box", item("hinges", "hinge", 1500) + ", " + item("oil", "oil", 7));
    const auto bytes = [&] {
        PluginHost own({AUMBRY_TEST_PLUGINS});
        return to_json(estimate(project, own, catalog)).dump();
    };
    const std::string first = bytes();
    EXPECT_THAT(first, HasSubstr("hinges"));

    std::vector<std::future<std::string>> threads;
    for (int i = 0; i < 4; ++i) threads.push_back(std::async(std::launch::async, bytes));
    for (auto& thread : threads) EXPECT_EQ(thread.get(), first);

    const TemporaryFolder elsewhere;
    const std::filesystem::path here = std::filesystem::current_path();
    const std::locale plain =
        std::locale::global(std::locale(std::locale::classic(), new CommaNumbers));
    (void)std::setlocale(LC_ALL, "de_DE.UTF-8"); // where the machine has it
    std::filesystem::current_path(elsewhere.path());
    const std::string away = bytes();
    std::filesystem::current_path(here);
    (void)std::setlocale(LC_ALL, "C");
    std::locale::global(plain);
    EXPECT_EQ(away, first);
}

} // namespace
} // namespace aumbry
