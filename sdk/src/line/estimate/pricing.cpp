#include "aumbry/pricing.hpp"

#include "aumbry/fault.hpp"

#include <algorithm>
#include <map>
#include <utility>

namespace aumbry {

namespace {

void check_percent(const char* name, Decimal percent) {
    if (percent.is_negative())
        fail("bad-percent", {}, std::string("the ") + name + " is " + percent.str() + " %",
             "use zero or above");
}

void check(const PricingTerms& terms) {
    check_percent("contingency", terms.contingency_percent);
    check_percent("tax charged", terms.tax_charged_percent);
    if (terms.markup_percent && terms.margin_percent)
        fail("markup-and-margin", {}, "both a markup and a margin are given",
             "a markup is a share of the costs, a margin one of the price: give one of them");
    if (terms.markup_percent) check_percent("markup", *terms.markup_percent);
    if (terms.margin_percent &&
        (terms.margin_percent->is_negative() || *terms.margin_percent >= Decimal(100)))
        fail("bad-margin", {}, "the margin is " + terms.margin_percent->str() + " % of the price",
             "a margin is from 0 to below 100");
    if (terms.deposit_percent &&
        (terms.deposit_percent->is_negative() || *terms.deposit_percent > Decimal(100)))
        fail("bad-deposit", {},
             "the deposit is " + terms.deposit_percent->str() + " % of the total", "use 0 to 100");
    if (terms.deposit && terms.deposit_percent)
        fail("bad-deposit", {}, "the deposit is given both as an amount and as a percentage",
             "give one of them");
    if (terms.deposit && terms.deposit->is_negative())
        fail("bad-deposit", {}, "the deposit is " + terms.deposit->str(), "use zero or above");
}

// Adds to each share its part of an amount, in proportion to what the shares are of.
void spread(std::vector<Money>& shares, const std::vector<Money>& costs, const Money& amount) {
    if (shares.empty() || amount.is_zero()) return;
    std::vector<Decimal> weights;
    for (const Money& cost : costs) weights.push_back(std::max(cost.decimal(), Decimal()));
    const std::vector<Money> parts = split(amount, weights);
    for (std::size_t i = 0; i < shares.size(); ++i) shares[i] += parts[i];
}

} // namespace

PriceBuildUp build_up(const PricingTerms& terms, const std::vector<CostLine>& lines) {
    check(terms);
    PriceBuildUp out;
    out.costs = out.tax_paid = out.tax_as_cost = Money::zero(terms.currency);
    std::vector<Money> costs;
    for (const CostLine& line : lines) {
        const Money tax = terms.tax_paid_recoverable ? Money::zero(terms.currency) : line.tax_paid;
        costs.push_back(line.amount + tax);
        out.steps.push_back({line.name, "", line.amount});
        out.costs += costs.back();
        out.tax_paid += line.tax_paid;
        out.tax_as_cost += tax;
    }
    const auto step = [&](std::string name, std::string formula, const Money& amount) {
        out.steps.push_back({std::move(name), std::move(formula), amount});
    };
    if (!out.tax_as_cost.is_zero()) step("tax paid", "not recoverable", out.tax_as_cost);
    step("costs", "sum", out.costs);

    out.contingency = out.costs.percent(terms.contingency_percent);
    if (!terms.contingency_percent.is_zero())
        step("contingency", terms.contingency_percent.str() + " % of " + out.costs.str(),
             out.contingency);

    const Money base = out.costs + out.contingency;
    out.markup = Money::zero(terms.currency);
    if (terms.markup_percent) {
        out.markup = base.percent(*terms.markup_percent);
        step("markup", terms.markup_percent->str() + " % of " + base.str(), out.markup);
    } else if (terms.margin_percent) {
        const Decimal kept = Decimal(1) - *terms.margin_percent * Decimal::scaled(1, 2);
        const Money price =
            Money::round(base.decimal().divided_by(kept, terms.currency.digits), terms.currency);
        out.markup = price - base;
        step("markup",
             "margin of " + terms.margin_percent->str() + " %: " + base.str() + " / " + kept.str() +
                 " - " + base.str(),
             out.markup);
    }
    out.net = base + out.markup;
    step("price without tax", "costs + contingency + markup", out.net);

    std::vector<Money> sold = costs;
    spread(sold, costs, out.contingency);
    spread(sold, costs, out.markup);
    std::vector<TaxedAmount> taxed;
    for (std::size_t i = 0; i < lines.size(); ++i)
        taxed.push_back({sold[i], lines[i].tax_charged.value_or(terms.tax_charged_percent)});
    out.taxes = tax_by_rate(taxed);
    out.tax = Money::zero(terms.currency);
    for (const TaxAtRate& row : out.taxes) {
        out.tax += row.tax;
        step("tax " + row.percent.str() + " %", row.percent.str() + " % of " + row.taxable.str(),
             row.tax);
    }
    out.total = out.net + out.tax;
    step("total", "price without tax + tax", out.total);

    out.deposit = Money::zero(terms.currency);
    if (terms.deposit) out.deposit = *terms.deposit;
    if (terms.deposit_percent) out.deposit = out.total.percent(*terms.deposit_percent);
    if (out.deposit > out.total)
        fail("bad-deposit", {},
             "the deposit of " + out.deposit.str() + " is above the total of " + out.total.str(),
             "ask for less");
    out.balance = out.total - out.deposit;
    if (terms.deposit || terms.deposit_percent) {
        step("deposit",
             terms.deposit_percent ? terms.deposit_percent->str() + " % of " + out.total.str()
                                   : "as agreed",
             out.deposit);
        step("balance", "total - deposit", out.balance);
    }
    return out;
}

std::vector<CashRow> cash_by_date(std::vector<CashNeed> needs) {
    std::map<std::pair<Date, std::string>, Money> by_day;
    for (const CashNeed& need : needs) by_day[{need.date, need.what}] += need.amount;
    std::vector<CashRow> rows;
    Money so_far;
    for (const auto& [key, amount] : by_day) {
        so_far += amount;
        rows.push_back({{key.first, key.second, amount}, so_far});
    }
    return rows;
}

} // namespace aumbry
