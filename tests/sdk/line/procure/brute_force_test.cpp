// The least cost of small markets, found by trying everything.
#include "random_market.hpp"
#include "reference.hpp"

#include <gtest/gtest.h>

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
        const std::int64_t cost = min_cost(reference, choices, demand + 1, sum);
        if (cost >= 0 && (least < 0 || cost < least)) least = cost;
    }
    return least;
}

TEST(ProcureAgainstBruteForce, NothingCheaperExists) {
    int compared = 0;
    for (std::uint64_t seed = 1; compared < 120; ++seed) {
        ASSERT_LT(seed, 1000U);
        const ProcureProblem market = random_market(seed, {3, 4, 3, true, true});
        const Reference reference(market);
        std::vector<std::vector<Reference::Choice>> choices;
        double combinations = 1;
        for (const DemandTerms& demand : market.demands) {
            choices.push_back(reference.choices(demand));
            combinations *= static_cast<double>(choices.back().size());
        }
        if (combinations > 2000) continue;
        ++compared;
        const std::int64_t least = min_cost(reference, choices, 0, {});
        ASSERT_GE(least, 0) << "seed " << seed;
        const Procurement bought = procure(market);
        EXPECT_EQ(bought.cost.minor(), least) << "seed " << seed;
        EXPECT_TRUE(bought.proven) << "seed " << seed;
        EXPECT_EQ(bought.lower_bound, bought.cost) << "seed " << seed;
    }
}

} // namespace
} // namespace aumbry
