// Cuts as saws make them, in whole millimetres: what each saw takes, what is set and what is left
// over.
#include "sheet_goods/engine/true_cuts.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <set>
#include <vector>

namespace aumbry::sheet_goods {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;

/// A row of parts along the length of a sheet 300 wide, planned with 5 between neighbours.
SheetPlan row_of(const std::vector<Steps>& lengths, Steps sheet, Steps clean_up,
                 bool dealer = false) {
    SheetPlan plan;
    Blank rest{clean_up, clean_up, sheet - 2 * clean_up, 300, -1, false, false};
    plan.blanks.push_back(rest);
    int at = 0;
    for (std::size_t i = 0; i < lengths.size(); ++i) {
        Cut cut;
        cut.blank = at;
        cut.position = lengths[i];
        cut.dealer = dealer;
        Blank part = rest;
        part.length = lengths[i];
        part.part = static_cast<int>(i);
        rest.x += lengths[i] + 5;
        rest.length -= lengths[i] + 5;
        cut.first = static_cast<int>(plan.blanks.size());
        plan.blanks.push_back(part);
        if (rest.length > 0) {
            cut.second = at = static_cast<int>(plan.blanks.size());
            plan.blanks.push_back(rest);
        }
        plan.cuts.push_back(cut);
    }
    return plan;
}

MadeSheet make(const SheetPlan& plan, Steps length, Steps width, const SawsOfSheet& saws) {
    return make_cuts(plan, {length, width}, saws, [&](int part, bool) {
        for (const Blank& blank : plan.blanks)
            if (blank.part == part) return std::array<Steps, 2>{blank.length, blank.width};
        return std::array<Steps, 2>{};
    });
}

std::vector<Steps> positions_of(const MadeSheet& made) {
    std::vector<Steps> positions;
    for (const MadeCut& cut : made.cuts) positions.push_back(cut.position);
    return positions;
}

std::vector<Steps> lengths_of_parts(const MadeSheet& made) {
    std::vector<Steps> lengths;
    for (const Blank& blank : made.blanks)
        if (blank.part >= 0) lengths.push_back(blank.length);
    return lengths;
}

// Drawer sides of 350 planned with 5 a cut, sawn with a blade of 2: a rest of 350 + 5 - 2 = 353.
TEST(TrueCuts, TheLastOfARowIsCutToSizeByACutOfItsOwn) {
    SheetPlan plan = row_of({350, 350}, 705, 0);
    plan.cuts.pop_back(); // as a plan has it: the second is what the first cut leaves
    plan.blanks[2].part = 1;
    plan.blanks.resize(3);
    const MadeSheet made = make(plan, 705, 300, {.workshop_kerf = 2});
    EXPECT_THAT(positions_of(made), ElementsAre(350, 350));
    EXPECT_THAT(lengths_of_parts(made), ElementsAre(350, 350));
    EXPECT_EQ(made.cuts[1].blank, made.cuts[0].second);
    EXPECT_EQ(made.blanks[static_cast<std::size_t>(made.cuts[0].second)].length, 353);
}

TEST(TrueCuts, ReferenceEdgesAreTrimmedWithTheKerfIncludedAndTheFarOnesFallAway) {
    const MadeSheet made =
        make(row_of({350, 300}, 800, 10), 800, 320, {.workshop_kerf = 2, .clean_up = 10});
    ASSERT_GE(made.cuts.size(), 2U);
    // The long edge first; 8 and the blade's 2 are the 10 of the clean-up.
    EXPECT_EQ(made.cuts[0].kind, CutKind::trim);
    EXPECT_EQ(made.cuts[0].axis, Axis::width);
    EXPECT_EQ(made.cuts[0].position, 8);
    EXPECT_EQ(made.cuts[0].first, -1);
    EXPECT_EQ(made.cuts[1].kind, CutKind::trim);
    EXPECT_EQ(made.cuts[1].axis, Axis::length);
    EXPECT_THAT(lengths_of_parts(made), ElementsAre(350, 300));
    for (const Blank& blank : made.blanks)
        if (blank.part >= 0) {
            EXPECT_EQ(blank.y, 10);
            EXPECT_EQ(blank.width,
                      300); // of 310 that are left: the far edge of the sheet is cut off
        }
}

TEST(TrueCuts, ADealersBlankIsLargerAndIsCutToSizeInTheWorkshop) {
    const SheetPlan plan = row_of({350, 300}, 800, 0, true);
    const SawsOfSheet saws{
        .workshop_kerf = 2, .dealer_kerf = 4, .blank_allowance = 4, .dealer_step = 10};
    const MadeSheet made = make(plan, 800, 300, saws);
    // 350 and 4 more on the edge that he cuts, on his scale of 10.
    EXPECT_TRUE(made.cuts[0].dealer);
    EXPECT_EQ(made.cuts[0].position, 360);
    // The second begins behind his kerf, and 4 of it are trimmed before it is measured: 4 + 300
    // + 4.
    EXPECT_TRUE(made.cuts[1].dealer);
    EXPECT_EQ(made.cuts[1].position, 310);
    EXPECT_THAT(lengths_of_parts(made), ElementsAre(350, 300));
    EXPECT_EQ(made.short_by[0], 0);
}

TEST(TrueCuts, ADealersEdgeThatWillDoIsLeftAsItIs) {
    const MadeSheet made =
        make(row_of({350, 300}, 800, 0, true), 800, 300, {.workshop_kerf = 2, .dealer_kerf = 4});
    EXPECT_THAT(positions_of(made), ElementsAre(350, 300));
    EXPECT_TRUE(made.cuts[0].dealer && made.cuts[1].dealer);
}

TEST(TrueCuts, WhatThePartsLackIsTold) {
    // 350 + 4, his kerf of 4, 4 to trim and 300: 662.
    const MadeSheet made = make(row_of({350, 300}, 655, 0, true), 655, 300,
                                {.workshop_kerf = 2, .dealer_kerf = 4, .blank_allowance = 4});
    EXPECT_EQ(made.short_by[0], 7);
}

TEST(TrueCuts, NoCutIsMadeForAnOffcutAlone) {
    SheetPlan plan = row_of({350}, 800, 0);
    // The plan divides what is left once more, without a part in it.
    const int rest = plan.cuts[0].second;
    Blank half = plan.blanks[static_cast<std::size_t>(rest)];
    half.length = 200;
    plan.cuts.push_back({rest, Axis::length, 200, static_cast<int>(plan.blanks.size()), -1, false});
    plan.blanks.push_back(half);
    EXPECT_EQ(make(plan, 800, 300, {.workshop_kerf = 2}).cuts.size(), 1U);
}

MadeCut cut_of(int blank, Steps position, int first, int second, CutKind kind = CutKind::rip) {
    return {blank, Axis::length, position, first, second, false, kind};
}

TEST(SortBySetting, EqualSettingsFollowEachOtherAndRipsComeBeforeCrosscuts) {
    std::vector<MadeCut> cuts{
        cut_of(0, 300, 1, 2),  cut_of(1, 500, 3, -1, CutKind::crosscut),
        cut_of(2, 200, 4, 5),  cut_of(4, 500, 6, -1, CutKind::crosscut),
        cut_of(5, 300, 7, -1),
    };
    sort_by_setting(cuts);
    MadeSheet sorted;
    sorted.cuts = cuts;
    // 300 cannot be finished before 200 is made, so it is set twice; the crosscuts once.
    EXPECT_THAT(positions_of(sorted), ElementsAre(300, 200, 300, 500, 500));
}

/// The fewest changes of setting over every order that the blanks allow.
int fewest_changes(std::vector<MadeCut> open, std::set<int> there, const MadeCut* last) {
    if (open.empty()) return 0;
    int fewest = 1000;
    for (std::size_t i = 0; i < open.size(); ++i) {
        const MadeCut cut = open[i];
        if (!there.contains(cut.blank)) continue;
        std::vector<MadeCut> rest = open;
        rest.erase(rest.begin() + static_cast<std::ptrdiff_t>(i));
        std::set<int> now = there;
        now.insert({cut.first, cut.second});
        const int change =
            last != nullptr && last->kind == cut.kind && last->position == cut.position ? 0 : 1;
        fewest = std::min(fewest, change + fewest_changes(rest, now, &cut));
    }
    return fewest;
}

int changes_of(const std::vector<MadeCut>& cuts) {
    int changes = 0;
    for (std::size_t i = 0; i < cuts.size(); ++i)
        if (i == 0 || cuts[i].kind != cuts[i - 1].kind || cuts[i].position != cuts[i - 1].position)
            ++changes;
    return changes;
}

// Against every order of up to seven cuts: seldom one setting more, never two.
TEST(SortBySetting, IsNearTheFewestSettingsOfAnyOrder) {
    std::uint64_t state = 7;
    const auto draw = [&](std::uint64_t below) {
        state = state * 6364136223846793005ULL + 1442695040888963407ULL;
        return static_cast<int>((state >> 33) % below);
    };
    int more = 0;
    for (int round = 0; round < 300; ++round) {
        std::vector<MadeCut> cuts;
        std::vector<int> leaves{0};
        int next = 1;
        for (int i = 0; i < 7; ++i) {
            const std::size_t at = static_cast<std::size_t>(draw(leaves.size()));
            cuts.push_back(cut_of(leaves[at], 100 * (1 + draw(3)), next, next + 1,
                                  draw(2) == 0 ? CutKind::rip : CutKind::crosscut));
            leaves[at] = next;
            leaves.push_back(next + 1);
            next += 2;
        }
        std::vector<MadeCut> sorted = cuts;
        sort_by_setting(sorted);
        ASSERT_EQ(sorted.size(), cuts.size());
        const int fewest = fewest_changes(cuts, {0}, nullptr);
        ASSERT_LE(changes_of(sorted), fewest + 1) << "round " << round;
        more += changes_of(sorted) - fewest;
    }
    EXPECT_LE(more, 60); // of 300
}

} // namespace
} // namespace aumbry::sheet_goods
