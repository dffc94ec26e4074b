#include "sheet_goods/engine/divided.hpp"

#include "sheet_goods/engine/constructive.hpp"
#include "sheet_goods/engine/improve.hpp"
#include "sheet_goods/engine/problem.hpp"
#include "sheet_goods/engine/sheet_plan.hpp"

#include <algorithm>
#include <map>
#include <numeric>
#include <optional>
#include <span>
#include <tuple>

namespace aumbry::sheet_goods {

namespace {

/// More sheets than the plan on whole ones has, at most.
constexpr std::int64_t most_more_sheets = 4;
/// Sets of sheets that are tried once a dearer one holds all parts.
constexpr int most_cheaper_sets = 3;
/// More cuts than a division needs that are still allowed.
constexpr int most_more_cuts = 2;

/// A division, or a whole sheet, as the search sees it.
struct Divided {
    const Division* division = nullptr; ///< none: whole
    std::vector<int> kinds;             ///< of sheet, of the rooms that any part fits
    std::vector<std::size_t> rooms;     ///< index in Division::rooms, of each of them
};

std::int64_t steps_for(Effort effort, std::size_t parts) {
    const auto n = static_cast<std::int64_t>(parts);
    const std::int64_t quick = std::clamp<std::int64_t>(25'000 * n, 100'000, 2'500'000);
    if (effort == Effort::draft) return quick / 4;
    const std::int64_t usual = std::clamp<std::int64_t>(400 * n * n, 400'000, 10'000'000);
    return effort == Effort::normal ? usual : 16 * usual;
}

std::size_t memory_for(Effort effort) {
    return effort == Effort::draft ? 50 : effort == Effort::normal ? 200 : 1000;
}

class PlanningDivided {
  public:
    PlanningDivided(const CuttingJob& job, const std::vector<std::span<const Division>>& divisions,
                    Effort effort, std::uint64_t seed, const Easing& easing)
        : job_(job), effort_(effort), seed_(seed), easing_(easing) {
        rooms_.parts = job.parts;
        rooms_.kerf = job.kerf;
        rooms_.stop = job.stop;
        for (std::size_t i = 0; i < job.formats.size(); ++i) add_format(i, divisions[i]);
    }

    Plan plan() {
        // What a longer search would add to this plan and its bound is seldom worth its time.
        CuttingJob on_whole_sheets = job_;
        on_whole_sheets.effort = effort_ == Effort::thorough ? Effort::normal : Effort::draft;
        Plan whole = cut(on_whole_sheets);
        if (!whole.unplaced.empty()) return whole;
        if (!every_part_fits()) return nothing(std::move(whole));
        look_at_rooms();
        for (const std::vector<std::int64_t>& sheets : sets_of(whole)) {
            auto found = place_on(sheets);
            if (!found) continue;
            if (effort_ != Effort::draft)
                found = on_cheaper_sheets(std::move(*found), sheets, whole.lower_bound_cost);
            return finish(eased(std::move(*found), whole), whole);
        }
        return nothing(std::move(whole));
    }

    /// Of the divisions of the only format, what each holds when it is filled in a plain order.
    std::vector<std::pair<const Division*, std::int64_t>> held() {
        look_at_rooms();
        std::vector<std::pair<const Division*, std::int64_t>> areas;
        for (const Divided& way : ways_.front()) areas.emplace_back(way.division, area_held(way));
        return areas;
    }

    Plan again(const Plan& known) {
        look_at_rooms();
        auto found =
            place_on(sheets_of(known), most_more_cuts, steps_for(effort_, problem_.items.size()));
        return found ? finish(eased(std::move(*found), known), known) : nothing(known);
    }

  private:
    /// Sheets, and the ways in which each may be divided.
    struct Chosen {
        std::vector<std::size_t> formats;
        std::vector<std::vector<const Divided*>> ways;
    };
    struct Found {
        Chosen chosen;
        Packing packing;
    };

    void look_at_rooms() {
        problem_ = prepare(rooms_);
        std::vector<int> kind_of(rooms_.formats.size(), -1);
        for (std::size_t kind = 0; kind < problem_.sheets.size(); ++kind)
            kind_of[static_cast<std::size_t>(problem_.sheets[kind].format)] =
                static_cast<int>(kind);
        for (auto& ways : ways_)
            for (Divided& way : ways)
                for (int& kind : way.kinds) kind = kind_of[static_cast<std::size_t>(kind)];
    }

    [[nodiscard]] std::int64_t area_held(const Divided& way) {
        if (by_area_.empty()) by_area_ = in_sequence(problem_, Sequence::by_area);
        std::vector<Layout> blanks;
        for (const int kind : way.kinds)
            blanks.emplace_back(kind, problem_.sheets[static_cast<std::size_t>(kind)].size);
        std::int64_t held = 0;
        int full_for = -1;
        for (const int item : by_area_) {
            const int kind = problem_.items[static_cast<std::size_t>(item)];
            if (kind == full_for) continue;
            const PartKind& part = problem_.parts[static_cast<std::size_t>(kind)];
            Insertion best;
            Layout* best_blank = nullptr;
            for (Layout& blank : blanks) {
                bool here = false;
                blank.find_place(part, best, here, steps_);
                if (here) best_blank = &blank;
            }
            if (best_blank == nullptr) {
                full_for = kind;
                continue;
            }
            best_blank->insert(part, item, best);
            held += part.area;
        }
        return held;
    }

    void add_format(std::size_t index, std::span<const Division> divisions) {
        const Format& format = job_.formats[index];
        std::vector<Divided> ways;
        if (divisions.empty()) {
            ways.push_back({nullptr, {static_cast<int>(rooms_.formats.size())}, {0}});
            rooms_.formats.push_back(format);
            rooms_.formats.back().cost = 0;
            rooms_.formats.back().limit.reset();
        }
        for (const Division& division : divisions) {
            Divided way;
            way.division = &division;
            for (std::size_t i = 0; i < division.rooms.size(); ++i) {
                if (!holds_a_part(division.rooms[i])) continue;
                way.kinds.push_back(add_room(division.rooms[i], format));
                way.rooms.push_back(i);
            }
            if (!way.kinds.empty()) ways.push_back(std::move(way));
        }
        ways_.push_back(std::move(ways));
    }

    [[nodiscard]] bool holds_a_part(const Blank& room) const {
        return std::any_of(job_.parts.begin(), job_.parts.end(), [&](const Part& part) {
            return std::min(part.length, part.width) <= std::min(room.length, room.width) &&
                   std::max(part.length, part.width) <= std::max(room.length, room.width);
        });
    }

    int add_room(const Blank& room, const Format& of) {
        const auto key = std::tuple(room.length, room.width, of.grain);
        const auto [known, added] = room_formats_.try_emplace(key, rooms_.formats.size());
        if (added) {
            Format format;
            format.name = of.name;
            format.length = room.length;
            format.width = room.width;
            format.grain = of.grain;
            rooms_.formats.push_back(std::move(format));
        }
        return static_cast<int>(known->second);
    }

    [[nodiscard]] bool every_part_fits() const {
        return std::all_of(job_.parts.begin(), job_.parts.end(), [&](const Part& part) {
            return part.count == 0 ||
                   std::any_of(rooms_.formats.begin(), rooms_.formats.end(),
                               [&](const Format& room) { return can_lie(part, room); });
        });
    }

    /// Nothing can be placed on what is handed over; the bound stands.
    [[nodiscard]] Plan nothing(Plan whole) const {
        whole.sheets.clear();
        whole.proven = false;
        for (std::size_t part = 0; part < job_.parts.size(); ++part)
            if (job_.parts[part].count > 0)
                whole.unplaced.push_back({static_cast<int>(part), job_.parts[part].count});
        return whole;
    }

    /// By format.
    [[nodiscard]] std::vector<std::int64_t> sheets_of(const Plan& plan) const {
        std::vector<std::int64_t> counts(job_.formats.size(), 0);
        for (const SheetPlan& sheet : plan.sheets)
            counts[static_cast<std::size_t>(sheet.format)] += sheet.copies;
        return counts;
    }

    /// The sheets of the plan on whole ones, then more of one format or another, cheapest first.
    [[nodiscard]] std::vector<std::vector<std::int64_t>> sets_of(const Plan& whole) const {
        const std::vector<std::int64_t> first = sheets_of(whole);
        std::vector<std::vector<std::int64_t>> sets{first};
        for (std::int64_t more = 1; more <= most_more_sheets; ++more) {
            for (std::size_t i = 0; i < first.size(); ++i) {
                std::vector<std::int64_t> set = first;
                set[i] += more;
                if (!job_.formats[i].limit || set[i] <= *job_.formats[i].limit)
                    sets.push_back(std::move(set));
            }
        }
        std::stable_sort(sets.begin(), sets.end(), [&](const auto& a, const auto& b) {
            return std::pair(cost_of(a), std::accumulate(a.begin(), a.end(), std::int64_t{0})) <
                   std::pair(cost_of(b), std::accumulate(b.begin(), b.end(), std::int64_t{0}));
        });
        return sets;
    }

    /// The same with one sheet fewer, or of another format, as long as that costs less.
    Found on_cheaper_sheets(Found found, std::vector<std::int64_t> set, std::int64_t least_cost) {
        for (int tries = 0; tries < most_cheaper_sets;) {
            std::vector<std::vector<std::int64_t>> sets;
            for (std::size_t from = 0; from < set.size(); ++from) {
                if (set[from] == 0) continue;
                for (std::size_t to = 0; to < set.size(); ++to) {
                    std::vector<std::int64_t> other = set;
                    --other[from];
                    if (to != from) ++other[to];
                    if (cost_of(other) < least_cost || cost_of(other) >= cost_of(set) ||
                        (job_.formats[to].limit && other[to] > *job_.formats[to].limit))
                        continue;
                    sets.push_back(std::move(other));
                }
            }
            // Those that cost little less are the likeliest.
            std::stable_sort(sets.begin(), sets.end(),
                             [&](const auto& a, const auto& b) { return cost_of(a) > cost_of(b); });
            bool any = false;
            for (const std::vector<std::int64_t>& other : sets) {
                if (tries++ == most_cheaper_sets) break;
                if (auto cheaper = place_on(other)) {
                    found = std::move(*cheaper);
                    set = other;
                    any = true;
                    break;
                }
            }
            if (!any) break;
        }
        return found;
    }

    [[nodiscard]] std::int64_t cost_of(const std::vector<std::int64_t>& set) const {
        std::int64_t cost = 0;
        for (std::size_t i = 0; i < set.size(); ++i) cost += set[i] * job_.formats[i].cost;
        return cost;
    }

    /// Any divisions first; then, where that went well, with as few cuts as can be.
    std::optional<Found> place_on(const std::vector<std::int64_t>& set) {
        const std::int64_t steps = steps_for(effort_, problem_.items.size());
        std::optional<Found> found = place_on(set, most_more_cuts, steps);
        for (int more = 0; found && more < most_more_cuts && cuts_of(*found) > fewest_cuts(set);
             ++more)
            if (auto fewer = place_on(set, more, steps / 4)) return fewer;
        return found;
    }

    std::optional<Found> place_on(const std::vector<std::int64_t>& set, int more_cuts,
                                  std::int64_t steps) {
        auto chosen = chosen_from(set, more_cuts);
        if (!chosen) return std::nullopt;
        Found found{std::move(*chosen), {}};
        found.packing = place_on_divided(problem_, kinds_of(found.chosen),
                                         improvement(steps, more_cuts), steps_);
        if (!found.packing.unplaced.empty()) return std::nullopt;
        return found;
    }

    [[nodiscard]] std::optional<Chosen> chosen_from(const std::vector<std::int64_t>& set,
                                                    int more_cuts) const {
        Chosen chosen;
        for (std::size_t i = 0; i < set.size(); ++i) {
            if (set[i] == 0) continue;
            if (ways_[i].empty()) return std::nullopt;
            std::vector<const Divided*> allowed;
            for (const Divided& way : ways_[i])
                if (cuts_of(way) - cuts_of(ways_[i].front()) <= more_cuts) allowed.push_back(&way);
            for (std::int64_t copy = 0; copy < set[i]; ++copy) {
                chosen.formats.push_back(i);
                chosen.ways.push_back(allowed);
            }
        }
        return chosen;
    }

    Found eased(Found found, const Plan& whole) {
        if (easing_.tries == 0) return found;
        const Burden burden = [&](const Packing& packing) {
            return easing_.burden(finish({found.chosen, packing}, whole));
        };
        found.packing = ease(problem_, kinds_of(found.chosen), std::move(found.packing), burden,
                             easing_.tries, seed_, steps_);
        return found;
    }

    static std::vector<DividedSheet> kinds_of(const Chosen& chosen) {
        std::vector<DividedSheet> sheets;
        for (const auto& ways : chosen.ways) {
            sheets.emplace_back();
            for (const Divided* way : ways) sheets.back().push_back(way->kinds);
        }
        return sheets;
    }

    [[nodiscard]] Improvement improvement(std::int64_t steps, int more_cuts) const {
        Improvement improvement;
        improvement.last_step = steps_ + steps;
        improvement.memory = memory_for(effort_);
        improvement.seed = seed_ * 10 + static_cast<std::uint64_t>(more_cuts);
        return improvement;
    }

    [[nodiscard]] std::int64_t fewest_cuts(const std::vector<std::int64_t>& set) const {
        std::int64_t cuts = 0;
        for (std::size_t i = 0; i < set.size(); ++i)
            if (set[i] > 0) cuts += set[i] * cuts_of(ways_[i].front());
        return cuts;
    }

    [[nodiscard]] std::int64_t cuts_of(const Found& found) const {
        std::int64_t cuts = 0;
        std::size_t first = 0;
        for (std::size_t i = 0; i < found.chosen.formats.size(); ++i) {
            const std::vector<Layout> blanks = blanks_of(found, i, first);
            cuts += cuts_of(way_of(blanks, found.chosen.ways[i]));
        }
        return cuts;
    }

    /// Those of a sheet of what was found; `first` of the packing's sheets, then that of the next.
    static std::vector<Layout> blanks_of(const Found& found, std::size_t sheet,
                                         std::size_t& first) {
        std::size_t most = 0;
        for (const Divided* way : found.chosen.ways[sheet])
            most = std::max(most, way->kinds.size());
        const auto begin = found.packing.sheets.begin() + static_cast<std::ptrdiff_t>(first);
        first += most;
        return {begin, begin + static_cast<std::ptrdiff_t>(most)};
    }

    static int cuts_of(const Divided& way) {
        return way.division == nullptr ? 0 : static_cast<int>(way.division->cuts.size());
    }

    Plan finish(const Found& found, const Plan& whole) const {
        Plan plan;
        std::vector<SheetPlan> sheets;
        std::size_t first = 0;
        for (std::size_t i = 0; i < found.chosen.formats.size(); ++i) {
            const std::vector<Layout> blanks = blanks_of(found, i, first);
            if (std::all_of(blanks.begin(), blanks.end(),
                            [](const Layout& blank) { return blank.empty(); }))
                continue; // one sheet fewer is enough
            sheets.push_back(sheet_of(blanks, way_of(blanks, found.chosen.ways[i])));
            sheets.back().format = static_cast<int>(found.chosen.formats[i]);
            plan.cost += job_.formats[found.chosen.formats[i]].cost;
        }
        plan.sheet_count = static_cast<std::int64_t>(sheets.size());
        plan.sheets = gather_copies(std::move(sheets));
        plan.lower_bound_sheets = whole.lower_bound_sheets;
        plan.lower_bound_cost = whole.lower_bound_cost;
        plan.bound_method = whole.bound_method;
        plan.proven =
            plan.cost <= plan.lower_bound_cost && plan.sheet_count <= plan.lower_bound_sheets;
        plan.steps = whole.steps + steps_;
        return plan;
    }

    /// The way in which a sheet was divided in the end.
    [[nodiscard]] const Divided& way_of(const std::vector<Layout>& blanks,
                                        const std::vector<const Divided*>& ways) const {
        const auto is_it = [&](const Divided* way) {
            for (std::size_t i = 0; i < blanks.size(); ++i) {
                const bool used = i < way->kinds.size();
                const GridSize none{0, 0};
                if (blanks[i].size() !=
                    (used ? problem_.sheets[static_cast<std::size_t>(way->kinds[i])].size : none))
                    return false;
            }
            return true;
        };
        return **std::find_if(ways.begin(), ways.end(), is_it);
    }

    [[nodiscard]] SheetPlan sheet_of(const std::vector<Layout>& blanks, const Divided& way) const {
        if (way.division == nullptr) return draw_sheet(rooms_, problem_, blanks.front());
        SheetPlan sheet;
        sheet.blanks = way.division->blanks;
        sheet.cuts = way.division->cuts;
        for (const std::size_t blank : way.division->handed_over) sheet.blanks[blank].offcut = true;
        for (std::size_t i = 0; i < way.kinds.size(); ++i) {
            if (blanks[i].empty()) continue;
            add_blank(sheet, draw_sheet(rooms_, problem_, blanks[i]),
                      way.division->handed_over[way.rooms[i]], way.division->rooms[way.rooms[i]]);
        }
        return sheet;
    }

    /// What is cut from one of the dealer's blanks.
    static void add_blank(SheetPlan& sheet, const SheetPlan& cut_from_it, std::size_t blank,
                          const Blank& room) {
        sheet.blanks[blank].offcut = false;
        sheet.blanks[blank].part = cut_from_it.blanks.front().part;
        sheet.blanks[blank].rotated = cut_from_it.blanks.front().rotated;
        const auto others = static_cast<int>(sheet.blanks.size()) - 1; // blank 1 comes after these
        for (std::size_t i = 1; i < cut_from_it.blanks.size(); ++i) {
            sheet.blanks.push_back(cut_from_it.blanks[i]);
            sheet.blanks.back().x += room.x;
            sheet.blanks.back().y += room.y;
        }
        const auto there = [&](int index) {
            return index < 0 ? -1 : index == 0 ? static_cast<int>(blank) : index + others;
        };
        for (Cut made : cut_from_it.cuts) {
            made.blank = there(made.blank);
            made.first = there(made.first);
            made.second = there(made.second);
            sheet.cuts.push_back(made);
        }
        for (Placement placement : cut_from_it.placements) {
            placement.x += room.x;
            placement.y += room.y;
            sheet.placements.push_back(placement);
        }
    }

    std::vector<int> by_area_; ///< all items
    const CuttingJob& job_;
    Effort effort_;
    std::uint64_t seed_;
    const Easing& easing_;
    CuttingJob rooms_; ///< the same parts, on the blanks that dealers hand over
    std::map<std::tuple<Steps, Steps, Grain>, std::size_t> room_formats_;
    std::vector<std::vector<Divided>> ways_; ///< for each format
    Problem problem_;
    std::int64_t steps_ = 0;
};

} // namespace

std::vector<Division> most_holding(const CuttingJob& job, const std::vector<Division>& divisions,
                                   std::size_t count) {
    if (divisions.size() <= count) return divisions;
    CuttingJob one = job;
    std::erase_if(one.parts, [&](const Part& part) {
        return std::none_of(divisions.begin(), divisions.end(), [&](const Division& division) {
            return std::any_of(division.rooms.begin(), division.rooms.end(),
                               [&](const Blank& room) {
                                   Format blank;
                                   blank.length = room.length;
                                   blank.width = room.width;
                                   blank.grain = job.formats.front().grain;
                                   return can_lie(part, blank);
                               });
        });
    });
    if (one.parts.empty()) return {};
    std::vector<std::tuple<std::int64_t, std::size_t, std::size_t>> ranks;
    for (const auto& [division, area] :
         PlanningDivided(one, {divisions}, Effort::draft, 0, {}).held())
        ranks.emplace_back(-area, division->cuts.size(),
                           static_cast<std::size_t>(division - divisions.data()));
    std::sort(ranks.begin(), ranks.end());
    if (ranks.size() > count) ranks.resize(count);
    std::vector<std::size_t> kept;
    for (const auto& [area, cuts, index] : ranks) kept.push_back(index);
    std::sort(kept.begin(), kept.end());
    std::vector<Division> best;
    for (const std::size_t index : kept) best.push_back(divisions[index]);
    return best;
}

Plan cut_divided(const CuttingJob& job, const std::vector<std::span<const Division>>& divisions,
                 const Easing& easing) {
    return PlanningDivided(job, divisions, job.effort, 0, easing).plan();
}

Plan cut_again(const CuttingJob& job, const std::vector<std::span<const Division>>& divisions,
               const Plan& known, std::uint64_t seed, const Easing& easing) {
    return PlanningDivided(job, divisions, Effort::draft, seed, easing).again(known);
}

} // namespace aumbry::sheet_goods
