#include "sheet_goods/engine/bounds.hpp"
#include "sheet_goods/engine/constructive.hpp"
#include "sheet_goods/engine/cost_bound.hpp"
#include "sheet_goods/engine/cutting.hpp"
#include "sheet_goods/engine/exact.hpp"
#include "sheet_goods/engine/improve.hpp"
#include "sheet_goods/engine/packing.hpp"
#include "sheet_goods/engine/pattern_bound.hpp"
#include "sheet_goods/engine/sheet_plan.hpp"

#include <algorithm>
#include <optional>
#include <utility>

namespace aumbry::sheet_goods {

namespace {

bool is_proven(const CuttingJob& order, const Plan& plan) {
    if (!plan.unplaced.empty() || plan.cost != plan.lower_bound_cost) return false;
    const bool free_of_cost = std::all_of(order.formats.begin(), order.formats.end(),
                                          [](const Format& format) { return format.cost == 0; });
    return !free_of_cost || plan.sheet_count == plan.lower_bound_sheets;
}

Plan make_plan(const CuttingJob& order, const Problem& problem, const Packing& packing,
               const Bound& bound, std::int64_t steps) {
    Plan plan;
    std::vector<SheetPlan> sheets;
    for (const Layout& layout : packing.sheets) {
        sheets.push_back(draw_sheet(order, problem, layout));
        plan.cost += order.formats[static_cast<std::size_t>(sheets.back().format)].cost;
    }
    plan.sheet_count = static_cast<std::int64_t>(sheets.size());
    plan.sheets = gather_copies(std::move(sheets));
    std::vector<std::int64_t> left(order.parts.size(), 0);
    for (const int item : packing.unplaced) {
        const int kind = problem.items[static_cast<std::size_t>(item)];
        ++left[static_cast<std::size_t>(problem.parts[static_cast<std::size_t>(kind)].part)];
    }
    for (std::size_t part = 0; part < left.size(); ++part)
        if (left[part] > 0) plan.unplaced.push_back({static_cast<int>(part), left[part]});
    plan.lower_bound_sheets = bound.sheets;
    plan.lower_bound_cost = bound.cost;
    plan.bound_method = bound.method;
    plan.steps = steps;
    plan.proven = is_proven(order, plan);
    return plan;
}

/// The plan given as a start, with what the order asks for beyond it.
Packing warm_start(const CuttingJob& order, const Problem& problem, std::int64_t& steps) {
    std::vector<std::vector<int>> wanted(problem.parts.size());
    for (std::size_t item = problem.items.size(); item-- > 0;)
        wanted[static_cast<std::size_t>(problem.items[item])].push_back(static_cast<int>(item));
    Packing packing;
    std::vector<std::int64_t> used(problem.sheets.size(), 0);
    for (const SheetPlan& sheet : order.warm_start->sheets) {
        for (std::int64_t copy = 0; copy < sheet.copies; ++copy) {
            Layout layout = read_sheet(problem, sheet, wanted);
            if (layout.empty()) break;
            const auto kind = static_cast<std::size_t>(layout.sheet());
            if (used[kind] < problem.sheets[kind].limit) {
                ++used[kind];
                packing.sheets.push_back(std::move(layout));
                continue;
            }
            std::vector<int> items;
            layout.clear(items);
            for (const int item : items)
                wanted[static_cast<std::size_t>(problem.items[static_cast<std::size_t>(item)])]
                    .push_back(item);
            break;
        }
    }
    std::vector<bool> left(problem.items.size(), false);
    for (const std::vector<int>& items : wanted)
        for (const int item : items) left[static_cast<std::size_t>(item)] = true;
    for (const int item : in_sequence(problem, Sequence::by_area))
        if (left[static_cast<std::size_t>(item)]) packing.unplaced.push_back(item);
    place_rest(problem, packing, Begin::best_value, steps);
    return packing;
}

/// How much work an effort adds to the one below it.
struct Work {
    std::int64_t steps = 0;         ///< towards a lower price
    std::int64_t race_steps = 0;    ///< the same, with several kinds of sheet
    std::int64_t polish = 0;        ///< for the offcut, once the price cannot be beaten
    std::size_t memory = 1;         ///< of late acceptance
    std::size_t race_memory = 1;    ///< the same, with several kinds of sheet
    std::size_t functions = 0;      ///< dual feasible functions of each family and axis
    std::int64_t pattern_steps = 0; ///< for the bound from patterns
    bool exact = false;             ///< whether small orders are settled exactly
};

std::vector<Work> work_for(Effort effort, std::size_t parts) {
    const auto n = static_cast<std::int64_t>(parts);
    // Beyond this many parts a draft is the first packing alone.
    constexpr std::int64_t drafted_once = 1500;
    const std::int64_t quick =
        n <= drafted_once ? std::clamp<std::int64_t>(25'000 * n, 100'000, 2'500'000) : 0;
    std::vector<Work> work{{.steps = quick, .memory = 50, .functions = 12}};
    if (effort == Effort::draft) return work;
    const std::int64_t usual = std::clamp<std::int64_t>(4000 * n * n, 4'000'000, 100'000'000);
    work.push_back({.steps = usual,
                    .race_steps = usual,
                    .polish = 500'000,
                    .memory = 200,
                    .race_memory = 200,
                    .functions = 40,
                    .pattern_steps = 60'000'000,
                    .exact = true});
    if (effort == Effort::normal) return work;
    work.push_back({.steps = 100'000'000,
                    .race_steps = 2'000'000'000,
                    .polish = 5'000'000,
                    .memory = 1000,
                    .race_memory = 4000,
                    .functions = 100,
                    .pattern_steps = 200'000'000});
    work.push_back({.steps = 400'000'000, .polish = 5'000'000, .memory = 4000});
    return work;
}

class Planning {
  public:
    explicit Planning(const CuttingJob& order) : order_(order), problem_(prepare(order)) {}

    Plan plan() {
        packing_ = construct_best(problem_, steps_);
        if (order_.warm_start) keep_better(warm_start(order_, problem_, steps_));
        bound_ = area_bound(order_, problem_);
        std::uint64_t seed = 0;
        for (const Work& work : work_for(order_.effort, problem_.items.size())) {
            if (work.functions > 0 && !cannot_be_beaten())
                bound_.raise(dual_feasible_bound(order_, problem_, work.functions));
            if (work.exact && !cannot_be_beaten()) settle_exactly();
            if (work.pattern_steps > 0 && !cannot_be_beaten())
                bound_by_patterns(steps_ + work.pattern_steps);
            improve_by(work, ++seed);
            race_by(work, ++seed);
        }
        return make_plan(order_, problem_, packing_, bound_, steps_);
    }

  private:
    [[nodiscard]] std::int64_t cost() const {
        std::int64_t cost = 0;
        for (const Layout& layout : packing_.sheets)
            cost += order_
                        .formats[static_cast<std::size_t>(
                            problem_.sheets[static_cast<std::size_t>(layout.sheet())].format)]
                        .cost;
        return cost;
    }

    [[nodiscard]] bool cannot_be_beaten() const {
        const std::int64_t cost = this->cost();
        return packing_.unplaced.empty() && cost <= bound_.cost &&
               (cost > 0 || static_cast<std::int64_t>(packing_.sheets.size()) <= bound_.sheets);
    }

    void bound_by_patterns(std::int64_t last_step) {
        if (problem_.sheets.size() == 1) {
            const auto used = static_cast<std::int64_t>(packing_.sheets.size());
            bound_.raise(pattern_bound(order_, problem_, bound_.sheets, used, steps_, last_step));
        } else if (packing_.unplaced.empty()) {
            bound_.raise(cost_bound(
                order_, problem_, bound_.cost, cost(),
                {.steps = std::min<std::int64_t>(last_step - steps_, CostBoundDetail{}.steps)},
                steps_));
        }
    }

    void settle_exactly() {
        std::optional<ExactPacking> exact = exact_packing(problem_, steps_);
        if (!exact) return;
        bound_.raise(exact->bound);
        if (!exact->packing.sheets.empty()) keep_better(std::move(exact->packing));
    }

    void keep_better(Packing packing) {
        if (better(problem_, packing, packing_)) packing_ = std::move(packing);
    }

    void improve_by(const Work& work, std::uint64_t seed) {
        if (packing_.sheets.empty() || work.steps == 0) return;
        const std::int64_t first_step = steps_;
        Improvement improvement;
        improvement.memory = work.memory;
        do {
            improvement.last_step = first_step + (cannot_be_beaten() ? work.polish : work.steps);
            improvement.most_price = packing_.price(problem_) - 1;
            improvement.seed = seed * 1000 + packing_.sheets.size();
            if (steps_ >= improvement.last_step) break;
            Packing next = improve(problem_, packing_, improvement, steps_);
            // What is left over of a goal missed may still leave a larger offcut than before.
            if (!next.unplaced.empty()) place_rest(problem_, next, Begin::best_value, steps_);
            move_to_cheaper_sheets(problem_, next);
            keep_better(std::move(next));
        } while (steps_ < improvement.last_step);
    }

    /// With several kinds of sheet: whole choices of sheets are tried against each other.
    void race_by(const Work& work, std::uint64_t seed) {
        constexpr std::size_t sets_tried = 8;
        if (problem_.sheets.size() < 2 || work.race_steps == 0) return;
        const std::int64_t last_step = steps_ + work.race_steps;
        while (steps_ < last_step && !cannot_be_beaten()) {
            const std::int64_t goal = packing_.price(problem_) - 1;
            const std::vector<SheetSet> sets = promising_sets(problem_, goal, sets_tried);
            if (sets.empty()) return;
            Packing next =
                race(problem_, sets, {goal, last_step, work.race_memory, seed * 1000}, steps_);
            if (!next.unplaced.empty()) return;
            move_to_cheaper_sheets(problem_, next);
            keep_better(std::move(next));
        }
    }

    const CuttingJob& order_;
    Problem problem_;
    Packing packing_;
    Bound bound_;
    std::int64_t steps_ = 0;
};

} // namespace

Plan cut(const CuttingJob& order) {
    return Planning(order).plan();
}

} // namespace aumbry::sheet_goods
