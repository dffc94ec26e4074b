// Costs over modules and pieces: whatever is split adds up to the cent.
#include "euros.hpp"
#include "line/estimate/allocation.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <random>

namespace aumbry {
namespace {

TEST(LargestRemainder, GivesTheSeatsOfTheTextbook) {
    // The usual example of the method with Hare's quota, from memory: 10 seats for 100000 votes.
    const std::vector<Decimal> votes{Decimal(47000), Decimal(16000), Decimal(15800),
                                     Decimal(12000), Decimal(6100),  Decimal(3100)};
    std::vector<std::int64_t> seats;
    for (const Money& share : split(Money(10, euro), votes)) seats.push_back(share.minor());
    EXPECT_THAT(seats, ::testing::ElementsAre(5, 2, 1, 1, 1, 0));
}

TEST(Allocation, SplitsContingencyMarkupAndTaxInProportionToCosts) {
    // Costs 150 + 30 + 20 = 200: shares of three quarters, 15 % and 10 %.
    Allocation costs(euro);
    costs.add({"panels", "bed"}, Category::goods, eur("100.00"));
    costs.add({"panels", "bed"}, Category::labour, eur("40.00"));
    costs.add({"panels", "bed"}, Category::labour, eur("10.00"));
    costs.add({"paint", "bed"}, Category::services, eur("30.00"));
    costs.add({"panels", "desk"}, Category::delivery, eur("20.00"));
    EXPECT_EQ(costs.sum(Category::labour), eur("50.00"));
    EXPECT_EQ(costs.sum(Category::tax_as_cost), eur("0.00"));
    const Allocation::Settled settled = costs.settle(eur("20.00"), eur("40.00"), eur("54.60"));

    const Totals& bed = settled.cells.at({"panels", "bed"});
    EXPECT_EQ(bed.contingency, eur("15.00"));
    EXPECT_EQ(bed.markup, eur("30.00"));
    EXPECT_EQ(bed.tax, eur("40.95"));
    EXPECT_EQ(bed.total, eur("235.95")); // 150 + 15 + 30 + 40.95
    EXPECT_EQ(settled.cells.at({"paint", "bed"}).tax, eur("8.19"));
    EXPECT_EQ(settled.totals.total, eur("314.60"));

    const auto pieces = Allocation::by_piece(settled, euro);
    EXPECT_EQ(pieces.at("bed").labour, eur("50.00"));
    EXPECT_EQ(pieces.at("bed").total, eur("283.14")); // 180 of 200: nine tenths of 314.60
    EXPECT_EQ(pieces.at("desk").total, eur("31.46"));
    const auto modules = Allocation::by_module(settled, euro);
    EXPECT_EQ(modules.at("panels").delivery, eur("20.00"));
    EXPECT_EQ(modules.at("paint").total, eur("47.19"));
}

TEST(Allocation, ALeftOverCentGoesToTheLargestRemainder) {
    // 0.10 over 50, 30 and 20 of 100: 0.05, 0.03, 0.02. 0.11: 5.5, 3.3, 2.2 cents: the first has
    // the largest rest.
    Allocation costs(euro);
    costs.add({"a", ""}, Category::goods, eur("50.00"));
    costs.add({"b", ""}, Category::goods, eur("30.00"));
    costs.add({"c", ""}, Category::goods, eur("20.00"));
    const Allocation::Settled settled = costs.settle(eur("0.10"), eur("0.11"), eur("0.00"));
    EXPECT_EQ(settled.cells.at({"a", ""}).contingency, eur("0.05"));
    EXPECT_EQ(settled.cells.at({"a", ""}).markup, eur("0.06"));
    EXPECT_EQ(settled.cells.at({"b", ""}).markup, eur("0.03"));
    EXPECT_EQ(settled.cells.at({"c", ""}).markup, eur("0.02"));
}

TEST(Allocation, TaxThatIsACostStandsWithTheTaxCharged) {
    Allocation costs(euro);
    costs.add({"a", "bed"}, Category::goods, eur("100.00"));
    costs.add({"a", "bed"}, Category::tax_as_cost, eur("21.00"));
    const Allocation::Settled settled = costs.settle(eur("0.00"), eur("0.00"), eur("10.00"));
    EXPECT_EQ(settled.totals.tax, eur("31.00"));
    EXPECT_EQ(settled.totals.total, eur("131.00"));
}

TEST(Allocation, AJobWithoutCostsCarriesThemInACellOfItsOwn) {
    const Allocation::Settled settled =
        Allocation(euro).settle(eur("1.00"), eur("2.00"), eur("0.63"));
    ASSERT_EQ(settled.cells.size(), 1U);
    EXPECT_EQ(settled.totals.total, eur("3.63"));
}

TEST(Allocation, AddsUpToTheCentWhateverTheCosts) {
    std::mt19937 random(20270301);
    const auto cents = [&](std::int64_t most) {
        return Money(static_cast<std::int64_t>(random() % static_cast<std::uint64_t>(most)), euro);
    };
    for (int round = 0; round < 300; ++round) {
        Allocation costs(euro);
        Money all = Money::zero(euro);
        const auto cells = 1 + random() % 30;
        for (std::uint64_t i = 0; i < cells; ++i) {
            const Money amount = cents(round % 2 == 0 ? 100 : 1000000);
            all += amount;
            costs.add({"m" + std::to_string(random() % 4), "p" + std::to_string(random() % 5)},
                      static_cast<Category>(random() % 4), amount);
        }
        const Money contingency = cents(100000), markup = cents(1000), tax = cents(5000000);
        const Allocation::Settled settled = costs.settle(contingency, markup, tax);
        EXPECT_EQ(settled.totals.contingency, contingency);
        EXPECT_EQ(settled.totals.markup, markup);
        EXPECT_EQ(settled.totals.total, all + contingency + markup + tax);
        for (const auto& parts :
             {Allocation::by_piece(settled, euro), Allocation::by_module(settled, euro)}) {
            Money total = Money::zero(euro);
            for (const auto& [name, part] : parts) {
                EXPECT_EQ(part.total, part.goods + part.services + part.delivery + part.labour +
                                          part.contingency + part.markup + part.tax);
                total += part.total;
            }
            EXPECT_EQ(total, settled.totals.total);
        }
        // Nobody is a whole cent away from his exact share.
        for (const auto& [cell, part] : settled.cells) {
            if (all.is_zero()) continue;
            const Money own = part.goods + part.services + part.delivery + part.labour;
            const double exact = static_cast<double>(contingency.minor()) *
                                 static_cast<double>(own.minor()) /
                                 static_cast<double>(all.minor());
            EXPECT_NEAR(static_cast<double>(part.contingency.minor()), exact, 1.0);
        }
    }
}

} // namespace
} // namespace aumbry
