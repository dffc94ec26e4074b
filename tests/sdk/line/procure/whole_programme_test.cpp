// The least cost of random markets with every rule in play, found by a general-purpose solver: GLPK
// (GNU Linear Programming Kit, Debian package glpk-utils), run as a process on a whole-number
// programme that is written down apart from the code under test.
#include "market_programme.hpp"
#include "random_market.hpp"

#include "glpk.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>

namespace aumbry {
namespace {

using namespace test;

/// How often what was bought touched a rule.
struct Seen {
    std::map<std::string, int> times;

    void look(const ProcureProblem& market, const Procurement& bought) {
        std::map<std::string, const Supplier*> suppliers;
        for (const SupplierTerms& terms : market.suppliers)
            suppliers[terms.supplier.id] = &terms.supplier;
        const auto saw = [&](const char* rule, bool is) { times[rule] += is ? 1 : 0; };
        for (const SupplierOrder& order : bought.orders) {
            const Supplier& supplier = *suppliers.at(order.supplier);
            const DeliveryConditions& delivery = supplier.delivery;
            saw("collected", order.collected);
            saw("made up to the least order", !order.small_order.is_zero());
            saw("cuts", !order.cuts.is_zero());
            saw("delivered free", delivery.free_from && !order.collected &&
                                      order.delivery.is_zero() && !order.goods.is_zero());
            saw("flat", delivery.flat && !order.delivery.is_zero());
            saw("by mass", !delivery.by_mass.empty() && !order.delivery.is_zero());
            saw("several loads", !delivery.by_mass.empty() && delivery.by_mass.back().up_to &&
                                     order.mass > *delivery.by_mass.back().up_to);
            saw("foreign", supplier.currency != market.currency);
            saw("tax in the prices", supplier.tax_included);
            saw("two rates of tax", order.taxes.size() > 1);
        }
        for (const Purchase& purchase : bought.purchases) {
            saw("owned", purchase.owned);
            saw("raised", purchase.count > purchase.needed);
            saw("service", purchase.service);
            const OfferTerms& offer =
                *std::find_if(market.offers.begin(), market.offers.end(),
                              [&](const OfferTerms& other) { return other.id == purchase.offer; });
            saw("quantity break", purchase.listed_price != offer.price);
            saw("stock used up", offer.limit && *offer.limit == purchase.count);
            if (purchase.owned) continue;
            const auto& oversize = suppliers.at(purchase.supplier)->delivery.oversize;
            saw("oversize", oversize && offer.longest_mm > oversize->longer_than);
        }
        for (const SupplierTerms& terms : market.suppliers) saw("excluded", terms.excluded);
        for (const SupplierTerms& terms : market.suppliers) saw("preferred", terms.preferred);
        saw("tax is a cost", market.tax_is_cost);
        saw("orders limited", market.max_suppliers.has_value());
        saw("amount", std::any_of(market.demands.begin(), market.demands.end(),
                                  [](const DemandTerms& d) { return d.amount.has_value(); }));
        saw("nobody can fill it", !bought.unmet.empty());
    }
};

TEST(ProcureAgainstASolver, TwoHundredRandomMarketsWithEveryRuleCostTheSame) {
    if (!testing::glpsol_is_there()) GTEST_SKIP() << "glpsol (glpk-utils) is not installed";
    Seen seen;
    int compared = 0;
    for (std::uint64_t seed = 1; compared < 200; ++seed) {
        ASSERT_LT(seed, 1000U) << "too few of the markets can be met";
        const ProcureProblem market = random_market(seed, {5, 9, 4, true, true, true});
        const MarketProgramme programme = programme_of(market);
        const auto solution = testing::solve(programme.text, "--cuts");
        if (!solution) continue; // more than is in stock, or more orders than allowed
        ++compared;
        // The solver counts whole what is within a hundred-thousandth of it, which can turn a cent:
        // what it chose is priced again in whole numbers.
        const std::int64_t least = Reference(market).cost(programme.needs(solution->values));
        EXPECT_NEAR(static_cast<double>(least), solution->cost, 2.5) << "seed " << seed;
        const Procurement bought = procure(market);
        EXPECT_EQ(bought.cost.minor(), least) << "seed " << seed;
        seen.look(market, bought);
        EXPECT_TRUE(bought.proven) << "seed " << seed;
        EXPECT_EQ(bought.lower_bound, bought.cost) << "seed " << seed;
    }
    for (const auto& [rule, times] : seen.times) EXPECT_GT(times, 2) << rule;
}

} // namespace
} // namespace aumbry
