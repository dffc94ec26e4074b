// Small orders of boards against a general-purpose whole-number solver, and rules that hold for any
// order.
#include "solid_stock/engine/boards.hpp"

#include "../glpk.hpp"

#include <gtest/gtest.h>

#include <functional>
#include <random>

namespace aumbry::solid_stock {
namespace {

/// Draws whole numbers the same way on every machine.
class Draw {
  public:
    explicit Draw(std::uint64_t seed) : random_(seed) {}
    std::int64_t from_to(std::int64_t low, std::int64_t high) {
        return low +
               static_cast<std::int64_t>(random_() % static_cast<std::uint64_t>(high - low + 1));
    }

  private:
    std::mt19937_64 random_;
};

BoardOrder random_order(Draw& draw, bool scarce) {
    BoardOrder order;
    order.kerf = draw.from_to(0, 4);
    const std::int64_t stocks = draw.from_to(2, 4);
    for (std::int64_t s = 0; s < stocks; ++s) {
        Stock stock;
        stock.length = draw.from_to(180, 520);
        stock.cost = stock.length * draw.from_to(8, 12) / 2 + draw.from_to(0, 60);
        if (draw.from_to(0, 2) == 0) stock.trim_end = draw.from_to(1, 15);
        if (s > 0 || scarce) stock.limit = draw.from_to(scarce ? 0 : 1, 5);
        if (s > 0 && draw.from_to(0, 3) == 0) stock.cost = 0;
        order.stock.push_back(stock);
    }
    order.stock[0].length = 520;
    if (scarce) order.stock[0].limit = draw.from_to(1, 4);
    const std::int64_t parts = draw.from_to(2, 7);
    for (std::int64_t p = 0; p < parts; ++p)
        order.parts.push_back({"", draw.from_to(40, 330), draw.from_to(1, 6)});
    return order;
}

/// Every way to cut one board, listed by brute force, as columns of a covering programme.
testing::WholeProgramme all_patterns(const BoardOrder& order, double unmet_cost) {
    testing::WholeProgramme programme;
    std::vector<std::vector<std::int64_t>> columns;
    std::vector<std::size_t> stock_of;
    for (std::size_t s = 0; s < order.stock.size(); ++s) {
        const Stock& stock = order.stock[s];
        std::vector<std::int64_t> now(order.parts.size(), 0);
        std::function<void(std::size_t, std::int64_t)> go = [&](std::size_t p, std::int64_t room) {
            if (p == order.parts.size()) {
                columns.push_back(now);
                stock_of.push_back(s);
                return;
            }
            // The first piece needs no cut before it; each further one needs a kerf.
            const bool first = room == stock.length - stock.trim_start - stock.trim_end;
            go(p + 1, room);
            std::int64_t left = room - order.parts[p].length - (first ? 0 : order.kerf);
            for (; left >= 0 && now[p] < order.parts[p].count;
                 left -= order.parts[p].length + order.kerf) {
                ++now[p];
                go(p + 1, left);
            }
            now[p] = 0;
        };
        go(0, stock.length - stock.trim_start - stock.trim_end);
    }
    for (const std::size_t s : stock_of)
        programme.cost.push_back(static_cast<double>(order.stock[s].cost));
    if (unmet_cost > 0)
        for (std::size_t p = 0; p < order.parts.size(); ++p) programme.cost.push_back(unmet_cost);
    for (std::size_t p = 0; p < order.parts.size(); ++p) {
        testing::WholeProgramme::Row row{{}, static_cast<double>(order.parts[p].count), false};
        for (const auto& column : columns)
            row.coefficients.push_back(static_cast<double>(column[p]));
        if (unmet_cost > 0)
            for (std::size_t q = 0; q < order.parts.size(); ++q)
                row.coefficients.push_back(q == p ? 1.0 : 0.0);
        programme.rows.push_back(row);
    }
    for (std::size_t s = 0; s < order.stock.size(); ++s) {
        if (order.stock[s].limit < 0) continue;
        testing::WholeProgramme::Row row{{}, static_cast<double>(order.stock[s].limit), true};
        for (const std::size_t of : stock_of) row.coefficients.push_back(of == s ? 1.0 : 0.0);
        row.coefficients.resize(programme.cost.size(), 0.0);
        programme.rows.push_back(row);
    }
    return programme;
}

TEST(BoardsAgainstGlpk, SameLeastCostWithSeveralLengthsPricesAndLimits) {
    if (!testing::glpsol_is_there()) GTEST_SKIP() << "glpsol (glpk-utils) is not installed";
    Draw draw(2027);
    for (int round = 0; round < 60; ++round) {
        const BoardOrder order = random_order(draw, false);
        const BoardPlan plan = plan_boards(order, effort_steps("normal"));
        ASSERT_EQ(check_plan(order, plan), "") << "round " << round;
        const auto least = testing::min_cost(all_patterns(order, 0));
        ASSERT_TRUE(least.has_value()) << "round " << round;
        EXPECT_EQ(static_cast<double>(plan.cost), *least) << "round " << round;
        EXPECT_TRUE(plan.proven) << "round " << round;
        EXPECT_EQ(plan.cost_bound, plan.cost) << "round " << round;
    }
}

TEST(BoardsAgainstGlpk, SameFewestPiecesUnmetWhenBoardsRunOut) {
    if (!testing::glpsol_is_there()) GTEST_SKIP() << "glpsol (glpk-utils) is not installed";
    Draw draw(99);
    int short_orders = 0; // orders that cannot be met in full
    for (int round = 0; round < 40; ++round) {
        const BoardOrder order = random_order(draw, true);
        const BoardPlan plan = plan_boards(order, effort_steps("normal"));
        ASSERT_EQ(check_plan(order, plan), "") << "round " << round;
        const auto least = testing::min_cost(all_patterns(order, 100'000));
        ASSERT_TRUE(least.has_value()) << "round " << round;
        std::int64_t unmet = 0;
        for (const std::int64_t count : plan.unmet) unmet += count;
        short_orders += unmet > 0;
        EXPECT_EQ(static_cast<double>(plan.cost + unmet * 100'000), *least) << "round " << round;
        EXPECT_TRUE(plan.proven) << "round " << round;
    }
    EXPECT_GT(short_orders, 5);
}

TEST(BoardsAnyOrder, PlanIsSoundAndBoundHolds) {
    Draw draw(5);
    for (int round = 0; round < 400; ++round) {
        BoardOrder order = random_order(draw, round % 3 == 0);
        // The cutting grid has 8000 steps a millimetre; odd lengths leave no common divisor.
        const std::int64_t grid = draw.from_to(1, 20'000);
        order.kerf = order.kerf * grid + draw.from_to(0, 3);
        for (Stock& stock : order.stock) stock.length = stock.length * grid + draw.from_to(0, 9);
        for (Part& part : order.parts)
            part.length = std::max<std::int64_t>(1, part.length * grid - draw.from_to(0, 9));
        const BoardPlan plan = plan_boards(order, effort_steps("draft"));
        ASSERT_EQ(check_plan(order, plan), "") << "round " << round;
        EXPECT_LE(plan.cost_bound, plan.cost);
        EXPECT_LE(plan.used_bound, plan.used);
        // Area argument, apart from the search: sound lengths used cover the pieces cut.
        std::int64_t cut = 0, sound = 0;
        for (const CutBoard& board : plan.boards) {
            for (const PlacedPiece& piece : board.pieces)
                cut += board.copies * order.parts[piece.part].length;
            sound += board.copies * order.stock[board.stock].length;
        }
        EXPECT_LE(cut, sound);
    }
}

TEST(BoardsAnyOrder, MoreEffortNeverCostsMore) {
    Draw draw(8);
    for (int round = 0; round < 60; ++round) {
        const BoardOrder order = random_order(draw, false);
        const BoardPlan hasty = plan_boards(order, 1);
        const BoardPlan careful = plan_boards(order, effort_steps("normal"));
        EXPECT_EQ(check_plan(order, hasty), "");
        EXPECT_LE(careful.cost, hasty.cost);
        EXPECT_LE(hasty.cost_bound, careful.cost) << "a bound of little effort must hold as well";
    }
}

TEST(BoardsAnyOrder, NewPricesScaleThePlanCost) {
    // All prices times seven: the same boards, seven times the cost.
    Draw draw(21);
    for (int round = 0; round < 40; ++round) {
        BoardOrder order = random_order(draw, false);
        const BoardPlan once = plan_boards(order, effort_steps("normal"));
        for (Stock& stock : order.stock) stock.cost *= 7;
        const BoardPlan seven = plan_boards(order, effort_steps("normal"));
        EXPECT_EQ(seven.cost, 7 * once.cost);
    }
}

} // namespace
} // namespace aumbry::solid_stock
