// Where a dealer crosscuts boards for the vehicle: against every choice of cuts on small boards.
#include "solid_stock/engine/carrying.hpp"

#include <gtest/gtest.h>

#include <functional>
#include <random>

namespace aumbry::solid_stock {
namespace {

/// What is wrong with the cuts, by the words of the header alone; empty when nothing is.
std::string fault_of(const std::vector<Segment>& segments, GridLength board, GridLength sound_end,
                     const CarryTerms& terms, const CarryCuts& made) {
    GridLength start = 0;
    for (const GridLength cut : made.cuts) {
        if (cut % terms.step != 0) return "a cut is no multiple of the step";
        if (cut - start > terms.longest) return "a piece is too long";
        if (cut <= start) return "cuts overlap";
        start = cut + terms.kerf;
    }
    if (start > board) return "the last cut is beyond the board";
    if (board - start > terms.longest) return "the last piece is too long";
    GridLength before = 0;
    for (std::size_t i = 0; i < segments.size(); ++i) {
        const GridLength begin = segments[i].begin + made.shifted[i];
        const GridLength end = segments[i].end + made.shifted[i];
        if (made.shifted[i] < 0 || begin < before) return "segments run into each other";
        if (end > sound_end) return "a segment reaches beyond the sound wood";
        for (const GridLength cut : made.cuts) {
            const bool left = end + terms.end <= cut;
            const bool right = begin >= cut + terms.kerf + terms.end;
            if (!left && !right) return "a cut takes from a segment";
        }
        before = end;
    }
    return {};
}

/// The fewest cuts that any positions of cuts and segments give; -1 when none do.
int fewest_cuts(const std::vector<Segment>& segments, GridLength board, GridLength sound_end,
                const CarryTerms& terms) {
    int best = -1;
    std::vector<GridLength> cuts;
    const auto works = [&] {
        // Segments as far to the front as the cuts let them, in their order.
        CarryCuts made{cuts, {}};
        GridLength shift = 0;
        for (const Segment& segment : segments) {
            for (bool moved = true; moved;) {
                moved = false;
                for (const GridLength cut : cuts) {
                    if (segment.end + shift + terms.end <= cut ||
                        segment.begin + shift >= cut + terms.kerf + terms.end)
                        continue;
                    shift = cut + terms.kerf + terms.end - segment.begin;
                    moved = true;
                }
            }
            made.shifted.push_back(shift);
        }
        return fault_of(segments, board, sound_end, terms, made).empty();
    };
    const std::function<void(GridLength)> next = [&](GridLength from) {
        if (best >= 0 && static_cast<int>(cuts.size()) >= best) return;
        if (works()) {
            best = static_cast<int>(cuts.size());
            return;
        }
        for (GridLength at = from; at < board; ++at) {
            cuts.push_back(at);
            next(at + terms.kerf + 1);
            cuts.pop_back();
        }
    };
    next(1);
    return best;
}

TEST(Carrying, AsFewCutsAsAnyChoiceOfPositionsGives) {
    std::mt19937_64 random(20270301);
    const auto pick = [&](int low, int high) {
        return low + static_cast<GridLength>(random() % static_cast<unsigned>(high - low + 1));
    };
    int possible = 0;
    for (int round = 0; round < 400; ++round) {
        std::vector<Segment> segments;
        GridLength at = pick(0, 2);
        for (GridLength n = pick(1, 3); n > 0; --n) {
            const GridLength length = pick(1, 7);
            segments.push_back({at, at + length});
            at += length + 1;
        }
        const GridLength sound_end = segments.back().end + pick(0, 8);
        const GridLength board = sound_end + pick(0, 2);
        const CarryTerms terms{pick(4, 12), pick(1, 2), pick(0, 1), 1};
        const auto made = cut_to_carry(segments, board, sound_end, terms);
        const int fewest = fewest_cuts(segments, board, sound_end, terms);
        if (made) {
            ++possible;
            EXPECT_EQ(fault_of(segments, board, sound_end, terms, *made), "") << round;
            EXPECT_EQ(static_cast<int>(made->cuts.size()), fewest) << round;
        } else {
            EXPECT_EQ(fewest, -1) << round;
        }
    }
    EXPECT_GT(possible, 150);
}

TEST(Carrying, ABoardThatFitsStaysWhole) {
    const auto made = cut_to_carry({{20, 1500}}, 2000, 1980, {2100, 4, 4, 1});
    ASSERT_TRUE(made);
    EXPECT_TRUE(made->cuts.empty());
}

// 3600 long with two parts of 1391 in a vehicle of 2100: one cut after 1500 leaves 2096.
TEST(Carrying, TheCutIsMovedOnWhereThatSavesAnother) {
    const auto made = cut_to_carry({{25, 1416}, {1419, 2810}}, 3600, 3575, {2100, 4, 4, 1});
    ASSERT_TRUE(made);
    ASSERT_EQ(made->cuts.size(), 1U);
    EXPECT_EQ(made->cuts.front(), 1496);
    EXPECT_EQ(made->shifted.back(), 1496 + 4 + 4 - 1419);
}

TEST(Carrying, APartLongerThanTheVehicleCannotBeCarried) {
    EXPECT_FALSE(cut_to_carry({{0, 2500}}, 3000, 3000, {2100, 4, 0, 1}));
}

} // namespace
} // namespace aumbry::solid_stock
