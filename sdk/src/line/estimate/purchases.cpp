#include "line/estimate/purchases.hpp"

#include "line/recorded/bought.hpp"

#include <algorithm>

namespace aumbry {
namespace {

const OfferTerms* terms_of(const ProcureProblem& problem, const std::string& offer) {
    const auto found = std::find_if(problem.offers.begin(), problem.offers.end(),
                                    [&](const OfferTerms& each) { return each.id == offer; });
    return found == problem.offers.end() ? nullptr : &*found;
}

const contract::Demand* demand_of(const TakenOff& taken, const std::string& id) {
    const auto found = std::find_if(taken.demands.begin(), taken.demands.end(),
                                    [&](const contract::Demand& each) { return each.id == id; });
    return found == taken.demands.end() ? nullptr : &*found;
}

/// What one count of an offer holds for a demand; 0 for a plan.
double content_for(const TakenOff& taken, const std::string& id, const std::string& offer) {
    const contract::Demand* demand = demand_of(taken, id);
    if (demand == nullptr || !demand->amount) return 0;
    for (const contract::AmountOffer& each : demand->amount->offers) {
        if (each.offer == offer) return each.content;
    }
    return 0;
}

/// Whether parts wait for the measured size of what a demand brings.
bool measured_first(const TakenOff& taken, const WorkPlan& work, const std::string& id) {
    const contract::Demand* demand = demand_of(taken, id);
    if (demand == nullptr || !demand->decides_sizes) return false;
    return std::any_of(work.steps.begin(), work.steps.end(), [&](const NetworkStep& step) {
        const bool makes =
            step.phase == contract::Phase::cut || step.phase == contract::Phase::machine;
        return makes && std::find(step.needs.begin(), step.needs.end(), id) != step.needs.end();
    });
}

/// The latest day of ordering that does not delay the job: from the latest arrival of any demand
/// that it serves.
std::optional<Date> order_by(const ProcureProblem& problem, const Schedule& schedule,
                             const Purchase& purchase) {
    const Supplier* supplier = supplier_of(problem, purchase.supplier);
    const OfferTerms* offer = terms_of(problem, purchase.offer);
    if (supplier == nullptr || offer == nullptr) return std::nullopt;
    std::optional<Date> latest;
    for (const std::string& demand : purchase.demands) {
        const auto found = schedule.latest_arrivals.find(demand);
        const Date date = found == schedule.latest_arrivals.end() ? schedule.ready : found->second;
        latest = latest ? std::min(*latest, date) : date;
    }
    return latest ? std::optional(order_by_date(*supplier, *offer, *latest)) : std::nullopt;
}

ChargedPurchase planned(const Purchase& bought, const TakenOff& taken,
                        const ProcureProblem& problem, const WorkPlan& work) {
    ChargedPurchase made;
    EstimatePurchase& purchase = made.purchase;
    static_cast<PurchaseRow&>(purchase) = bought;
    if (const Supplier* supplier = supplier_of(problem, bought.supplier))
        purchase.supplier_name = supplier->name;
    if (const auto dated = taken.offers.find(bought.offer); dated != taken.offers.end())
        purchase.catalog_class = dated->second.offer.catalog_class;
    for (const std::string& demand : bought.demands)
        purchase.serves.push_back({demand, content_for(taken, demand, bought.offer)});
    purchase.order_by = order_by(problem, work.schedule, bought);
    purchase.decides_sizes =
        std::any_of(bought.demands.begin(), bought.demands.end(),
                    [&](const std::string& id) { return measured_first(taken, work, id); });
    made.category = bought.service ? Category::services : Category::goods;
    made.shares = bought.lines;
    return made;
}

/// What the job uses of something that is bought already.
struct Used {
    std::int64_t count = 0;
    std::vector<contract::Share> lines;
    std::vector<std::string> demands;

    void add(const Purchase& purchase) {
        count += purchase.count;
        lines.insert(lines.end(), purchase.lines.begin(), purchase.lines.end());
        demands.insert(demands.end(), purchase.demands.begin(), purchase.demands.end());
    }
};

ChargedPurchase paid(const Bought& bought, const Used& used, const Resolved& project,
                     const Provenance& from) {
    ChargedPurchase made;
    EstimatePurchase& purchase = made.purchase;
    purchase.supplier = bought.supplier;
    purchase.supplier_name = from.name_of_supplier(bought.supplier);
    purchase.offer = "bought/" + bought.id;
    purchase.sku = bought.sku;
    purchase.catalog_class = bought.catalog_class;
    purchase.description = bought.title;
    purchase.count = bought.count;
    purchase.needed = used.count;
    purchase.price_unit = "each";
    if (bought.count > 0)
        purchase.unit_price = bought.amount.decimal().divided_by(Decimal(bought.count), 6);
    purchase.listed_price = purchase.unit_price;
    purchase.listed_currency = project.currency.code;
    purchase.amount = bought.amount;
    purchase.tax = bought.tax;
    purchase.demands = used.demands;
    purchase.arrives = bought.state == Progress::ordered
                           ? bought.arrives.value_or(ordered_from(project))
                           : bought.on.value_or(project.start);
    purchase.service = bought.charge == "service";
    purchase.state = bought.state;
    purchase.price_row = "bought";
    made.category = bought.charge == "service"    ? Category::services
                    : bought.charge == "delivery" ? Category::delivery
                                                  : Category::goods;
    made.shares = used.lines;
    if (!bought.serves.empty()) {
        const std::string& demand = bought.serves.front().demand;
        made.otherwise = {demand.substr(0, demand.find('/')), ""};
    }
    return made;
}

} // namespace

const Supplier* supplier_of(const ProcureProblem& problem, const std::string& id) {
    const auto found =
        std::find_if(problem.suppliers.begin(), problem.suppliers.end(),
                     [&](const SupplierTerms& terms) { return terms.supplier.id == id; });
    return found == problem.suppliers.end() ? nullptr : &found->supplier;
}

std::vector<ChargedPurchase> purchases_of(const Resolved& project, const TakenOff& taken,
                                          const ProcureProblem& problem, const Procurement& bought,
                                          const WorkPlan& work, const Provenance& from) {
    std::vector<ChargedPurchase> purchases;
    std::map<std::string, Used> used; // by id of what is bought already
    for (const Purchase& purchase : bought.purchases) {
        if (const Bought* before = bought_before(project, purchase.offer))
            used[before->id].add(purchase);
        else
            purchases.push_back(planned(purchase, taken, problem, work));
    }
    for (const Bought& each : project.bought)
        purchases.push_back(paid(each, used[each.id], project, from));
    return purchases;
}

std::vector<EstimateNextBest> next_best_of(const ProcureProblem& problem,
                                           const Procurement& bought) {
    std::vector<EstimateNextBest> list;
    for (const Choice& choice : bought.choices) {
        if (!choice.next_best) continue;
        std::string what;
        for (const contract::Use& use : choice.next_best->uses) {
            const OfferTerms* terms = terms_of(problem, use.offer);
            what +=
                (what.empty() ? "" : ", ") + std::to_string(use.count) + " x " +
                (terms == nullptr || terms->description.empty() ? use.offer : terms->description);
        }
        list.push_back({choice.demand, choice.next_best->suppliers, what,
                        choice.next_best->cost - bought.cost, choice.next_best->arrives});
    }
    return list;
}

} // namespace aumbry
