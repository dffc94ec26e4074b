// Cutting to length, against published minima and a check of its own.
#include "solid_stock/engine/boards.hpp"

#include "aumbry/fault.hpp"

#include <gtest/gtest.h>

#include <random>

namespace aumbry::solid_stock {
namespace {

BoardOrder order_of(std::int64_t board, const std::vector<std::int64_t>& lengths,
                    const std::vector<std::int64_t>& demand, std::int64_t kerf = 0) {
    BoardOrder order;
    order.kerf = kerf;
    order.stock.push_back({"board", board, 1, -1, 0, 0, false});
    for (std::size_t i = 0; i < lengths.size(); ++i)
        order.parts.push_back({"", lengths[i], demand[i]});
    return order;
}

BoardPlan checked(const BoardOrder& order, std::string_view effort = "normal") {
    BoardPlan plan = plan_boards(order, effort_steps(effort));
    EXPECT_EQ(check_plan(order, plan), "");
    return plan;
}

const std::vector<std::int64_t> paper_lengths{1380, 1520, 1560, 1710, 1820, 1880, 1930,
                                              2000, 2050, 2100, 2140, 2150, 2200};
const std::vector<std::int64_t> paper_demand{22, 25, 12, 14, 18, 18, 20, 10, 12, 14, 16, 18, 20};

TEST(BoardsPublishedMinimum, PaperRollsOf5600) {
    // Encyclopedia article "Cutting stock problem": 13 widths from 5600 mm rolls, minimum 73.
    const BoardPlan plan = checked(order_of(5600, paper_lengths, paper_demand));
    EXPECT_EQ(plan.used, 73);
    EXPECT_TRUE(plan.proven);
}

TEST(BoardsPublishedMinimum, ChvatalRollsOf100) {
    // Chvatal, Linear Programming (1983), chapter 13: linear bound 452.25, minimum 453.
    const BoardPlan plan = checked(order_of(100, {45, 36, 31, 14}, {97, 610, 395, 211}));
    EXPECT_EQ(plan.used, 453);
    EXPECT_TRUE(plan.proven);
}

TEST(BoardsPublishedMinimum, CourseSheetsAndTextbook) {
    // University course sheet, rolls of 110; university exercise, boards of 20; Winston, Operations
    // Research, boards of 17 (data from memory); the minima were recomputed independently.
    EXPECT_EQ(checked(order_of(110, {20, 45, 50, 55, 75}, {48, 35, 24, 10, 8})).used, 47);
    EXPECT_EQ(checked(order_of(20, {3, 4, 8, 10}, {50, 25, 15, 70})).used, 54);
    EXPECT_EQ(checked(order_of(17, {3, 5, 9}, {25, 20, 15})).used, 19);
}

TEST(BoardsPublishedMinimum, TripletsFitExactly) {
    // Falkenauer 1996, OR-Library t60_00, in tenths: 60 pieces that fill 20 boards without waste.
    const std::vector<std::int64_t> pieces{
        366, 268, 366, 430, 263, 307, 414, 287, 299, 495, 251, 254, 474, 252, 274,
        370, 269, 361, 473, 252, 275, 472, 259, 269, 444, 258, 298, 439, 273, 288,
        445, 272, 283, 419, 261, 320, 363, 271, 366, 355, 273, 372, 466, 262, 272,
        357, 292, 351, 395, 255, 350, 350, 303, 347, 450, 252, 298, 410, 275, 315};
    const BoardPlan plan = checked(order_of(1000, pieces, std::vector<std::int64_t>(60, 1)));
    EXPECT_EQ(plan.used, 20);
    EXPECT_TRUE(plan.proven);
    for (const CutBoard& board : plan.boards) EXPECT_EQ(board.offcut, 0);
}

TEST(BoardsPublishedMinimum, UniformPieces) {
    // Falkenauer 1996, OR-Library u250_00: best known 99.
    const std::vector<std::int64_t> pieces{
        42, 69, 67, 57, 93,  90, 38, 36, 45, 42, 33,  79, 27, 57,  44, 84, 86, 92, 46, 38, 85,
        33, 82, 73, 49, 70,  59, 23, 57, 72, 74, 69,  33, 42, 28,  46, 30, 64, 29, 74, 41, 49,
        55, 98, 80, 32, 25,  38, 82, 30, 35, 39, 57,  84, 62, 50,  55, 27, 30, 36, 20, 78, 47,
        26, 45, 41, 58, 98,  91, 96, 73, 84, 37, 93,  91, 43, 73,  85, 81, 79, 71, 80, 76, 83,
        41, 78, 70, 23, 42,  87, 43, 84, 60, 55, 49,  78, 73, 62,  36, 44, 94, 69, 32, 96, 70,
        84, 58, 78, 25, 80,  58, 66, 83, 24, 98, 60,  42, 43, 43,  39, 97, 57, 81, 62, 75, 81,
        23, 43, 50, 38, 60,  58, 70, 88, 36, 90, 37,  45, 45, 39,  44, 53, 70, 24, 82, 81, 47,
        97, 35, 65, 74, 68,  49, 55, 52, 94, 95, 29,  99, 20, 22,  25, 49, 46, 98, 59, 98, 60,
        23, 72, 33, 98, 80,  95, 78, 57, 67, 53, 47,  53, 36, 38,  92, 30, 80, 32, 97, 39, 80,
        72, 55, 41, 60, 67,  53, 65, 95, 20, 66, 78,  98, 47, 100, 85, 53, 53, 67, 27, 22, 61,
        43, 52, 76, 64, 61,  29, 30, 46, 79, 66, 27,  79, 98, 90,  22, 75, 57, 67, 36, 70, 99,
        48, 43, 45, 71, 100, 88, 48, 27, 39, 38, 100, 60, 42, 20,  69, 24, 23, 92, 32};
    const BoardPlan plan = checked(order_of(150, pieces, std::vector<std::int64_t>(250, 1)));
    EXPECT_EQ(plan.used, 99);
    EXPECT_EQ(plan.used_bound, 99);
    EXPECT_TRUE(plan.proven);
}

TEST(BoardsKerf, PaperRollsWithKerfOf4) {
    // The same rolls with a cut of 4 mm between pieces: 74, computed from the published data by an
    // independent solver.
    EXPECT_EQ(checked(order_of(5600, paper_lengths, paper_demand, 4)).used, 74);
}

TEST(BoardsKerf, IsCuttingLongerPiecesFromALongerBoard) {
    // Pieces a + k from a board L + k without kerf need as many boards as pieces a from L with kerf
    // k.
    std::mt19937_64 random(11);
    for (int round = 0; round < 60; ++round) {
        const auto kerf = static_cast<std::int64_t>(random() % 40);
        const auto board = 1000 + static_cast<std::int64_t>(random() % 2000);
        std::vector<std::int64_t> lengths, longer, demand;
        for (std::size_t i = 0; i < 3 + random() % 6; ++i) {
            lengths.push_back(50 + static_cast<std::int64_t>(random() % 900));
            longer.push_back(lengths.back() + kerf);
            demand.push_back(1 + static_cast<std::int64_t>(random() % 9));
        }
        const BoardPlan with = checked(order_of(board, lengths, demand, kerf));
        const BoardPlan without = checked(order_of(board + kerf, longer, demand));
        EXPECT_EQ(with.used, without.used);
        EXPECT_EQ(with.proven, without.proven);
    }
}

TEST(BoardsKerf, LastPieceMayEndAtTheSoundEnd) {
    // Three pieces of 100 and two cuts of 5 are 310; of 311 a board of 310 yields two.
    EXPECT_EQ(checked(order_of(310, {100}, {3}, 5)).used, 1);
    EXPECT_EQ(checked(order_of(309, {100}, {3}, 5)).used, 2);
}

TEST(BoardsTrim, BadEndsAreLeftOut) {
    BoardOrder order = order_of(1000, {300}, {3});
    order.stock[0].trim_start = 60;
    order.stock[0].trim_end = 40;
    const BoardPlan plan = checked(order);
    ASSERT_EQ(plan.boards.size(), 1u);
    EXPECT_EQ(plan.boards[0].pieces.front().position, 60);
    EXPECT_EQ(plan.boards[0].offcut, 0);
    order.stock[0].trim_end = 41;
    EXPECT_EQ(checked(order).used, 2);
}

TEST(BoardsStock, OwnedBoardsThatCostNothingAreUsedFirst) {
    BoardOrder order = order_of(2400, {1100, 700}, {4, 2});
    order.stock[0].cost = 1800;
    order.stock.push_back({"rack", 1150, 0, 2, 0, 0, true});
    const BoardPlan plan = checked(order);
    EXPECT_EQ(plan.cost, 2 * 1800); // two 1100 from the rack, 1100 + 700 twice from new boards
    EXPECT_EQ(plan.used, 4);
    EXPECT_TRUE(plan.proven);
}

TEST(BoardsStock, CountsWhatLimitedBoardsDoNotYield) {
    BoardOrder order = order_of(1000, {400}, {7});
    order.stock[0].limit = 3;
    const BoardPlan plan = checked(order);
    EXPECT_EQ(plan.unmet[0], 1);
    EXPECT_EQ(plan.used, 3);
    EXPECT_TRUE(plan.proven);
}

TEST(BoardsDeterminism, SameOrderSamePlan) {
    const BoardOrder order = order_of(5600, paper_lengths, paper_demand, 3);
    const BoardPlan one = plan_boards(order, effort_steps("normal"));
    const BoardPlan two = plan_boards(order, effort_steps("normal"));
    ASSERT_EQ(one.boards.size(), two.boards.size());
    EXPECT_EQ(one.steps, two.steps);
    for (std::size_t b = 0; b < one.boards.size(); ++b) {
        EXPECT_EQ(one.boards[b].copies, two.boards[b].copies);
        ASSERT_EQ(one.boards[b].pieces.size(), two.boards[b].pieces.size());
        for (std::size_t p = 0; p < one.boards[b].pieces.size(); ++p)
            EXPECT_EQ(one.boards[b].pieces[p].part, two.boards[b].pieces[p].part);
    }
}

std::string fault_of(const BoardOrder& order) {
    try {
        (void)plan_boards(order, 1000);
    } catch (const FaultError& error) {
        return error.what();
    }
    return "no fault";
}

TEST(BoardsBadInput, EachInOneSentence) {
    EXPECT_EQ(fault_of(order_of(100, {120}, {1})),
              "part 1 is longer than the sound length of every board; offer a "
              "longer board, or joint "
              "the part from two");
    EXPECT_EQ(fault_of(BoardOrder{}),
              "there is no board to cut from; offer a stock length or an owned board");
    EXPECT_EQ(fault_of(order_of(100, {0}, {1})), "part 1 has no length; give a length above zero");
    EXPECT_EQ(fault_of(order_of(100, {10}, {-1})),
              "part 1 is wanted -1 times; give counts from zero that sum up to a million at most");
    EXPECT_EQ(fault_of(order_of(100, {10}, {1}, -3)),
              "the saw kerf is below zero; give a kerf of zero or more");
    EXPECT_THROW((void)effort_steps("heroic"), FaultError);
}

TEST(BoardsVerifier, RefusesAPlanThatOverruns) {
    const BoardOrder order = order_of(1000, {300}, {3}, 10);
    BoardPlan plan = checked(order);
    ASSERT_EQ(plan.boards.size(), 1u);
    plan.boards[0].pieces[1].position -= 1;
    EXPECT_NE(check_plan(order, plan), "");
    plan = checked(order);
    plan.boards[0].pieces.pop_back();
    EXPECT_NE(check_plan(order, plan), "");
}

} // namespace
} // namespace aumbry::solid_stock
