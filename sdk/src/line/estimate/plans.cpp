#include "line/estimate/plans.hpp"

#include "line/recorded/bought.hpp"

#include <algorithm>

namespace aumbry {
namespace {

void take(contract::Plans from, const std::string& demand, EstimatePlans& into) {
    const auto move_to = [&](auto& plans, auto& list) {
        for (auto& plan : plans) {
            plan.demand = demand;
            list.push_back(std::move(plan));
        }
    };
    move_to(from.sheets, into.cutting);
    move_to(from.boards, into.board);
    move_to(from.lifts, into.lifts);
    for (Json& plan : from.others) {
        plan["demand"] = demand;
        into.further.push_back(std::move(plan));
    }
}

} // namespace

EstimatePlans plans_of(const TakenOff& taken, const Procurement& bought) {
    EstimatePlans plans;
    std::map<std::string, const contract::Demand*> demands;
    for (const contract::Demand& demand : taken.demands) demands[demand.id] = &demand;
    for (const Choice& choice : bought.choices) {
        if (choice.way.empty()) continue;
        const contract::Demand& demand = *demands.at(choice.demand);
        const auto way = std::find_if(demand.ways.begin(), demand.ways.end(),
                                      [&](const contract::Way& w) { return w.id == choice.way; });
        if (way == demand.ways.end()) continue;
        plans.to_keep[demand.id] = bought_plan_json(demand.shares, *way);
        const bool cut = demand.plan_type == "sheet" || demand.plan_type == "board";
        take(way->plans, choice.demand, plans);
        if (!cut) continue;
        EstimateBound bound;
        bound.demand = choice.demand;
        bound.module = choice.demand.substr(0, choice.demand.find('/'));
        bound.material = demand.title;
        bound.used = way->used;
        bound.lower_bound = way->lower_bound;
        bound.proven = way->proven;
        bound.yield = way->yield;
        bound.waste = way->waste;
        plans.bounds.push_back(std::move(bound));
    }
    return plans;
}

} // namespace aumbry
