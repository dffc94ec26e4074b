#include "line/procure/second_orders.hpp"

#include <algorithm>
#include <map>

namespace aumbry {
namespace {

std::string id_of_second(const ProcureProblem& problem, const std::string& supplier) {
    const auto taken = [&](const std::string& id) {
        return std::any_of(problem.suppliers.begin(), problem.suppliers.end(),
                           [&](const SupplierTerms& terms) { return terms.supplier.id == id; });
    };
    std::string id = supplier + "-second";
    while (taken(id)) id += "-order";
    return id;
}

} // namespace

ProcureProblem with_second_orders(ProcureProblem problem, const OrderedApart& apart) {
    std::map<std::string, std::string> seconds; // by supplier
    std::map<std::string, std::string> offers;  // by the listed one
    const std::vector<SupplierTerms> suppliers = problem.suppliers;
    const std::vector<OfferTerms> listed = problem.offers;
    const auto second_of = [&](const std::string& supplier) -> std::string {
        if (const auto known = seconds.find(supplier); known != seconds.end()) return known->second;
        for (const SupplierTerms& terms : suppliers) {
            if (terms.supplier.id != supplier) continue;
            SupplierTerms second = terms;
            second.second_of = supplier;
            second.after = apart.after;
            second.goes_out = std::max(apart.goes_out, problem.order_date);
            second.supplier.id = id_of_second(problem, supplier);
            second.supplier.name += ", second order";
            problem.suppliers.push_back(second);
            return seconds[supplier] = second.supplier.id;
        }
        return {};
    };
    for (contract::Demand& demand : problem.demands) {
        if (!apart.demands.contains(demand.id) || !demand.amount) continue;
        for (contract::AmountOffer& offer : demand.amount->offers) {
            const auto terms =
                std::find_if(listed.begin(), listed.end(),
                             [&](const OfferTerms& each) { return each.id == offer.offer; });
            if (terms == listed.end() || terms->owned) continue;
            if (const auto known = offers.find(offer.offer); known != offers.end()) {
                offer.offer = known->second;
                continue;
            }
            const std::string second = second_of(terms->supplier);
            if (second.empty()) continue; // nobody's: procure says so
            OfferTerms copy = *terms;
            copy.supplier = second;
            copy.id = second + '/' + terms->id;
            offer.offer = offers[terms->id] = copy.id;
            problem.offers.push_back(std::move(copy));
        }
    }
    return problem;
}

Procurement by_listed_offers(Procurement bought, const ProcureProblem& problem) {
    std::map<std::string, std::string> listed; // by offer of a second order
    for (const SupplierTerms& terms : problem.suppliers) {
        if (terms.second_of.empty()) continue;
        for (const OfferTerms& offer : problem.offers)
            if (offer.supplier == terms.supplier.id)
                listed[offer.id] = offer.id.substr(terms.supplier.id.size() + 1);
    }
    const auto name = [&](std::string& offer) {
        if (const auto found = listed.find(offer); found != listed.end()) offer = found->second;
    };
    for (Purchase& purchase : bought.purchases) name(purchase.offer);
    for (Choice& choice : bought.choices) {
        for (contract::Use& use : choice.uses) name(use.offer);
        if (choice.next_best)
            for (contract::Use& use : choice.next_best->uses) name(use.offer);
    }
    return bought;
}

} // namespace aumbry
