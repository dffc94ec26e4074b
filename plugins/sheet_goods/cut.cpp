#include "bounds.hpp"
#include "constructive.hpp"
#include "cutting.hpp"
#include "improve.hpp"
#include "packing.hpp"
#include "sheet_plan.hpp"

#include <algorithm>
#include <utility>
#include <cstdlib>

namespace aumbry::sheet_goods {

namespace {

bool is_proven(const Order& order, const Plan& plan) {
    if (!plan.unplaced.empty() || plan.cost != plan.lower_bound_cost) return false;
    const bool free_of_cost = std::all_of(order.formats.begin(), order.formats.end(),
                                          [](const Format& format) { return format.cost == 0; });
    return !free_of_cost || plan.sheet_count == plan.lower_bound_sheets;
}

Plan make_plan(const Order& order, const Problem& problem, const Packing& packing,
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

} // namespace

Plan cut(const Order& order) {
    const Problem problem = prepare(order);
    std::int64_t steps = 0;
    Packing packing = construct_best(problem, steps);
    Bound bound = area_bound(order, problem);
    bound.raise(dual_feasible_bound(order, problem, 12));
    const double ms = std::getenv("BUDGET") ? std::atof(std::getenv("BUDGET")) : 1;
    const std::int64_t last = steps + static_cast<std::int64_t>(ms * 1e6);
    std::uint64_t seed = 1;
    while (steps < last) {
        if (problem.sheets.size() == 1 && static_cast<std::int64_t>(packing.sheets.size()) <= bound.sheets) break;
        Packing next = improve(problem, packing, packing.price(problem) - 1, seed++, steps, last);
        if (!next.unplaced.empty()) break;
        move_to_cheaper_sheets(problem, next);
        packing = std::move(next);
    }
    return make_plan(order, problem, packing, bound, steps);
}

} // namespace aumbry::sheet_goods
