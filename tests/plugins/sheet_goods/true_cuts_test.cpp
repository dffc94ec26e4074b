// Cuts as saws make them, in whole millimetres: what each saw takes, what is set and what is left
// over.
#include "sheet_goods/engine/settings.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <set>
#include <tuple>
#include <utility>
#include <vector>

namespace aumbry::sheet_goods {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;

/// A row of parts along the length of a sheet 300 wide, planned with 5 between neighbours.
SheetPlan row_of(const std::vector<Steps>& lengths, Steps sheet, Steps clean_up) {
    SheetPlan plan;
    Blank rest{clean_up, clean_up, sheet - 2 * clean_up, 300, -1, false, false};
    plan.blanks.push_back(rest);
    int at = 0;
    for (std::size_t i = 0; i < lengths.size(); ++i) {
        Cut cut;
        cut.blank = at;
        cut.position = lengths[i];
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

/// A dealer's cut at his setting, parts behind it planned as if the room began where his edge is
/// off.
SheetPlan divided_at(Steps position, const std::vector<Steps>& parts, Steps sheet) {
    SheetPlan plan;
    plan.blanks = {
        {0, 0, sheet, 300}, {0, 0, position, 300}, {position + 4, 0, sheet - position - 4, 300}};
    plan.cuts.push_back({0, Axis::length, position, 1, 2, true});
    for (std::size_t i = 0; i < parts.size(); ++i) plan.blanks[i + 1].part = static_cast<int>(i);
    return plan;
}

TEST(TrueCuts, ADealersBlankIsCutToSizeInTheWorkshop) {
    const SawsOfSheet saws{
        .workshop_kerf = 2, .dealer_kerf = 4, .blank_allowance = 4, .dealer_step = 10};
    const MadeSheet made =
        make_cuts(divided_at(360, {350, 300}, 800), {800, 300}, saws, [](int part, bool) {
            return std::array<Steps, 2>{part == 0 ? 350 : 300, 300};
        });
    EXPECT_TRUE(made.cuts[0].dealer);
    EXPECT_EQ(made.cuts[0].position, 360);
    // The second blank begins behind his kerf, and 4 of it are trimmed before it is measured.
    EXPECT_THAT(lengths_of_parts(made), testing::UnorderedElementsAre(350, 300));
    for (const Blank& blank : made.blanks) {
        if (blank.part == 1) {
            EXPECT_EQ(blank.x, 360 + 4 + 4);
        }
    }
    EXPECT_EQ(made.short_by[0], 0);
}

TEST(TrueCuts, WhatThePartsLackIsTold) {
    // 350 and 4 to come off at his edge: 354 of the 352 that he hands over.
    const MadeSheet made =
        make_cuts(divided_at(352, {350}, 800), {800, 300},
                  {.workshop_kerf = 2, .dealer_kerf = 4, .blank_allowance = 4}, [](int, bool) {
                      return std::array<Steps, 2>{350, 300};
                  });
    EXPECT_EQ(made.short_by[0], 2);
}

/// Blanks with the cuts that divide them, planned without a kerf: {blank, axis, position}.
SheetPlan planned(Steps length, Steps width, const std::vector<std::tuple<int, Axis, Steps>>& cuts,
                  const std::vector<int>& parts) {
    SheetPlan plan;
    plan.blanks.push_back({0, 0, length, width});
    for (const auto& [blank, axis, position] : cuts) {
        Blank first = plan.blanks[static_cast<std::size_t>(blank)];
        Blank second = first;
        (axis == Axis::length ? first.length : first.width) = position;
        (axis == Axis::length ? second.x : second.y) += position;
        (axis == Axis::length ? second.length : second.width) -= position;
        const auto at = static_cast<int>(plan.blanks.size());
        plan.cuts.push_back({blank, axis, position, at, at + 1});
        plan.blanks.push_back(first);
        plan.blanks.push_back(second);
    }
    for (std::size_t i = 0; i < parts.size(); ++i)
        plan.blanks[static_cast<std::size_t>(parts[i])].part = static_cast<int>(i);
    return plan;
}

// Two pieces of 700 crosscut first, then ripped in two each, were four rips of short pieces: ripped
// first, the strips are crosscut off one stop.
TEST(TrueCuts, PiecesRippedAlikeAreRippedBeforeTheyAreCrosscut) {
    const SheetPlan plan = planned(1500, 400,
                                   {{0, Axis::length, 700},
                                    {1, Axis::width, 200},
                                    {2, Axis::length, 700},
                                    {5, Axis::width, 200}},
                                   {3, 4, 7, 8});
    const MadeSheet made =
        make_cuts(plan, {1500, 400}, {.workshop_kerf = 0, .least_offcut = 50}, [](int, bool) {
            return std::array<Steps, 2>{700, 200};
        });
    EXPECT_EQ(made.cuts.front().kind, CutKind::rip);
    EXPECT_EQ(std::count_if(made.cuts.begin(), made.cuts.end(),
                            [](const MadeCut& cut) { return cut.kind == CutKind::rip; }),
              2);
    EXPECT_THAT(lengths_of_parts(made), ElementsAre(700, 700, 700, 700));
}

// A blank for two strips of 40 side by side, 80 wide, is no size of a part: both are ripped at 40.
TEST(TrueCuts, NoFenceIsSetToTheSumOfParts) {
    const SheetPlan plan = planned(1000, 300, {{0, Axis::width, 80}, {1, Axis::width, 40}}, {3, 4});
    const MadeSheet made = make_cuts(plan, {1000, 300}, {.workshop_kerf = 0}, [](int, bool) {
        return std::array<Steps, 2>{1000, 40};
    });
    EXPECT_THAT(positions_of(made), testing::Each(40));
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

std::vector<MadeCut> sorted_by_setting(std::vector<MadeCut> cuts) {
    std::vector<std::vector<MadeCut>> sheets{std::move(cuts)};
    static_cast<void>(sort_by_setting(sheets));
    return sheets.front();
}

TEST(SortBySetting, SheetsShareTheirSettings) {
    std::vector<std::vector<MadeCut>> sheets{{cut_of(0, 300, 1, 2), cut_of(2, 200, 3, 4)},
                                             {cut_of(0, 200, 1, 2), cut_of(2, 300, 3, 4)},
                                             {cut_of(0, 300, 1, 2)}};
    // 300 on two sheets and 200 on two, then what is left of the one or the other.
    const Settings settings = sort_by_setting(sheets);
    EXPECT_EQ(setting_count(settings), 3);
    std::map<int, std::set<Steps>> positions;
    for (std::size_t sheet = 0; sheet < sheets.size(); ++sheet) {
        EXPECT_TRUE(std::is_sorted(settings[sheet].begin(), settings[sheet].end()));
        for (std::size_t i = 0; i < sheets[sheet].size(); ++i)
            positions[settings[sheet][i]].insert(sheets[sheet][i].position);
    }
    for (const auto& [number, found] : positions) EXPECT_EQ(found.size(), 1U) << number;
}

TEST(SortBySetting, TrimsAndTheDealersCutsHaveNoSetting) {
    std::vector<std::vector<MadeCut>> sheets{{{0, Axis::length, 900, 1, 2, true, CutKind::crosscut},
                                              {1, Axis::width, 4, -1, 3, false, CutKind::trim},
                                              cut_of(3, 300, 4, 5)}};
    EXPECT_THAT(sort_by_setting(sheets), ElementsAre(ElementsAre(0, 0, 1)));
}

TEST(SortBySetting, EqualSettingsFollowEachOtherAndRipsComeBeforeCrosscuts) {
    std::vector<MadeCut> cuts{
        cut_of(0, 300, 1, 2),  cut_of(1, 500, 3, -1, CutKind::crosscut),
        cut_of(2, 200, 4, 5),  cut_of(4, 500, 6, -1, CutKind::crosscut),
        cut_of(5, 300, 7, -1),
    };
    MadeSheet sorted;
    sorted.cuts = sorted_by_setting(cuts);
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
        const std::vector<MadeCut> sorted = sorted_by_setting(cuts);
        ASSERT_EQ(sorted.size(), cuts.size());
        const int fewest = fewest_changes(cuts, {0}, nullptr);
        ASSERT_LE(changes_of(sorted), fewest + 1) << "round " << round;
        more += changes_of(sorted) - fewest;
    }
    EXPECT_LE(more, 60); // of 300
}

} // namespace
} // namespace aumbry::sheet_goods
