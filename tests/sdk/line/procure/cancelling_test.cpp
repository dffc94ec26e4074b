// Buying can be given up at any moment, and asking whether it is never changes what is bought.
#include "random_market.hpp"
#include "stop_counter.hpp"

#include "aumbry/plugin_host.hpp"

namespace aumbry {
namespace {

using namespace test;

ProcureProblem large_market(std::uint64_t seed) {
    return random_market(seed, {5, 12, 4, true, true});
}

std::vector<std::string> bought(const Procurement& procurement) {
    std::vector<std::string> all{std::to_string(procurement.cost.minor()),
                                 std::to_string(procurement.lower_bound.minor()),
                                 std::to_string(procurement.steps)};
    for (const Purchase& purchase : procurement.purchases)
        all.push_back(purchase.offer + " " + std::to_string(purchase.count) + " " +
                      std::to_string(purchase.amount.minor()));
    return all;
}

TEST(ProcureCancelled, EndsAtTheQuestionThatIsAnsweredSo) {
    for (const std::uint64_t seed : {1U, 2U, 3U}) {
        ProcureProblem market = large_market(seed);
        const StopCounter counter;
        market.cancelled = counter.function();
        (void)procure(market);
        expect_to_end_when_told<CallCancelled>(counter.asked(), [&](const StopCounter& told) {
            market.cancelled = told.function();
            (void)procure(market);
        });
    }
}

TEST(ProcureCancelled, TheCurveByCountOfOrdersToo) {
    ProcureProblem market = large_market(4);
    const StopCounter counter;
    market.cancelled = counter.function();
    (void)cost_by_supplier_count(market);
    expect_to_end_when_told<CallCancelled>(counter.asked(), [&](const StopCounter& told) {
        market.cancelled = told.function();
        (void)cost_by_supplier_count(market);
    });
}

TEST(ProcureCancelled, AskingChangesNothing) {
    for (std::uint64_t seed = 1; seed <= 10; ++seed) {
        ProcureProblem market = large_market(seed);
        const std::vector<std::string> unasked = bought(procure(market));
        market.cancelled = [] { return false; };
        EXPECT_EQ(bought(procure(market)), unasked) << "seed " << seed;
    }
}

} // namespace
} // namespace aumbry
