// What is said to be the least cost, over markets in which every way is known.
#include "line/procure/least_cost.hpp"

#include "random_market.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>

namespace aumbry {
namespace {

using namespace test;

/// What a way costs at each supplier, at the lowest price of each offer and without any charge; by
/// another road than the code under test. "" is what is owned.
std::map<std::string, double> costs_of(const contract::Way& way, const ProcureProblem& market) {
    const auto in_project = [&](double listed, const SupplierTerms& terms, double tax) {
        if (terms.supplier.tax_included) listed /= 1 + tax;
        if (terms.rate) listed *= terms.rate->to_double();
        return market.tax_is_cost ? listed * (1 + tax) : listed;
    };
    const auto terms_of = [&](const std::string& id) -> const SupplierTerms& {
        return *std::find_if(market.suppliers.begin(), market.suppliers.end(),
                             [&](const SupplierTerms& each) { return each.supplier.id == id; });
    };
    std::map<std::string, double> costs;
    for (const contract::Use& use : way.uses) {
        const OfferTerms& offer =
            *std::find_if(market.offers.begin(), market.offers.end(),
                          [&](const OfferTerms& each) { return each.id == use.offer; });
        double price = offer.price.to_double();
        for (const OfferTerms::Break& from : offer.breaks)
            price = std::min(price, from.price.to_double());
        const double of_one = use.measure > 0              ? use.measure
                              : offer.price_unit == "each" ? offer.pack.to_double()
                                                           : 1;
        const double listed = price * of_one * static_cast<double>(use.count);
        if (offer.owned) {
            costs[""] += listed;
            continue;
        }
        const SupplierTerms& terms = terms_of(offer.supplier);
        const double tax = offer.tax_percent.value_or(terms.supplier.tax_percent).to_double() / 100;
        costs[offer.supplier] += in_project(listed, terms, tax);
    }
    for (const contract::DealerCuts& cuts : way.dealer_cuts) {
        const SupplierTerms& terms = terms_of(cuts.supplier);
        costs[cuts.supplier] +=
            in_project(Decimal::parse(terms.supplier.cutting.price_per_cut).to_double() *
                           static_cast<double>(cuts.cuts),
                       terms, terms.supplier.tax_percent.to_double() / 100);
    }
    return costs;
}

/// The bounds that a module would state which knows all of its ways; rounding to cents, a few at
/// most for a way, is left to them.
DemandBound bound_of(const DemandTerms& demand, const ProcureProblem& market,
                     std::mt19937_64& random) {
    constexpr double rounding = 0.05;
    DemandBound bound;
    bound.demand = demand.id;
    for (const contract::Way& way : demand.ways) {
        const auto costs = costs_of(way, market);
        std::set<std::string> suppliers;
        double sum = 0;
        for (const auto& [supplier, cost] : costs) {
            if (!supplier.empty()) suppliers.insert(supplier);
            sum += cost;
        }
        auto set =
            std::find_if(bound.sets.begin(), bound.sets.end(),
                         [&](const SupplierSetBound& each) { return each.suppliers == suppliers; });
        if (set == bound.sets.end()) {
            SupplierSetBound made{suppliers, 1e9, 1e9, {}};
            for (const std::string& supplier : suppliers)
                made.premium[supplier] = static_cast<double>(random() % 90) / 100;
            set = bound.sets.insert(bound.sets.end(), made);
        }
        set->cost = std::max(0.0, std::min(set->cost, sum - rounding));
        double base = sum - rounding;
        for (const auto& [supplier, share] : set->premium) base -= share * costs.at(supplier);
        set->base = std::max(0.0, std::min(set->base, base));
    }
    return bound;
}

void expect_holds(const MarketSize& size, std::uint64_t seeds, double least_share) {
    double share = 0;
    int compared = 0;
    for (std::uint64_t seed = 1; seed <= seeds; ++seed) {
        ProcureProblem market = random_market(seed, size);
        for (OfferTerms& offer : market.offers) offer.service = false; // what is cut is goods
        const Procurement bought = procure(market);
        if (!bought.unmet.empty()) continue;
        std::mt19937_64 random(seed);
        std::vector<DemandBound> bounds;
        for (const DemandTerms& demand : market.demands)
            if (!demand.ways.empty()) bounds.push_back(bound_of(demand, market, random));
        const auto least = least_cost(market, bounds);
        ASSERT_TRUE(least) << "seed " << seed;
        EXPECT_LE(least->minor(), bought.cost.minor()) << "seed " << seed;
        ++compared;
        if (!bought.cost.is_zero())
            share += least->decimal().to_double() / bought.cost.decimal().to_double();
    }
    EXPECT_GT(compared, static_cast<int>(seeds / 2));
    // It says something: the charges of orders stay in it.
    EXPECT_GT(share / compared, least_share);
}

TEST(LeastCost, HoldsForEveryWay) {
    expect_holds({3, 5, 3, true, true}, 250, 0.9);
}

TEST(LeastCost, HoldsUnderEveryRule) {
    MarketSize size{4, 6, 4, true, true};
    size.further_rules = true;
    expect_holds(size, 150, 0.85);
}

TEST(LeastCost, AWayFromTwoSuppliersPaysForBothOrders) {
    ProcureProblem market = random_market(1, {2, 0, 2, false, false});
    for (SupplierTerms& terms : market.suppliers) {
        terms.supplier.currency = market.currency;
        terms.rate.reset();
        terms.supplier.delivery = {};
        terms.supplier.delivery.flat = Money(2500, market.currency);
        terms.supplier.minimum_order.reset();
        terms.supplier.tax_included = false;
    }
    market.tax_is_cost = false;
    DemandTerms demand;
    demand.id = "m/d";
    demand.shares = {{"line", 1}};
    demand.ways.resize(1);
    market.demands = {demand};
    DemandBound bound;
    bound.demand = "m/d";
    bound.sets = {{{"s0", "s1"}, 120.0, 0, {}}};
    EXPECT_EQ(least_cost(market, {bound})->str(), "170.00");
    // What is bought at the dearer of the two costs a tenth more.
    bound.sets.front().base = 120;
    bound.sets.front().premium = {{"s1", 0.1}};
    EXPECT_GE(*least_cost(market, {bound}), Money(17000, market.currency));
}

} // namespace
} // namespace aumbry
