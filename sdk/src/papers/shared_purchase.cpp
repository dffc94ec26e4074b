#include "aumbry/shared_purchase.hpp"

#include "line/run.hpp"
#include "papers/order_sheets.hpp"

#include "aumbry/line_access.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>
#include <map>
#include <set>

namespace aumbry {

namespace {

/// One project up to the point where it buys.
struct Buyer {
    OrderHead head;
    std::string mark; ///< before its demands, lines and own goods: "2:"
    ProcureProblem problem;
};

bool is_own(const std::string& offer) {
    return offer.starts_with("owned/") || offer.starts_with("bought/") ||
           offer.starts_with("stated/");
}

Buyer buyer_of(const Project& project, std::size_t index, PluginHost& host, const Catalog& catalog,
               const EstimateOptions& options) {
    BeforePurchase prepared = run_to_purchase(project, host, catalog, options);
    const Resolved& resolved = prepared.resolved;
    Buyer buyer;
    buyer.head = {resolved.title, resolved.currency, resolved.length_unit, resolved.priced_on,
                  resolved.papers.maker};
    buyer.mark = std::to_string(index + 1) + ':';
    buyer.problem = std::move(prepared.problem);
    // Dates are each project's own: together they buy at the least cost.
    buyer.problem.objective = Objective::cheapest;
    buyer.problem.finish_by.reset();
    buyer.problem.finish = {};
    return buyer;
}

/// Marks everything that is the project's own.
void mark(Buyer& buyer) {
    for (OfferTerms& offer : buyer.problem.offers) {
        if (is_own(offer.id)) offer.id = buyer.mark + offer.id;
        if (offer.supplier.starts_with("stated/")) offer.supplier = buyer.mark + offer.supplier;
    }
    for (SupplierTerms& supplier : buyer.problem.suppliers) {
        if (supplier.supplier.id.starts_with("stated/"))
            supplier.supplier.id = buyer.mark + supplier.supplier.id;
    }
    for (contract::Demand& demand : buyer.problem.demands) {
        demand.id = buyer.mark + demand.id;
        for (contract::Share& share : demand.shares) share.line = buyer.mark + share.line;
        if (demand.amount) {
            for (contract::AmountOffer& offer : demand.amount->offers) {
                if (is_own(offer.offer)) offer.offer = buyer.mark + offer.offer;
            }
        }
        for (contract::Way& way : demand.ways) {
            for (contract::Use& use : way.uses) {
                if (is_own(use.offer)) use.offer = buyer.mark + use.offer;
                for (std::string& line : use.lines) line = buyer.mark + line;
            }
        }
    }
}

ProcureProblem together(const std::vector<Buyer>& buyers) {
    ProcureProblem all = buyers.front().problem;
    all.suppliers.clear();
    all.offers.clear();
    all.demands.clear();
    std::map<std::string, std::size_t> offers;
    std::map<std::string, std::size_t> suppliers;
    for (const Buyer& buyer : buyers) {
        all.order_date = std::min(all.order_date, buyer.problem.order_date);
        for (const SupplierTerms& supplier : buyer.problem.suppliers) {
            const auto [at, fresh] = suppliers.emplace(supplier.supplier.id, all.suppliers.size());
            if (fresh) {
                all.suppliers.push_back(supplier);
                // A project that excludes a supplier asks for none of its offers.
                all.suppliers.back().excluded = false;
            } else {
                SupplierTerms& known = all.suppliers[at->second];
                if (!known.rate) known.rate = supplier.rate;
                known.preferred = known.preferred || supplier.preferred;
            }
        }
        for (const OfferTerms& offer : buyer.problem.offers) {
            const auto [at, fresh] = offers.emplace(offer.id, all.offers.size());
            if (fresh)
                all.offers.push_back(offer);
            else
                all.offers[at->second].mass_kg =
                    std::max(all.offers[at->second].mass_kg, offer.mass_kg);
        }
        all.demands.insert(all.demands.end(), buyer.problem.demands.begin(),
                           buyer.problem.demands.end());
    }
    return all;
}

/// "2 for Guest loft; 3 for Mudroom"
std::vector<std::string> for_whom(const Purchase& purchase, const std::vector<Buyer>& buyers) {
    std::vector<std::string> words;
    for (const Buyer& buyer : buyers) {
        double needed = 0;
        for (const contract::Share& share : purchase.lines) {
            if (share.line.starts_with(buyer.mark)) needed += share.weight;
        }
        if (needed > 0) words.push_back(format_trimmed(needed, 2) + " for " + buyer.head.title);
    }
    return words;
}

/// One invoice has one currency and one owner.
void need_one_invoice(const Project& project, const ProcureProblem& first,
                      const ProcureProblem& last) {
    if (last.currency != first.currency)
        fail("currency-clash", {project.file, "/currency", 0, 0},
             "the project is in " + last.currency.code + ", the first one in " +
                 first.currency.code,
             "buy together only for projects of one currency");
    if (last.tax_is_cost != first.tax_is_cost)
        fail("tax-clash", {project.file, "/pricing/tax_recoverable", 0, 0},
             "tax paid is a cost of one project and claimed back by another",
             "one invoice has one owner: make the setting the same");
}

/// Plans stay each project's own: those of the ways chosen.
std::vector<SheetToCut> sheets_chosen(const ProcureProblem& problem, const Procurement& bought) {
    std::vector<SheetToCut> sheets;
    for (const Choice& choice : bought.choices) {
        const auto demand =
            std::find_if(problem.demands.begin(), problem.demands.end(),
                         [&](const contract::Demand& each) { return each.id == choice.demand; });
        if (demand == problem.demands.end()) continue;
        for (const contract::Way& way : demand->ways) {
            if (way.id != choice.way) continue;
            for (const contract::SheetPlan& plan : way.plans.sheets) {
                // Sheets that are ordered already go by the name of what is bought.
                if (std::any_of(way.uses.begin(), way.uses.end(),
                                [&](const contract::Use& use) { return use.offer == plan.offer; }))
                    sheets.push_back({'S' + std::to_string(sheets.size() + 1), plan});
            }
        }
    }
    return sheets;
}

/// What one supplier is sent for all of them.
Order order_for_all(const SupplierOrder& order, const Supplier& supplier, const Currency& currency,
                    const Procurement& bought, const std::vector<SheetToCut>& sheets,
                    const std::vector<Buyer>& buyers) {
    Order made;
    made.supplier = order.supplier;
    made.name = supplier.name;
    made.invented = supplier.invented;
    made.currency = currency.code;
    made.net = Money::zero(currency);
    for (const Purchase& purchase : bought.purchases) {
        if (purchase.supplier != order.supplier || purchase.owned) continue;
        add_position(made, purchase, for_whom(purchase, buyers));
    }
    made.sheets = sheets_cut_by(order.supplier, sheets, [&](const std::string& offer) {
        for (const Purchase& purchase : bought.purchases) {
            if (purchase.offer == offer) return purchase.description;
        }
        return offer;
    });
    add_charges(made, order.cuts, order.cut_count, order.delivery, order.small_order,
                order.collected);
    made.taxes = order.taxes;
    made.tax = order.tax;
    made.total = order.total - made.collecting;
    made.collected = order.collected;
    made.mass = order.mass;
    made.trips = order.trips;
    made.in_hand = order.arrives;
    return made;
}

} // namespace

SharedPurchase buy_together(const std::vector<Project>& projects, PluginHost& host,
                            const Catalog& catalog, const EstimateOptions& options) {
    std::vector<Buyer> buyers;
    for (const Project& project : projects) {
        buyers.push_back(buyer_of(project, buyers.size(), host, catalog, options));
        need_one_invoice(project, buyers.front().problem, buyers.back().problem);
    }

    SharedPurchase result;
    result.head = buyers.front().head;
    const Currency& currency = result.head.currency;
    result.alone = Money::zero(currency);
    std::vector<Decimal> weights;
    for (Buyer& buyer : buyers) {
        const Money alone = procure(buyer.problem).cost;
        result.shares.push_back({buyer.head.title, alone, alone});
        if (&buyer != &buyers.front()) result.head.title += " and " + buyer.head.title;
        result.alone += alone;
        weights.push_back(alone.decimal());
        mark(buyer);
    }
    const ProcureProblem problem = together(buyers);
    const Procurement bought = procure(problem);
    result.together = bought.cost;
    result.proven = bought.proven;
    result.findings = bought.findings;
    const std::vector<Money> shares = split(result.together, weights);
    for (std::size_t i = 0; i < shares.size(); ++i) result.shares[i].share = shares[i];

    std::map<std::string, const Supplier*> names;
    for (const SupplierTerms& terms : problem.suppliers) names[terms.supplier.id] = &terms.supplier;
    const std::vector<SheetToCut> sheets = sheets_chosen(problem, bought);
    for (const SupplierOrder& order : bought.orders)
        result.orders.push_back(
            order_for_all(order, *names.at(order.supplier), currency, bought, sheets, buyers));
    return result;
}

Json to_json(const SharedPurchase& purchase) {
    Json shares = Json::array();
    for (const PurchaseShare& share : purchase.shares)
        shares.push_back(
            {{"title", share.title}, {"alone", share.alone.str()}, {"share", share.share.str()}});
    Json result = orders_json(purchase.head, purchase.orders);
    result["shares"] = shares;
    result["alone"] = purchase.alone.str();
    result["together"] = purchase.together.str();
    result["proven"] = purchase.proven;
    return result;
}

} // namespace aumbry
