#include "line/procure/least_cost.hpp"

#include "aumbry/rounding.hpp"

#include <algorithm>
#include <cmath>
#include <map>

namespace aumbry {
namespace {

/// By supplier: whether he delivers freely.
using Decisions = std::map<std::string, bool>;

/// Suppliers of whom both cases are looked at by themselves.
constexpr std::size_t most_decisions = 3;

class Relaxing {
  public:
    Relaxing(const ProcureProblem& problem, const std::vector<DemandBound>& bounds,
             const Decisions& decisions)
        : relaxed_(problem) {
        SupplierTerms none;
        none.supplier.id = "bound/"; // of no folder
        none.supplier.currency = problem.currency;
        none.supplier.delivery.flat = Money::zero(problem.currency);
        free_ = none.supplier.id;
        for (const DemandBound& bound : bounds) replace_ways(bound);
        for (SupplierTerms& terms : relaxed_.suppliers) {
            // Whether the goods of one who is preferred suffice, a bound does not know.
            terms.preferred = false;
            lower(terms, decisions);
        }
        relaxed_.suppliers.push_back(std::move(none));
        // Its order is nobody's.
        if (relaxed_.max_suppliers && sells_freely_) ++*relaxed_.max_suppliers;
        if (relaxed_.effort == "normal") relaxed_.effort = "draft"; // its bound is what counts
    }

    struct Result {
        std::optional<Money> cost;
        std::string undecided; ///< a supplier that delivers freely only because that was lowered
    };

    Result solve() const {
        const Procurement bought = procure(relaxed_);
        if (!bought.unmet.empty()) return {};
        // Prices that are converted, or taxed, round to whole minor units once each.
        const Money rounding(
            rounded_ == 0 ? 0 : rounded_ + static_cast<std::int64_t>(bought.orders.size()),
            relaxed_.currency);
        Result result{bought.lower_bound - rounding, {}};
        for (const SupplierOrder& order : bought.orders) {
            const auto from = free_from_.find(order.supplier);
            if (from == free_from_.end() || order.collected) continue;
            const auto& lowered = terms_of(order.supplier)->supplier.delivery.free_from;
            const double goods = listed_goods(order);
            if (goods < from->second && goods >= lowered->decimal().to_double() - 0.01)
                result.undecided = order.supplier;
        }
        return result;
    }

  private:
    [[nodiscard]] const SupplierTerms* terms_of(const std::string& id) const {
        const auto found =
            std::find_if(relaxed_.suppliers.begin(), relaxed_.suppliers.end(),
                         [&](const SupplierTerms& terms) { return terms.supplier.id == id; });
        return found == relaxed_.suppliers.end() ? nullptr : &*found;
    }

    /// What of a cost is the price at that supplier, before tax and in his currency.
    [[nodiscard]] double listed(double cost, const SupplierTerms& terms) {
        const double with_tax = 1 + terms.supplier.tax_percent.to_double() / 100;
        if (relaxed_.tax_is_cost) cost /= with_tax;
        if (terms.supplier.tax_included) cost *= with_tax;
        if (terms.supplier.currency != relaxed_.currency && terms.rate)
            cost /= terms.rate->to_double();
        if (relaxed_.tax_is_cost || terms.supplier.tax_included ||
            terms.supplier.currency != relaxed_.currency)
            ++rounded_;
        return cost;
    }

    std::string sell(const std::string& id, const std::string& supplier, double price) {
        OfferTerms offer;
        offer.id = id;
        offer.supplier = supplier;
        offer.owned = supplier.empty();
        sells_freely_ = sells_freely_ || supplier == free_;
        // In whole minor units, so that nothing is rounded up when it is bought.
        const double units = std::pow(10.0, relaxed_.currency.digits);
        offer.price = Decimal::from_double(std::floor(round_to(price * units, 6)) / units,
                                           relaxed_.currency.digits);
        relaxed_.offers.push_back(std::move(offer));
        return id;
    }

    contract::Way whole(const std::string& name, const SupplierSetBound& bound) {
        contract::Way way;
        way.id = name;
        const std::string supplier = bound.suppliers.empty() ? "" : *bound.suppliers.begin();
        const SupplierTerms* terms = terms_of(supplier);
        const double price = terms == nullptr ? bound.cost : listed(bound.cost, *terms);
        way.uses.push_back({.offer = sell(name, supplier, price), .count = 1});
        return way;
    }

    /// The ways in which a number of equal shares falls to the suppliers.
    static void share_out(std::size_t suppliers, int shares, std::vector<int>& so_far,
                          std::vector<std::vector<int>>& all) {
        if (so_far.size() + 1 == suppliers) {
            all.push_back(so_far);
            all.back().push_back(shares);
            return;
        }
        for (int mine = 0; mine <= shares; ++mine) {
            so_far.push_back(mine);
            share_out(suppliers, shares - mine, so_far, all);
            so_far.pop_back();
        }
    }

    /// A way from several suppliers, in proportions. Each gets the whole shares that it has for
    /// sure: of n shares cut at n places between them as many as there are suppliers, less one, may
    /// fall to either side.
    void split(const std::string& name, const SupplierSetBound& bound,
               std::vector<contract::Way>& ways, std::map<std::string, double>& loose) {
        const std::size_t count = bound.suppliers.size();
        const int shares = count == 2 ? 12 : count == 3 ? 6 : 4;
        const double share = bound.cost / shares;
        const int unsure = static_cast<int>(count) - 1;
        std::vector<std::vector<int>> all;
        std::vector<int> so_far;
        share_out(count, shares - unsure, so_far, all);
        std::map<std::pair<std::string, int>, std::string> sold;
        for (const std::vector<int>& mine : all) {
            contract::Way way;
            way.id = name + '/' + std::to_string(ways.size());
            double least = bound.base;
            std::size_t at = 0;
            for (const std::string& supplier : bound.suppliers) {
                const int have = mine[at++];
                std::string& offer = sold[{supplier, have}];
                const SupplierTerms* terms = terms_of(supplier);
                if (offer.empty() && terms != nullptr)
                    offer = sell(name + '/' + supplier + '/' + std::to_string(have), supplier,
                                 listed(share * have, *terms));
                way.uses.push_back({.offer = offer, .count = 1});
                if (const auto dearer = bound.premium.find(supplier); dearer != bound.premium.end())
                    least += dearer->second * share * have;
                loose[supplier] = std::max(loose[supplier], share * unsure);
            }
            const double rest = std::max(least, bound.cost) - share * (shares - unsure);
            way.uses.push_back({.offer = sell(way.id, free_, rest), .count = 1});
            ways.push_back(std::move(way));
        }
    }

    void replace_ways(const DemandBound& bound) {
        const auto demand =
            std::find_if(relaxed_.demands.begin(), relaxed_.demands.end(),
                         [&](const contract::Demand& each) { return each.id == bound.demand; });
        if (demand == relaxed_.demands.end()) return;
        std::vector<contract::Way>& ways = demand->ways;
        ways.clear();
        std::map<std::string, double> loose; // by supplier: what a split way may buy there besides
        for (const SupplierSetBound& set : bound.sets) {
            const std::string name = "bound/" + bound.demand + '/' + std::to_string(ways.size());
            if (set.suppliers.size() < 2)
                ways.push_back(whole(name, set));
            else
                split(name, set, ways, loose);
        }
        if (bound.beyond) {
            contract::Way way;
            way.id = "bound/" + bound.demand + "/beyond";
            way.uses.push_back({.offer = sell(way.id, free_, *bound.beyond), .count = 1});
            ways.push_back(std::move(way));
            for (const SupplierTerms& terms : relaxed_.suppliers)
                loose[terms.supplier.id] = std::max(loose[terms.supplier.id], *bound.beyond);
        }
        for (const auto& [supplier, cost] : loose) split_[supplier] += cost;
    }

    /// Goods of an order as its supplier lists them, nearly.
    [[nodiscard]] double listed_goods(const SupplierOrder& order) const {
        const SupplierTerms& terms = *terms_of(order.supplier);
        double goods = order.goods.decimal().to_double();
        if (terms.supplier.currency != relaxed_.currency && terms.rate)
            goods /= terms.rate->to_double();
        if (terms.supplier.tax_included) goods *= 1 + terms.supplier.tax_percent.to_double() / 100;
        return goods;
    }

    /// Minimum order and free delivery, by what goods might be worth beyond what is charged.
    void lower(SupplierTerms& terms, const Decisions& decisions) {
        Supplier& supplier = terms.supplier;
        double loose = split_[supplier.id];
        if (supplier.currency != relaxed_.currency && terms.rate) loose /= terms.rate->to_double();
        loose *= 1 + supplier.tax_percent.to_double() / 100;
        const auto less = [&](const Money& limit, double by) {
            const double left = limit.decimal().to_double() - by;
            return Money::round(Decimal::from_double(std::max(0.0, round_to(left, 6)), 6),
                                supplier.currency);
        };
        if (loose > 0) loose += 0.01;
        if (loose > 0 && supplier.minimum_order)
            supplier.minimum_order = less(*supplier.minimum_order, loose);
        DeliveryConditions& delivery = supplier.delivery;
        if (!delivery.free_from) return;
        const auto decided = decisions.find(supplier.id);
        if (decided != decisions.end()) {
            if (decided->second) {
                const Money goods = less(*delivery.free_from, loose);
                if (!supplier.minimum_order || *supplier.minimum_order < goods)
                    supplier.minimum_order = goods;
                delivery.flat = Money::zero(supplier.currency);
                delivery.by_mass.clear();
                delivery.collect.reset();
            }
            delivery.free_from.reset();
            return;
        }
        double charge = 0;
        if (delivery.flat) charge = delivery.flat->decimal().to_double();
        for (const MassBand& band : delivery.by_mass)
            charge = std::max(charge, band.cost.decimal().to_double());
        if (!delivery.by_mass.empty() && delivery.by_mass.back().up_to)
            charge = 1e9; // in any number of loads
        free_from_[supplier.id] = delivery.free_from->decimal().to_double() - loose;
        delivery.free_from = less(*delivery.free_from, loose + charge + 0.01);
    }

    ProcureProblem relaxed_;
    std::string free_; ///< the supplier of what is charged for at none
    bool sells_freely_ = false;
    std::map<std::string, double> split_;
    std::map<std::string, double> free_from_; ///< by supplier, before the charge is taken off
    std::int64_t rounded_ = 0;
};

std::optional<Money> least_cost(const ProcureProblem& problem,
                                const std::vector<DemandBound>& bounds, Decisions decisions) {
    const Relaxing::Result result = Relaxing(problem, bounds, decisions).solve();
    if (!result.cost || result.undecided.empty() || decisions.size() == most_decisions)
        return result.cost;
    std::optional<Money> least;
    for (const bool freely : {false, true}) {
        decisions[result.undecided] = freely;
        const std::optional<Money> cost = least_cost(problem, bounds, decisions);
        if (cost && (!least || *cost < *least)) least = cost;
    }
    return least && *result.cost < *least ? least : result.cost;
}

} // namespace

std::optional<Money> least_cost(const ProcureProblem& problem,
                                const std::vector<DemandBound>& bounds) {
    return least_cost(problem, bounds, {});
}

} // namespace aumbry
