#include "line/estimate/allocation.hpp"

namespace aumbry {

Totals no_totals(const Currency& currency) {
    const Money zero = Money::zero(currency);
    return {zero, zero, zero, zero, zero, zero, zero, zero};
}

void Allocation::add(const Cell& cell, Category category, const Money& amount) {
    if (amount.is_zero()) return;
    const auto place = cells_[cell].emplace(category, Money::zero(currency_)).first;
    place->second += amount;
}

Money Allocation::sum(Category category) const {
    Money total = Money::zero(currency_);
    for (const auto& [cell, amounts] : cells_) {
        if (const auto found = amounts.find(category); found != amounts.end())
            total += found->second;
    }
    return total;
}

namespace {

void add_up(Totals& into, const Totals& part) {
    into.goods += part.goods;
    into.services += part.services;
    into.delivery += part.delivery;
    into.labour += part.labour;
    into.contingency += part.contingency;
    into.markup += part.markup;
    into.tax += part.tax;
    into.total += part.total;
}

std::map<std::string, Totals> grouped(const Allocation::Settled& settled, const Currency& currency,
                                      bool by_piece) {
    std::map<std::string, Totals> groups;
    for (const auto& [cell, totals] : settled.cells) {
        add_up(groups.try_emplace(by_piece ? cell.second : cell.first, no_totals(currency))
                   .first->second,
               totals);
    }
    return groups;
}

} // namespace

Allocation::Settled Allocation::settle(const Money& contingency, const Money& markup,
                                       const Money& tax_charged) const {
    Settled settled;
    settled.totals = no_totals(currency_);
    std::vector<Decimal> weights;
    for (const auto& [cell, amounts] : cells_) {
        Totals totals = no_totals(currency_);
        Money cost = Money::zero(currency_);
        for (const auto& [category, amount] : amounts) {
            cost += amount;
            switch (category) {
            case Category::goods:
                totals.goods += amount;
                break;
            case Category::services:
                totals.services += amount;
                break;
            case Category::delivery:
                totals.delivery += amount;
                break;
            case Category::labour:
                totals.labour += amount;
                break;
            case Category::tax_as_cost:
                totals.tax += amount;
                break;
            }
        }
        settled.cells[cell] = totals;
        weights.push_back(cost.is_negative() ? Decimal() : cost.decimal());
    }
    if (settled.cells.empty()) {
        settled.cells[{"", ""}] = no_totals(currency_);
        weights.emplace_back(1);
    }
    const std::vector<Money> contingencies = split(contingency, weights);
    const std::vector<Money> markups = split(markup, weights);
    const std::vector<Money> taxes = split(tax_charged, weights);
    std::size_t index = 0;
    for (auto& [cell, totals] : settled.cells) {
        totals.contingency = contingencies[index];
        totals.markup = markups[index];
        totals.tax += taxes[index];
        totals.total = totals.goods + totals.services + totals.delivery + totals.labour +
                       totals.contingency + totals.markup + totals.tax;
        add_up(settled.totals, totals);
        ++index;
    }
    return settled;
}

std::map<std::string, Totals> Allocation::by_module(const Settled& settled,
                                                    const Currency& currency) {
    return grouped(settled, currency, false);
}
std::map<std::string, Totals> Allocation::by_piece(const Settled& settled,
                                                   const Currency& currency) {
    return grouped(settled, currency, true);
}

} // namespace aumbry
