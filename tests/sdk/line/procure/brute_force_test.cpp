// The least cost of small markets, found by trying everything.
#include "random_market.hpp"
#include "reference.hpp"

#include <gtest/gtest.h>

#include <random>
#include <set>

namespace aumbry {
namespace {

using namespace test;

// Tries every combination of choices.
std::int64_t min_cost(const Reference& reference,
                      const std::vector<std::vector<Reference::Choice>>& choices,
                      std::size_t demand, const Reference::Choice& needs) {
    if (demand == choices.size()) return reference.cost(needs);
    std::int64_t least = -1;
    for (const Reference::Choice& choice : choices[demand]) {
        Reference::Choice sum = needs;
        for (const auto& [offer, count] : choice.counts) sum.counts[offer] += count;
        for (const auto& [supplier, cuts] : choice.cuts) sum.cuts[supplier] += cuts;
        sum.delivered.insert(choice.delivered.begin(), choice.delivered.end());
        const std::int64_t cost = min_cost(reference, choices, demand + 1, sum);
        if (cost >= 0 && (least < 0 || cost < least)) least = cost;
    }
    return least;
}

/// By demand; nothing when there are too many combinations to try.
std::vector<std::vector<Reference::Choice>> few_choices(const Reference& reference,
                                                        const ProcureProblem& market) {
    std::vector<std::vector<Reference::Choice>> choices;
    double combinations = 1;
    for (const DemandTerms& demand : market.demands) {
        choices.push_back(reference.choices(demand));
        combinations *= static_cast<double>(choices.back().size());
    }
    if (combinations > 2000) choices.clear();
    return choices;
}

TEST(ProcureAgainstBruteForce, NothingCheaperExists) {
    int compared = 0;
    for (std::uint64_t seed = 1; compared < 120; ++seed) {
        ASSERT_LT(seed, 1000U);
        const ProcureProblem market = random_market(seed, {3, 4, 3, true, true});
        const Reference reference(market);
        const auto choices = few_choices(reference, market);
        if (choices.empty()) continue;
        ++compared;
        const std::int64_t least = min_cost(reference, choices, 0, {});
        ASSERT_GE(least, 0) << "seed " << seed;
        const Procurement bought = procure(market);
        EXPECT_EQ(bought.cost.minor(), least) << "seed " << seed;
        EXPECT_TRUE(bought.proven) << "seed " << seed;
        EXPECT_EQ(bought.lower_bound, bought.cost) << "seed " << seed;
    }
}

// Some of what is bought does not fit the vehicle, and much of the rest takes several trips.
TEST(ProcureAgainstBruteForce, TheVehicleTakesWhatFitsAndOneLoadATrip) {
    int compared = 0;
    int delivered = 0;
    int trips = 0;
    for (std::uint64_t seed = 1; compared < 120; ++seed) {
        ASSERT_LT(seed, 2000U);
        ProcureProblem market = random_market(seed, {3, 4, 3, true, true});
        std::mt19937_64 random(seed);
        market.load = static_cast<double>(10 + random() % 50);
        for (SupplierTerms& terms : market.suppliers) {
            if (!terms.supplier.delivery.collect)
                terms.supplier.delivery.collect =
                    Money(static_cast<std::int64_t>(300 + random() % 900), terms.supplier.currency);
        }
        std::set<std::string> too_large;
        for (const OfferTerms& offer : market.offers)
            if (!offer.owned && !offer.service && random() % 4 == 0) too_large.insert(offer.id);
        for (DemandTerms& demand : market.demands)
            for (contract::Way& way : demand.ways)
                for (contract::Use& use : way.uses)
                    use.must_be_delivered = too_large.contains(use.offer);
        const Reference reference(market);
        const auto choices = few_choices(reference, market);
        if (choices.empty()) continue;
        const std::int64_t least = min_cost(reference, choices, 0, {});
        if (least < 0) continue; // what must be delivered nobody delivers
        ++compared;
        const Procurement bought = procure(market);
        EXPECT_EQ(bought.cost.minor(), least) << "seed " << seed;
        EXPECT_LE(bought.lower_bound, bought.cost) << "seed " << seed;
        for (const SupplierOrder& order : bought.orders) {
            delivered += order.collected ? 0 : 1;
            trips += order.trips > 1 ? 1 : 0;
        }
    }
    EXPECT_GT(delivered, 20);
    EXPECT_GT(trips, 15);
}

} // namespace
} // namespace aumbry
