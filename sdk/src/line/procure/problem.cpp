#include "line/procure/problem.hpp"

#include "line/procure/purchase_terms.hpp"
#include "line/recorded/bought.hpp"

#include "aumbry/line_access.hpp"
#include "aumbry/rounding.hpp"
#include "aumbry/vehicle.hpp"

#include <algorithm>

namespace aumbry {
namespace {

/// When each offer that is ordered on the problem's day is in hand.
std::map<std::string, Date> arrivals_by_offer(const ProcureProblem& problem) {
    const Date start = problem.order_date;
    std::map<std::string, Date> by_offer;
    for (const OfferTerms& offer : problem.offers) {
        if (offer.owned) {
            by_offer[offer.id] = std::max(start, offer.arrives.value_or(start));
            continue;
        }
        const auto supplier =
            std::find_if(problem.suppliers.begin(), problem.suppliers.end(),
                         [&](const SupplierTerms& s) { return s.supplier.id == offer.supplier; });
        if (supplier == problem.suppliers.end()) continue;
        try {
            by_offer[offer.id] =
                arrival_date(supplier->supplier, offer, supplier->goes_out.value_or(start));
        } catch (const FaultError&) {
            continue; // it never arrives: procure leaves it out and says so
        }
    }
    return by_offer;
}

} // namespace

Arrivals earliest_arrivals(const ProcureProblem& problem) {
    const std::map<std::string, Date> by_offer = arrivals_by_offer(problem);
    Arrivals earliest;
    for (const contract::Demand& demand : problem.demands) {
        std::optional<Date> best;
        const auto weigh = [&](Date date) { best = best ? std::min(*best, date) : date; };
        if (demand.amount) {
            for (const contract::AmountOffer& offer : demand.amount->offers) {
                if (const auto found = by_offer.find(offer.offer); found != by_offer.end())
                    weigh(found->second);
            }
        }
        for (const contract::Way& way : demand.ways) {
            Date latest = problem.order_date;
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
    // What is ordered together comes together: one order is one trip.
    for (const Purchase& purchase : procurement.purchases) {
        if (purchase.owned || purchase.service) continue;
        for (const SupplierOrder& order : procurement.orders) {
            if (order.supplier != purchase.supplier) continue;
            for (const std::string& demand : purchase.demands)
                arrivals[demand] = std::max(arrivals[demand], order.arrives);
        }
    }
    return arrivals;
}

ProcureProblem purchase_problem(const Resolved& project, const TakenOff& taken,
                                const Catalog& catalog, const EstimateOptions& options) {
    ProcureProblem problem;
    problem.currency = project.currency;
    problem.order_date = ordered_from(project);
    problem.priced_on = project.priced_on;
    problem.suppliers = supplier_terms(project, catalog, taken);
    problem.offers = offer_terms(project, catalog, taken);
    for (OfferTerms& terms : bought_terms(project)) problem.offers.push_back(std::move(terms));
    problem.demands = taken.demands;
    problem.objective = options.objective;
    problem.finish_by = options.finish_by ? options.finish_by : project.wanted_by;
    problem.max_suppliers = options.max_suppliers;
    problem.tax_is_cost = !project.pricing.terms.tax_paid_recoverable;
    problem.effort = options.effort;
    if (const auto vehicle = vehicle_of(project.vehicle)) problem.load = vehicle->load;
    const Person& maker = project.people.front();
    if (const double minutes = number(project.vehicle, "trip", 0); minutes > 0 && maker.rate_stated)
        problem.trip = Price{maker.rate, project.currency, Decimal(1)}.amount_for(
            Decimal::from_double(round_to(minutes / 60, 4), 4));
    return problem;
}

} // namespace aumbry
