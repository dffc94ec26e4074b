// Planning sheets can be given up at any moment, and asking whether it is never changes the plan.
#include "drawn_orders.hpp"
#include "stop_counter.hpp"

#include "sheet_goods/engine/cutting.hpp"

namespace aumbry::sheet_goods {
namespace {

using test::expect_to_end_when_told;
using test::StopCounter;

std::vector<std::int64_t> figures(const Plan& plan) {
    std::vector<std::int64_t> all{plan.cost, plan.sheet_count, plan.lower_bound_cost, plan.steps};
    for (const SheetPlan& sheet : plan.sheets)
        for (const Placement& placement : sheet.placements)
            all.insert(all.end(), {placement.part, placement.x, placement.y, placement.length});
    return all;
}

/// Drawn orders that take some work at an effort, with how often they ask.
void each_order(Effort effort, const std::function<void(CuttingJob, int)>& use) {
    int used = 0;
    for (std::uint64_t seed = 1; used < 3; ++seed) {
        ASSERT_LT(seed, 60U);
        CuttingJob job = Drawn(seed).order(40);
        job.effort = effort;
        const StopCounter counter;
        job.stop = counter.stop();
        (void)cut(job);
        if (counter.asked() < 3) continue;
        ++used;
        use(job, counter.asked());
    }
}

// Building, improving, the race of several kinds, the exact search and the bound by patterns are
// all part of an order at this effort.
TEST(CuttingCancelled, EndsAtTheQuestionThatIsAnsweredSo) {
    each_order(Effort::normal, [](CuttingJob job, int asked) {
        expect_to_end_when_told(asked, [&](const StopCounter& told) {
            job.stop = told.stop();
            (void)cut(job);
        });
    });
}

TEST(CuttingCancelled, AskingChangesNothing) {
    each_order(Effort::normal, [](CuttingJob job, int) {
        const std::vector<std::int64_t> asked = figures(cut(job));
        job.stop = Stop();
        EXPECT_EQ(figures(cut(job)), asked);
    });
}

} // namespace
} // namespace aumbry::sheet_goods
