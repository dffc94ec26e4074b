#include "aumbry/purchase_curves.hpp"

#include "line/in_project.hpp"
#include "line/procure/second_orders.hpp"
#include "line/run.hpp"

#include <algorithm>

namespace aumbry {
namespace {

std::string name_of(const ProcureProblem& problem, const std::string& supplier) {
    const auto found =
        std::find_if(problem.suppliers.begin(), problem.suppliers.end(),
                     [&](const SupplierTerms& terms) { return terms.supplier.id == supplier; });
    return found == problem.suppliers.end() ? supplier : found->supplier.name;
}

void add_differences(std::vector<PurchaseStep>& curve, const Money& least) {
    for (PurchaseStep& step : curve) step.more = step.cost - least;
}

Json to_json(const std::vector<PurchaseStep>& curve) {
    Json list = Json::array();
    for (const PurchaseStep& step : curve) {
        Json goods = Json::array();
        for (const PurchaseStep::Goods& of : step.goods)
            goods.push_back({{"offer", of.offer}, {"count", of.count}});
        list.push_back({{"suppliers", step.suppliers},
                        {"goods", goods},
                        {"cost", step.cost.str()},
                        {"more", step.more.str()},
                        {"lower_bound", step.lower_bound.str()},
                        {"proven", step.proven},
                        {"ready", format_date(step.ready)}});
    }
    return list;
}

} // namespace

PurchaseCurves purchase_curves(const Project& project, PluginHost& host, const Catalog& catalog,
                               const EstimateOptions& options) {
    BeforePurchase prepared = run_line(project, host, catalog, options);
    prepared.problem.objective = Objective::cheapest;
    const auto step_of = [&](const Procurement& chosen, const ProcureProblem& problem) {
        Procurement bought = by_listed_offers(chosen, prepared.problem);
        bound_all_ways(prepared.settled, problem, bought);
        PurchaseStep step;
        for (const SupplierOrder& order : bought.orders) step.suppliers.push_back(order.supplier);
        for (const Purchase& purchase : bought.purchases)
            if (!purchase.owned)
                step.goods.push_back({purchase.offer, name_of(prepared.problem, purchase.supplier),
                                      purchase.description, purchase.count});
        step.cost = bought.cost;
        step.lower_bound = bought.bound.value_or(bought.lower_bound);
        step.proven = bought.bound && !(*bought.bound < bought.cost);
        const Followed followed = follow(prepared.resolved, prepared.taken, bought, host,
                                         catalog.tables(), options.effort);
        step.ready = schedule_work(prepared.resolved, prepared.taken, prepared.earliest,
                                   prepared.problem, bought, followed)
                         .schedule.ready;
        return step;
    };
    PurchaseCurves made;
    made.title = prepared.resolved.title;
    made.alternative = project.alternative;
    made.currency = prepared.resolved.currency;
    in_project(project, [&] {
        for (const Procurement& bought : cost_by_finish(prepared.problem)) {
            ProcureProblem by = prepared.problem;
            by.finish_by = bought.finish;
            PurchaseStep step = step_of(bought, by);
            if (made.by_finish.empty() || step.ready < made.by_finish.back().ready)
                made.by_finish.push_back(std::move(step));
        }
        for (const Procurement& bought : cost_by_supplier_count(prepared.problem)) {
            ProcureProblem from = prepared.problem;
            from.max_suppliers = static_cast<int>(bought.orders.size());
            made.by_suppliers.push_back(step_of(bought, from));
        }
    });
    if (!made.by_finish.empty()) add_differences(made.by_finish, made.by_finish.front().cost);
    if (!made.by_suppliers.empty())
        add_differences(made.by_suppliers, made.by_suppliers.back().cost);
    return made;
}

Json to_json(const PurchaseCurves& curves) {
    return {{"title", curves.title},
            {"alternative", curves.alternative},
            {"currency", curves.currency.code},
            {"by_finish", to_json(curves.by_finish)},
            {"by_suppliers", to_json(curves.by_suppliers)}};
}

} // namespace aumbry
