#include "line/stages.hpp"

#include "line/recorded/bought.hpp"
#include "line/take_off/purchase_terms.hpp"

#include "aumbry/follow.hpp"
#include "aumbry/resolve.hpp"

#include <algorithm>

namespace aumbry {
namespace {

/// The earliest day on which each demand could be in hand, whatever is bought: fixes the order of
/// work.
Arrivals earliest_arrivals(const std::vector<contract::Demand>& demands,
                           const std::vector<SupplierTerms>& suppliers,
                           const std::vector<OfferTerms>& offers, Date start) {
    std::map<std::string, Date> by_offer;
    for (const OfferTerms& offer : offers) {
        if (offer.owned) {
            by_offer[offer.id] = std::max(start, offer.arrives.value_or(start));
            continue;
        }
        const auto supplier =
            std::find_if(suppliers.begin(), suppliers.end(),
                         [&](const SupplierTerms& s) { return s.supplier.id == offer.supplier; });
        if (supplier == suppliers.end()) continue;
        try {
            by_offer[offer.id] = arrival_date(supplier->supplier, offer, start);
        } catch (const FaultError&) {
            continue; // it never arrives: procure leaves it out and says so
        }
    }
    Arrivals earliest;
    for (const contract::Demand& demand : demands) {
        std::optional<Date> best;
        const auto weigh = [&](Date date) { best = best ? std::min(*best, date) : date; };
        if (demand.amount) {
            for (const contract::AmountOffer& offer : demand.amount->offers) {
                if (const auto found = by_offer.find(offer.offer); found != by_offer.end())
                    weigh(found->second);
            }
        }
        for (const contract::Way& way : demand.ways) {
            Date latest = start;
            for (const contract::Use& use : way.uses) {
                if (const auto found = by_offer.find(use.offer); found != by_offer.end())
                    latest = std::max(latest, found->second);
            }
            weigh(latest);
        }
        if (best) earliest[demand.id] = *best;
    }
    return earliest;
}

Arrivals arrivals_of(const Procurement& procurement) {
    Arrivals arrivals;
    for (const Choice& choice : procurement.choices) arrivals[choice.demand] = choice.arrives;
    return arrivals;
}

void take_off_and_keep(Prepared& made, PluginHost& host, const Catalog& catalog,
                       const std::string& effort) {
    Resolved& resolved = made.resolved;
    made.taken = take_off(resolved, host, catalog, effort);
    if (resolved.bought.empty()) return;
    Loose loose = keep_bought(resolved, made.taken, made.findings);
    const std::vector<OwnedItem> whole = bought_as_owned(resolved, catalog, loose);
    if (whole.empty()) return;
    loose.counts.clear();
    for (const OwnedItem& item : whole) loose.counts[item.id.substr(7)] = item.count;
    resolved.owned.insert(resolved.owned.end(), whole.begin(), whole.end());
    made.taken = take_off(resolved, host, catalog, effort);
    // What nothing asked for may be asked for now.
    std::erase_if(made.findings, [](const contract::Finding& finding) {
        return finding.code == "bought-for-nothing";
    });
    (void)keep_bought(resolved, made.taken, made.findings, loose);
}

} // namespace

Prepared prepare(const Project& project, PluginHost& host, const Catalog& catalog,
                 const EstimateOptions& options) {
    if (host.modules().empty()) {
        std::string reasons;
        for (const RefusedModule& refused : host.refused())
            reasons += (reasons.empty() ? "" : "; ") + refused.file + " " + refused.reason;
        fail("no-modules", {project.file, "", 0, 0},
             "no module could be loaded, so nothing can be priced" +
                 (reasons.empty() ? "" : ": " + reasons),
             "check the plugin folder");
    }
    Prepared made;
    made.resolved = resolve(project, host, catalog.tables(), options.effort);
    made.begun = made.resolved.start;
    made.resolved.start = planned_from(made.resolved);
    take_off_and_keep(made, host, catalog, options.effort);
    ProcureProblem& problem = made.problem;
    problem.currency = made.resolved.currency;
    problem.order_date = made.resolved.start;
    problem.priced_on = made.resolved.priced_on;
    problem.suppliers = supplier_terms(made.resolved, catalog, made.taken);
    problem.offers = offer_terms(made.resolved, catalog, made.taken);
    for (OfferTerms& terms : bought_terms(made.resolved))
        problem.offers.push_back(std::move(terms));
    problem.demands = made.taken.demands;
    problem.objective = options.objective;
    problem.finish_by = options.finish_by;
    problem.most_suppliers = options.most_suppliers;
    problem.tax_is_cost = !made.resolved.pricing.terms.tax_paid_recoverable;
    problem.effort = options.effort;
    made.expected = earliest_arrivals(made.taken.demands, problem.suppliers, problem.offers,
                                      made.resolved.start);
    std::vector<contract::Finding> ignored; // the same come again once all steps are known
    std::vector<NetworkStep> steps =
        network_of(made.resolved, made.taken.steps, made.taken.demands, ignored);
    reckon_worked(made.resolved, steps);
    problem.finish = with_place(project, "/tasks", [&] {
        return FinishDate(schedule_problem(made.resolved, steps, made.expected));
    });
    return made;
}

Dated date_work(const Project& project, const Prepared& prepared, const Procurement& bought,
                const std::vector<ModuleStep>& followed) {
    std::vector<ModuleStep> steps = prepared.taken.steps;
    steps.insert(steps.end(), followed.begin(), followed.end());
    Dated made;
    made.steps = network_of(prepared.resolved, steps, prepared.taken.demands, made.findings);
    reckon_worked(prepared.resolved, made.steps);
    ScheduleProblem problem = schedule_problem(prepared.resolved, made.steps, prepared.expected);
    problem.arrivals = arrivals_of(bought);
    made.schedule = with_place(project, "/tasks", [&] { return schedule(problem); });
    return made;
}

} // namespace aumbry
