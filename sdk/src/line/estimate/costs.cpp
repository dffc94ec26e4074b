#include "line/estimate/costs.hpp"

#include <algorithm>

namespace aumbry {
namespace {

/// Files amounts with the lines that cause them.
class Ledger {
  public:
    explicit Ledger(const Resolved& project) : project_(project) {
        for (const ResolvedLine& line : project.lines) by_id_[line.line.id] = &line;
        out_.tax_paid = Money::zero(project.currency);
    }

    void add(const ChargedPurchase& charged) {
        EstimatePurchase purchase = charged.purchase;
        purchase.lines = charge(purchase.amount, charged, charged.category);
        for (const LineShare& share : purchase.lines) add_to_line(share);
        if (purchase.state != Progress::planned) add_tax(purchase.tax, {&charged});
        out_.purchases.push_back(std::move(purchase));
    }

    void add(const SupplierOrder& order, const ProcureProblem& problem,
             const std::vector<const ChargedPurchase*>& purchases) {
        EstimateOrder made;
        static_cast<SupplierOrder&>(made) = order;
        made.name = order.supplier;
        made.goes_out = problem.order_date;
        for (const SupplierTerms& terms : problem.suppliers) {
            if (terms.supplier.id != order.supplier) continue;
            made.name = terms.supplier.name;
            made.invented = terms.supplier.invented;
            made.second_of = terms.second_of;
            made.after = terms.after;
            made.goes_out = terms.goes_out.value_or(problem.order_date);
        }
        for (const ChargedPurchase* each : purchases) {
            const std::optional<Date>& by = each->purchase.order_by;
            if (by) made.order_by = made.order_by ? std::min(*made.order_by, *by) : *by;
        }
        spread(order.cuts, purchases, Category::services);
        spread(order.delivery + order.small_order, purchases, Category::delivery);
        add_tax(order.tax, purchases);
        out_.orders.push_back(std::move(made));
    }

    Costs take() { return std::move(out_); }

  private:
    std::vector<LineShare> charge(const Money& amount, const ChargedPurchase& charged,
                                  Category category) {
        std::vector<LineShare> result;
        if (charged.shares.empty()) {
            out_.charges.push_back({charged.otherwise, category, amount});
            return result;
        }
        std::vector<double> weights;
        for (const contract::Share& share : charged.shares) weights.push_back(share.weight);
        const std::vector<Money> amounts = split(amount, weights);
        for (std::size_t i = 0; i < amounts.size(); ++i) {
            const ResolvedLine& line = *by_id_.at(charged.shares[i].line);
            out_.charges.push_back({{line.module, line.line.piece}, category, amounts[i]});
            result.push_back({line.line.id, amounts[i]});
        }
        return result;
    }

    void add_to_line(const LineShare& share) {
        out_.of_lines.try_emplace(share.line, Money::zero(project_.currency)).first->second +=
            share.amount;
    }

    /// An amount of a whole order, split over its purchases by what they cost. Tax is no cost of a
    /// line: lines are shown without it.
    void spread(const Money& amount, const std::vector<const ChargedPurchase*>& purchases,
                Category category) {
        if (amount.is_zero() || purchases.empty()) return;
        std::vector<Decimal> weights;
        for (const ChargedPurchase* each : purchases)
            weights.push_back(each->purchase.amount.decimal());
        const std::vector<Money> amounts = split(amount, weights);
        for (std::size_t i = 0; i < amounts.size(); ++i) {
            const std::vector<LineShare> shares = charge(amounts[i], *purchases[i], category);
            if (category == Category::tax_as_cost) continue;
            for (const LineShare& share : shares) add_to_line(share);
        }
    }

    void add_tax(const Money& tax, const std::vector<const ChargedPurchase*>& purchases) {
        out_.tax_paid += tax;
        if (!project_.pricing.terms.tax_paid_recoverable)
            spread(tax, purchases, Category::tax_as_cost);
    }

    const Resolved& project_;
    std::map<std::string, const ResolvedLine*> by_id_;
    Costs out_;
};

} // namespace

Costs costs_of(const Resolved& project, const ProcureProblem& problem, const Procurement& bought,
               const std::vector<ChargedPurchase>& purchases) {
    Ledger ledger(project);
    std::map<std::string, std::vector<const ChargedPurchase*>> planned; // by supplier
    for (const ChargedPurchase& each : purchases) {
        ledger.add(each);
        if (each.purchase.state == Progress::planned)
            planned[each.purchase.supplier].push_back(&each);
    }
    for (const SupplierOrder& order : bought.orders)
        ledger.add(order, problem, planned[order.supplier]);
    return ledger.take();
}

} // namespace aumbry
