#include "sheet_goods/engine/exact.hpp"

#include <algorithm>
#include <functional>
#include <limits>
#include <numeric>
#include <utility>

namespace aumbry::sheet_goods {

namespace {

constexpr std::int64_t most_sets = 6000; // for all sets of an order
constexpr std::int64_t most_sets_of_one_sheet = 1'000'000;

/// A box that holds a set of parts: one part, or two boxes side by side along an axis.
struct Box {
    GridSize size{};
    std::int32_t first_set = -1, first = -1, second_set = -1, second = -1;
    std::int8_t axis = 0;
    std::int16_t part = -1;
    bool turned = false;
};

/// Sets of parts are numbers: one digit for each kind, from 0 to its count, so that sets add up as
/// numbers do.
class Sets {
  public:
    explicit Sets(const Problem& problem) : problem_(problem) {
        for (const PartKind& part : problem.parts) {
            place_.push_back(total_);
            if (total_ > most_sets_of_one_sheet) continue; // too many in any case
            total_ *= part.count + 1;
        }
    }
    [[nodiscard]] std::int64_t total() const { return total_; }
    [[nodiscard]] std::int64_t of(std::size_t kind) const { return place_[kind]; }
    [[nodiscard]] std::int64_t count(std::int64_t set, std::size_t kind) const {
        return set / place_[kind] % (problem_.parts[kind].count + 1);
    }
    /// Whether both together take no more of any kind than there is.
    [[nodiscard]] bool add_up(std::int64_t a, std::int64_t b) const {
        for (std::size_t kind = 0; kind < place_.size(); ++kind)
            if (count(a, kind) + count(b, kind) > problem_.parts[kind].count) return false;
        return true;
    }
    [[nodiscard]] std::int64_t parts(std::int64_t set) const {
        std::int64_t sum = 0;
        for (std::size_t kind = 0; kind < place_.size(); ++kind) sum += count(set, kind);
        return sum;
    }

  private:
    const Problem& problem_;
    std::vector<std::int64_t> place_;
    std::int64_t total_ = 1;
};

/// All boxes that fit one kind of sheet; `worth_it` may refuse a box.
class Boxes {
  public:
    using WorthIt = std::function<bool(std::int64_t set, const GridSize& size)>;

    Boxes(const Problem& problem, const Sets& sets, std::size_t sheet, const WorthIt& worth_it,
          std::int64_t& steps, std::int64_t last_step)
        : problem_(problem), sets_(sets), sheet_(sheet), worth_it_(worth_it),
          boxes_(static_cast<std::size_t>(sets.total())) {
        std::vector<std::vector<std::int64_t>> by_count(problem.items.size() + 1);
        for (std::size_t kind = 0; kind < problem.parts.size(); ++kind) {
            for (const bool turned : {false, true}) {
                const PartKind& part = problem.parts[kind];
                if ((part.lies[sheet] & (turned ? lies_turned : lies_straight)) == 0) continue;
                Box box;
                box.size = turned ? part.turned() : part.size;
                box.part = static_cast<std::int16_t>(kind);
                box.turned = turned;
                add(sets.of(kind), box);
            }
            if (!of(sets.of(kind)).empty()) by_count[1].push_back(sets.of(kind));
        }
        for (std::size_t count = 2; count < by_count.size(); ++count) {
            for (std::size_t less = 1; 2 * less <= count; ++less)
                for (const std::int64_t a : by_count[less])
                    for (const std::int64_t b : by_count[count - less]) {
                        if (2 * less == count && b < a) continue;
                        ++steps;
                        problem.stop.step();
                        if (steps > last_step) return;
                        if (!sets.add_up(a, b)) continue;
                        const bool was_empty = of(a + b).empty();
                        combine(a, b, steps);
                        if (was_empty && !of(a + b).empty()) by_count[count].push_back(a + b);
                    }
        }
        complete_ = true;
    }

    [[nodiscard]] bool complete() const { return complete_; }
    [[nodiscard]] const std::vector<Box>& of(std::int64_t set) const {
        return boxes_[static_cast<std::size_t>(set)];
    }

    /// The layout of a set that has a box, with items taken from `items` (by kind).
    [[nodiscard]] Layout layout(std::int64_t set, std::vector<std::vector<int>>& items) const {
        Layout layout(static_cast<int>(sheet_), problem_.sheets[sheet_].size);
        build(layout, -1, -1, of(set).front(), items);
        layout.settle();
        return layout;
    }

  private:
    void add(std::int64_t set, const Box& box) {
        const GridSize& room = problem_.sheets[sheet_].size;
        if (box.size[0] > room[0] || box.size[1] > room[1] || !worth_it_(set, box.size)) return;
        std::vector<Box>& boxes = boxes_[static_cast<std::size_t>(set)];
        for (const Box& other : boxes)
            if (other.size[0] <= box.size[0] && other.size[1] <= box.size[1]) return;
        std::erase_if(boxes, [&](const Box& other) {
            return other.size[0] >= box.size[0] && other.size[1] >= box.size[1];
        });
        boxes.push_back(box);
    }

    void combine(std::int64_t a, std::int64_t b, std::int64_t& steps) {
        const std::vector<Box>& first = of(a);
        const std::vector<Box>& second = of(b);
        const auto pairs = static_cast<std::int64_t>(first.size() * second.size());
        steps += pairs;
        problem_.stop.step(pairs);
        for (std::size_t i = 0; i < first.size(); ++i)
            for (std::size_t j = 0; j < second.size(); ++j)
                for (std::size_t along = 0; along < 2; ++along) {
                    Box box;
                    box.size[along] = first[i].size[along] + second[j].size[along];
                    box.size[1 - along] =
                        std::max(first[i].size[1 - along], second[j].size[1 - along]);
                    box.first_set = static_cast<std::int32_t>(a);
                    box.first = static_cast<std::int32_t>(i);
                    box.second_set = static_cast<std::int32_t>(b);
                    box.second = static_cast<std::int32_t>(j);
                    box.axis = static_cast<std::int8_t>(along);
                    add(a + b, box);
                }
    }

    /// Boxes side by side along the axis of the row they are built into need no row of their own.
    void build(Layout& layout, int parent, int parent_axis, const Box& box,
               std::vector<std::vector<int>>& items) const {
        if (box.part >= 0) {
            std::vector<int>& of_kind = items[static_cast<std::size_t>(box.part)];
            layout.add_part(parent, problem_.parts[static_cast<std::size_t>(box.part)],
                            of_kind.back(), box.turned);
            of_kind.pop_back();
            return;
        }
        const int row =
            parent >= 0 && parent_axis == box.axis ? parent : layout.add_row(parent, box.axis);
        build(layout, row, box.axis, of(box.first_set)[static_cast<std::size_t>(box.first)], items);
        build(layout, row, box.axis, of(box.second_set)[static_cast<std::size_t>(box.second)],
              items);
    }

    const Problem& problem_;
    const Sets& sets_;
    std::size_t sheet_;
    const WorthIt& worth_it_;
    std::vector<std::vector<Box>> boxes_;
    bool complete_ = false;
};

/// The least price of sheets for every set, and how it is reached.
struct Cover {
    std::vector<std::int64_t> price,
        part_of;                   ///< for each set; part_of: the set on one of the sheets
    std::vector<std::size_t> kind; ///< of that sheet
};

} // namespace

std::optional<ExactPacking> exact_packing(const Problem& problem, std::int64_t& steps) {
    const Sets sets(problem);
    constexpr std::int64_t most_steps = 50'000'000;
    if (problem.items.empty() || sets.total() > most_sets) return std::nullopt;
    const Boxes::WorthIt always = [](std::int64_t, const GridSize&) { return true; };
    std::vector<Boxes> boxes;
    for (std::size_t sheet = 0; sheet < problem.sheets.size(); ++sheet) {
        boxes.emplace_back(problem, sets, sheet, always, steps, steps + most_steps);
        if (!boxes.back().complete()) return std::nullopt;
    }
    // Cheapest sheet that holds each set.
    constexpr std::int64_t none = std::numeric_limits<std::int64_t>::max() / 4;
    const auto total = static_cast<std::size_t>(sets.total());
    std::vector<std::int64_t> single(total, none);
    std::vector<std::size_t> single_kind(total, 0);
    std::vector<std::int64_t> held;
    for (std::int64_t set = 1; set < sets.total(); ++set) {
        const auto index = static_cast<std::size_t>(set);
        for (std::size_t sheet = 0; sheet < boxes.size(); ++sheet)
            if (!boxes[sheet].of(set).empty() && problem.sheets[sheet].price < single[index]) {
                single[index] = problem.sheets[sheet].price;
                single_kind[index] = sheet;
            }
        if (single[index] < none) held.push_back(set);
    }
    Cover cover{std::vector<std::int64_t>(total, none), std::vector<std::int64_t>(total, 0),
                std::vector<std::size_t>(total, 0)};
    cover.price[0] = 0;
    for (std::int64_t rest = 0; rest + 1 < sets.total(); ++rest) {
        if (cover.price[static_cast<std::size_t>(rest)] >= none) continue;
        // The first part not yet on a sheet comes on the next.
        std::size_t wanted = 0;
        while (sets.count(rest, wanted) == problem.parts[wanted].count) ++wanted;
        for (const std::int64_t set : held) {
            if (sets.count(set, wanted) == 0) continue;
            ++steps;
            problem.stop.step();
            if (rest + set >= sets.total()) break;
            if (!sets.add_up(rest, set)) continue;
            const auto both = static_cast<std::size_t>(rest + set);
            const std::int64_t price =
                cover.price[static_cast<std::size_t>(rest)] + single[static_cast<std::size_t>(set)];
            if (price >= cover.price[both]) continue;
            cover.price[both] = price;
            cover.part_of[both] = set;
            cover.kind[both] = single_kind[static_cast<std::size_t>(set)];
        }
    }
    const std::int64_t least = cover.price.back();
    if (least >= none) return std::nullopt;

    ExactPacking exact;
    exact.bound.method = "exact search";
    exact.bound.cost = least / problem.sheet_price;
    // With one kind of sheet the price counts the sheets; with several, fewer and dearer ones may
    // do.
    if (problem.sheets.size() == 1) exact.bound.sheets = least % problem.sheet_price;
    std::vector<std::vector<int>> items(problem.parts.size());
    for (std::size_t item = 0; item < problem.items.size(); ++item)
        items[static_cast<std::size_t>(problem.items[item])].push_back(static_cast<int>(item));
    for (std::int64_t set = sets.total() - 1; set > 0;) {
        const auto index = static_cast<std::size_t>(set);
        exact.packing.sheets.push_back(
            boxes[cover.kind[index]].layout(cover.part_of[index], items));
        set -= cover.part_of[index];
    }
    const std::vector<std::int64_t> used = exact.packing.sheets_used(problem);
    for (std::size_t sheet = 0; sheet < used.size(); ++sheet)
        if (used[sheet] > problem.sheets[sheet].limit) exact.packing = {};
    return exact;
}

std::optional<std::int64_t> most_value_of_one_sheet(const Problem& problem,
                                                    const std::vector<std::int64_t>& values,
                                                    std::int64_t most_steps) {
    const Sets sets(problem);
    if (sets.total() > most_sets_of_one_sheet) return std::nullopt;
    std::vector<std::size_t> by_density(values.size());
    std::iota(by_density.begin(), by_density.end(), std::size_t{0});
    std::sort(by_density.begin(), by_density.end(), [&](std::size_t a, std::size_t b) {
        return values[a] * problem.parts[b].area > values[b] * problem.parts[a].area;
    });
    const auto value_of = [&](std::int64_t set) {
        std::int64_t value = 0;
        for (std::size_t kind = 0; kind < values.size(); ++kind)
            value += values[kind] * sets.count(set, kind);
        return value;
    };
    // What the parts not in the set could add at most on that area, fractions of parts allowed.
    const auto most_beyond = [&](std::int64_t set, std::int64_t area) {
        std::int64_t value = 0;
        for (const std::size_t kind : by_density) {
            const std::int64_t part = problem.parts[kind].area;
            const std::int64_t count =
                std::min(problem.parts[kind].count - sets.count(set, kind), area / part);
            value += count * values[kind];
            area -= count * part;
            if (count < problem.parts[kind].count - sets.count(set, kind))
                return value + (values[kind] * area + part - 1) / part;
        }
        return value;
    };
    const std::int64_t whole = problem.sheets[0].area;
    const std::int64_t most = most_beyond(0, whole);
    std::int64_t steps = 0;
    // Only boxes from which `goal` can still be reached are kept; when it is reached, the best
    // found is the best.
    for (std::int64_t below = std::max<std::int64_t>(1, most / 64);; below *= 2) {
        const std::int64_t goal = most - below;
        const Boxes::WorthIt reaches_goal = [&](std::int64_t set, const GridSize& size) {
            return value_of(set) + most_beyond(set, whole - std::int64_t{size[0]} * size[1]) >=
                   goal;
        };
        const Boxes boxes(problem, sets, 0, reaches_goal, steps, most_steps);
        if (!boxes.complete()) return std::nullopt;
        std::int64_t best = 0;
        for (std::int64_t set = 0; set < sets.total(); ++set)
            if (!boxes.of(set).empty()) best = std::max(best, value_of(set));
        if (best >= goal || goal <= 0) return best;
    }
}

} // namespace aumbry::sheet_goods
