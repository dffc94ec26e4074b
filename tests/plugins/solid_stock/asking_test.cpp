// What a yard is asked for. Least boards of the grades: AHEC's summary of the NHLA rules.
#include "solid_stock/engine/asking.hpp"
#include "solid_stock/engine/lumber.hpp"

#include <gtest/gtest.h>

#include <random>

namespace aumbry::solid_stock {
namespace {

constexpr GridLength an_inch = steps_per_inch;
constexpr GridLength a_foot = 12 * an_inch;

RipOrder order_of(GridLength length, GridLength width, std::int64_t count) {
    RipOrder order;
    order.order = CutOrder::crosscut_first;
    order.parts = {{"part", length, width, count}};
    return order;
}

RandomBoards boards_of(const Grade& grade, GridLength end_trim) {
    RandomBoards boards;
    boards.least_width = grade.least_board_width;
    boards.least_length = grade.least_board_length;
    boards.yield = grade.yield;
    boards.end_trim = end_trim;
    boards.width_step = an_inch;
    boards.length_step = a_foot;
    return boards;
}

// AHEC: FAS and better is 6 in x 8 ft at least, 4 board feet of 4/4 and 8 of 8/4; Selects 4 in x 6
// ft; the Commons 3 in x 4 ft, 1 board a_foot.
TEST(Asking, TheLeastBoardOfAGradeIsTheLeastThatIsAskedFor) {
    struct Case {
        const char* grade;
        GridLength width, length;
        double board_feet;
    };
    for (const Case& each : {Case{"FAS", 6 * an_inch, 8 * a_foot, 4},
                             {"Selects", 4 * an_inch, 6 * a_foot, 2},
                             {"No.1 Common", 3 * an_inch, 4 * a_foot, 1},
                             {"No.2A Common", 3 * an_inch, 4 * a_foot, 1},
                             {"No.3B Common", 3 * an_inch, 4 * a_foot, 1}}) {
        const auto sizes =
            sizes_to_ask(order_of(12 * an_inch, an_inch, 1), boards_of(grade_named(each.grade), 0));
        ASSERT_FALSE(sizes.empty());
        EXPECT_EQ(sizes.front().width, each.width) << each.grade;
        EXPECT_EQ(sizes.front().length, each.length) << each.grade;
        EXPECT_EQ(tallied_board_feet(an_inch, each.width, each.length), each.board_feet);
    }
    EXPECT_EQ(tallied_board_feet(2 * an_inch, 6 * an_inch, 8 * a_foot), 8);
}

// A part of 9 ft with an an_inch off each end needs 9 ft 2 in, which a yard sells as 10 ft.
TEST(Asking, ALongPartAsksForWholeFeetBeyondItsLengthAndTrim) {
    const auto sizes =
        sizes_to_ask(order_of(9 * a_foot, an_inch, 1), boards_of(grade_named("FAS"), an_inch));
    EXPECT_EQ(sizes.front().length, 10 * a_foot);
}

TEST(Asking, NoLongerThanTheVehicleTakesWhereTheGradeAllowsIt) {
    RandomBoards boards = boards_of(grade_named("FAS"), 0);
    boards.longest = 9 * a_foot;
    for (const AskedSize& size : sizes_to_ask(order_of(12 * an_inch, an_inch, 1), boards))
        EXPECT_LE(size.length, 9 * a_foot);
    boards.longest = 7 * a_foot; // no FAS board is as short
    EXPECT_FALSE(sizes_to_ask(order_of(12 * an_inch, an_inch, 1), boards).empty());
}

// NHLA: FAS promises 10 twelfths of the surface in clear cuttings. No plan takes more.
TEST(Asking, PartsNeverTakeMoreOfABoardThanTheGradeYields) {
    std::mt19937_64 random(7);
    const auto pick = [&](int low, int high) {
        return low + static_cast<GridLength>(random() % static_cast<unsigned>(high - low + 1));
    };
    for (int round = 0; round < 40; ++round) {
        RipOrder order = order_of(pick(10, 60) * an_inch, pick(1, 5) * an_inch, pick(1, 9));
        order.parts.push_back({"other", pick(10, 60) * an_inch, pick(1, 5) * an_inch, pick(1, 5)});
        const RandomBoards boards = boards_of(grade_named("FAS"), an_inch);
        std::vector<AskedSize> asked;
        for (const AskedSize& size : sizes_to_ask(order, boards)) {
            for (WideStock& stock : stock_of(size, boards)) {
                stock.cost = size.length / an_inch * (size.width / an_inch);
                order.stock.push_back(stock);
                asked.push_back(size);
            }
        }
        const RipPlan plan = plan_ripping(order, 20'000);
        EXPECT_EQ(check_ripping(order, plan), "");
        for (const RippedBoard& board : plan.boards) {
            double taken = 0;
            for (const auto& section : board.sections)
                for (const RoughPiece& piece : section.pieces)
                    taken += static_cast<double>(piece.length) * static_cast<double>(piece.width);
            const AskedSize& size = asked[board.stock];
            const double surface =
                static_cast<double>(size.length) * static_cast<double>(size.width);
            EXPECT_LE(taken, surface * 10 / 12 + 1) << round;
        }
    }
}

} // namespace
} // namespace aumbry::solid_stock
