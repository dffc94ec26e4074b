// Planning boards can be given up at any moment, and asking whether it is never changes the plan.
#include "solid_stock/engine/boards.hpp"
#include "solid_stock/engine/ripping.hpp"

#include "stop_counter.hpp"

namespace aumbry::solid_stock {
namespace {

using test::expect_to_end_when_told;
using test::StopCounter;

// Lengths in steps of a prime: hardly any two add up to another.
BoardOrder many_lengths() {
    BoardOrder order;
    order.kerf = 3;
    order.stock.push_back({"long", 5400, 1900, -1, 20, 20, false});
    order.stock.push_back({"middle", 4200, 1450, -1, 20, 20, false});
    order.stock.push_back({"short", 2400, 790, 12, 20, 20, false});
    for (std::int64_t i = 0; i < 30; ++i)
        order.parts.push_back({"", 311 + i * i * 7 % 1709, 3 + i % 5});
    return order;
}

RipOrder many_sizes() {
    RipOrder order;
    order.kerf = 3;
    order.stock.push_back({"long", 3000, 240, 900, -1, 20, 20, 5, false});
    order.stock.push_back({"short", 2100, 300, 800, -1, 20, 20, 5, false});
    for (std::int64_t i = 0; i < 20; ++i)
        order.parts.push_back({"", 217 + i * i * 11 % 1301, 31 + i * 13 % 97, 2 + i % 4});
    return order;
}

TEST(BoardsCancelled, EndAtTheQuestionThatIsAnsweredSo) {
    const StopCounter counter;
    const BoardPlan plan = plan_boards(many_lengths(), 200'000, counter.stop());
    EXPECT_EQ(check_plan(many_lengths(), plan), "");
    expect_to_end_when_told(counter.asked(), [](const StopCounter& told) {
        (void)plan_boards(many_lengths(), 200'000, told.stop());
    });
}

TEST(BoardsCancelled, AskingChangesNothing) {
    const BoardPlan unasked = plan_boards(many_lengths(), 200'000);
    const BoardPlan asked = plan_boards(many_lengths(), 200'000, Stop([] { return false; }));
    EXPECT_EQ(asked.cost, unasked.cost);
    EXPECT_EQ(asked.cost_bound, unasked.cost_bound);
    EXPECT_EQ(asked.steps, unasked.steps);
    ASSERT_EQ(asked.boards.size(), unasked.boards.size());
    for (std::size_t b = 0; b < asked.boards.size(); ++b) {
        EXPECT_EQ(asked.boards[b].stock, unasked.boards[b].stock);
        EXPECT_EQ(asked.boards[b].offcut, unasked.boards[b].offcut);
    }
}

TEST(RippingCancelled, EndsAtTheQuestionThatIsAnsweredSo) {
    const StopCounter counter;
    const RipPlan plan = plan_ripping(many_sizes(), 200'000, counter.stop());
    EXPECT_EQ(check_ripping(many_sizes(), plan), "");
    expect_to_end_when_told(counter.asked(), [](const StopCounter& told) {
        (void)plan_ripping(many_sizes(), 200'000, told.stop());
    });
}

} // namespace
} // namespace aumbry::solid_stock
