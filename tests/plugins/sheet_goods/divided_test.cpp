// Sheets that a dealer divides: what he hands over, against every division on a coarse grid, and
// plans checked from outside the engine.
#include "sheet_goods/engine/divided.hpp"
#include "sheet_goods/engine/true_cuts.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <random>
#include <set>
#include <vector>

namespace aumbry::sheet_goods {
namespace {

struct Dealing {
    std::array<Steps, 2> sheet{};
    SawsOfSheet saws;
    HandingOver over;
    std::vector<Steps> sides;
};

Steps between(std::mt19937_64& numbers, Steps low, Steps high) {
    return low + static_cast<Steps>(numbers() % static_cast<std::uint64_t>(high - low + 1));
}

Dealing drawn(std::uint64_t seed) {
    std::mt19937_64 numbers(seed);
    Dealing drawn;
    drawn.sheet = {between(numbers, 20, 32) * 100, between(numbers, 12, 16) * 100};
    drawn.over.vehicle = {between(numbers, 11, 22) * 100, between(numbers, 7, 12) * 100};
    drawn.saws.workshop_kerf = 3;
    drawn.saws.dealer_kerf = 4;
    drawn.saws.blank_allowance = 4;
    drawn.saws.clean_up = 8;
    drawn.saws.least_cut = 1;
    drawn.sides = {between(numbers, 200, 900), between(numbers, 100, 600)};
    return drawn;
}

bool lies_in(const std::array<Steps, 2>& vehicle, Steps length, Steps width) {
    return (length <= vehicle[0] && width <= vehicle[1]) ||
           (width <= vehicle[0] && length <= vehicle[1]);
}

/// The fewest cuts of any division with cuts at multiples of 50, by trying all.
class EveryDivision {
  public:
    explicit EveryDivision(const Dealing& dealing) : dealing_(dealing) {}

    int fewest(Steps length, Steps width, int most) {
        if (lies_in(*dealing_.over.vehicle, length, width)) return 0;
        if (most == 0) return 1;
        const auto [known, added] = known_.try_emplace({length, width, most}, most + 1);
        if (!added) return known->second;
        int best = most + 1;
        for (int axis = 0; axis < 2; ++axis) {
            const Steps size = axis == 0 ? length : width;
            for (Steps at = 50; at + dealing_.saws.dealer_kerf < size; at += 50) {
                const Steps rest = size - at - dealing_.saws.dealer_kerf;
                const int first =
                    axis == 0 ? fewest(at, width, best - 2) : fewest(length, at, best - 2);
                if (1 + first >= best) continue;
                const int second = axis == 0 ? fewest(rest, width, best - 2 - first)
                                             : fewest(length, rest, best - 2 - first);
                best = std::min(best, 1 + first + second);
            }
        }
        return known_[{length, width, most}] = best;
    }

  private:
    const Dealing& dealing_;
    std::map<std::tuple<Steps, Steps, int>, int> known_;
};

TEST(Divisions, EveryBlankLiesInTheVehicleAndNoDivisionOfFewerCutsIsMissed) {
    for (std::uint64_t seed = 1; seed <= 40; ++seed) {
        const Dealing dealing = drawn(seed);
        const std::vector<Division> divisions =
            divisions_of(dealing.sheet, dealing.saws, dealing.over, dealing.sides);
        const int fewest = EveryDivision(dealing).fewest(dealing.sheet[0], dealing.sheet[1], 6);
        ASSERT_FALSE(divisions.empty()) << "seed " << seed;
        EXPECT_LE(static_cast<int>(divisions.front().cuts.size()), fewest) << "seed " << seed;
        for (const Division& division : divisions) {
            ASSERT_EQ(division.handed_over.size(), division.cuts.size() + 1);
            for (std::size_t i = 0; i < division.handed_over.size(); ++i) {
                const Blank& blank = division.blanks[division.handed_over[i]];
                const Blank& room = division.rooms[i];
                if (room.length == 0 || room.width == 0) continue; // a strip that holds nothing
                ASSERT_TRUE(lies_in(*dealing.over.vehicle, blank.length, blank.width))
                    << "seed " << seed << ": " << blank.length << " x " << blank.width;
                ASSERT_TRUE(room.x >= blank.x && room.y >= blank.y &&
                            room.x + room.length <= blank.x + blank.length &&
                            room.y + room.width <= blank.y + blank.width);
            }
        }
    }
}

TEST(Divisions, HisInaccuracyIsRoomInTheVehicleToo) {
    Dealing dealing = drawn(1);
    dealing.sheet = {2000, 1000};
    dealing.over.vehicle = {1000, 1000};
    dealing.saws.dealer_accuracy = 3;
    for (const Division& division :
         divisions_of(dealing.sheet, dealing.saws, dealing.over, dealing.sides))
        for (const std::size_t blank : division.handed_over)
            EXPECT_LE(division.blanks[blank].length, 997);
}

TEST(Divisions, LevelsOfHisCutsAndHisLeastStripAreKept) {
    Dealing dealing = drawn(1);
    dealing.sheet = {3000, 1500};
    dealing.over.vehicle = {1600, 800};
    dealing.over.least_strip = 300;
    dealing.over.max_levels = 2;
    const std::vector<Division> divisions =
        divisions_of(dealing.sheet, dealing.saws, dealing.over, dealing.sides);
    ASSERT_FALSE(divisions.empty());
    for (const Division& division : divisions) {
        std::vector<int> level(division.blanks.size(), 0);
        for (const Cut& cut : division.cuts) {
            for (const int piece : {cut.first, cut.second}) {
                level[static_cast<std::size_t>(piece)] =
                    level[static_cast<std::size_t>(cut.blank)] + 1;
                EXPECT_LE(level[static_cast<std::size_t>(piece)], 2);
                const Blank& blank = division.blanks[static_cast<std::size_t>(piece)];
                EXPECT_GE(cut.axis == Axis::length ? blank.length : blank.width, 300);
            }
        }
    }
    dealing.over.max_levels = 1; // both ways are too large
    EXPECT_TRUE(divisions_of(dealing.sheet, dealing.saws, dealing.over, dealing.sides).empty());
}

TEST(Divisions, ASheetThatCanBeHandedOverIsNotDivided) {
    Dealing dealing = drawn(1);
    dealing.sheet = {1000, 600};
    dealing.over.vehicle = {600, 1000};
    const std::vector<Division> divisions =
        divisions_of(dealing.sheet, dealing.saws, dealing.over, dealing.sides);
    ASSERT_EQ(divisions.size(), 1U);
    EXPECT_TRUE(divisions[0].cuts.empty());
}

CuttingJob job_for(const Dealing& dealing, std::uint64_t seed) {
    std::mt19937_64 numbers(seed + 1000);
    CuttingJob job;
    Format format;
    format.length = dealing.sheet[0];
    format.width = dealing.sheet[1];
    format.cost = 100;
    format.clean_up = {8, 8, 8, 8};
    job.formats = {format};
    job.kerf = 4;
    job.effort = Effort::draft;
    const Steps most = std::min((*dealing.over.vehicle)[0], (*dealing.over.vehicle)[1]) - 40;
    for (int i = 0; i < 5; ++i)
        job.parts.push_back({"", between(numbers, 60, most), between(numbers, 60, most / 2),
                             between(numbers, 1, 3), Turn::free});
    return job;
}

// Every part comes off every sheet at its size, cut by saws that take what they take, and the
// sheets are no fewer than any plan on whole ones needs.
TEST(CutDivided, EveryPartIsMadeFromABlankThatWasHandedOver) {
    for (std::uint64_t seed = 1; seed <= 20; ++seed) {
        const Dealing dealing = drawn(seed);
        const CuttingJob job = job_for(dealing, seed);
        std::vector<Steps> sides;
        for (const Part& part : job.parts) sides.insert(sides.end(), {part.length, part.width});
        const std::vector<Division> divisions =
            divisions_of(dealing.sheet, dealing.saws, dealing.over, sides);
        const Plan plan = cut_divided(job, {divisions});
        ASSERT_TRUE(plan.unplaced.empty()) << "seed " << seed;
        EXPECT_GE(plan.sheet_count, plan.lower_bound_sheets);
        std::map<int, std::int64_t> made_of;
        for (const SheetPlan& sheet : plan.sheets) {
            const MadeSheet made =
                make_cuts(sheet, dealing.sheet, dealing.saws, [&](int part, bool rotated) {
                    const Part& wanted = job.parts[static_cast<std::size_t>(part)];
                    std::array<Steps, 2> size{wanted.length, wanted.width};
                    if (rotated) std::swap(size[0], size[1]);
                    return size;
                });
            EXPECT_EQ(made.short_by, (std::array<Steps, 2>{})) << "seed " << seed;
            for (const Blank& blank : made.blanks)
                if (blank.part >= 0) made_of[blank.part] += sheet.copies;
            std::set<int> there{0};
            for (const MadeCut& cut : made.cuts) {
                if (!cut.dealer) break;
                there.erase(cut.blank);
                there.insert({cut.first, cut.second});
            }
            for (const int index : there) {
                const Blank& blank = made.blanks[static_cast<std::size_t>(index)];
                EXPECT_TRUE(lies_in(*dealing.over.vehicle, blank.length, blank.width))
                    << "seed " << seed;
            }
        }
        for (std::size_t part = 0; part < job.parts.size(); ++part)
            EXPECT_EQ(made_of[static_cast<int>(part)], job.parts[part].count) << "seed " << seed;
    }
}

TEST(CutDivided, WhatLiesOnNoBlankIsLeftOver) {
    const Dealing dealing = drawn(3);
    CuttingJob job = job_for(dealing, 3);
    job.parts = {{"", dealing.sheet[0] - 40, 100, 2, Turn::fixed}};
    const Plan plan = cut_divided(job, {divisions_of(dealing.sheet, dealing.saws, dealing.over,
                                                     {dealing.sheet[0] - 40, 100})});
    ASSERT_EQ(plan.unplaced.size(), 1U);
    EXPECT_EQ(plan.unplaced[0].count, 2);
}

} // namespace
} // namespace aumbry::sheet_goods
