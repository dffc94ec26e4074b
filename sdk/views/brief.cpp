// The estimate on one screen: what it costs, when it is ready, what is wrong, what comes first.
#include "views/text_page.hpp"
#include "views/text_views.hpp"

#include "aumbry/plugin.hpp"

#include <algorithm>
#include <chrono>

namespace aumbry::views {

namespace {

/// As many of a list as a screen has room for.
constexpr std::size_t max_problems = 4;
constexpr std::size_t max_sentences = 4;
constexpr std::size_t max_orders = 5;
constexpr std::size_t max_pieces = 8;
constexpr std::size_t max_costs = 5;

std::string counted(std::size_t number, const std::string& one) {
    return std::to_string(number) + ' ' + one + (number == 1 ? "" : "s");
}

std::size_t count_of(const Estimate& estimate, contract::Severity severity) {
    return static_cast<std::size_t>(
        std::count_if(estimate.findings.begin(), estimate.findings.end(),
                      [&](const EstimateFinding& each) { return each.severity == severity; }));
}

void head(Page& page, const Estimate& estimate) {
    page.line(page.strong(estimate.title));
    const bool invented = std::any_of(estimate.orders.begin(), estimate.orders.end(),
                                      [](const EstimateOrder& o) { return o.invented; });
    page.wrapped(
        "", (estimate.alternative.empty() ? "Base" : "Alternative '" + estimate.alternative + "'") +
                ", prices of " + format_date(estimate.priced_on) +
                (invented ? "; suppliers and prices are invented, for demonstration only" : ""));
    page.line();
    page.pair(page.strong(estimate.labour_stated ? "Total" : "Total without labour"),
              estimate.currency.code + ' ' + estimate.totals.total.grouped());
    if (!estimate.not_counted.empty()) page.wrapped("  ", not_counted_text(estimate));
    page.pair(page.strong("Ready"), day(estimate.schedule.ready));
    double hours = 0;
    for (const EstimateHours& each : estimate.schedule.hours) hours += each.hours;
    if (hours > 0)
        page.pair("Work, from " + day(estimate.start), format_number(hours, 1) + " hours");
}

/// Problems in full; of the rest how many there are.
void wrong(Page& page, const Estimate& estimate) {
    page.line();
    std::size_t told = 0;
    const std::size_t problems = count_of(estimate, contract::Severity::problem);
    for (const EstimateFinding& finding : estimate.findings) {
        if (finding.severity == contract::Severity::problem && told < max_problems) {
            ++told;
            page.wrapped("PROBLEM ", finding.text);
        }
    }
    if (problems > told) page.line("and " + counted(problems - told, "more problem") + ": --full");
    const std::size_t warnings = count_of(estimate, contract::Severity::warning);
    if (warnings > 0)
        page.wrapped("WARNING ", counted(warnings, "warning") + " of what can kill or maim: read " +
                                     (warnings == 1 ? "it" : "them") +
                                     " before work begins (--full)");
    const std::size_t cautions = count_of(estimate, contract::Severity::caution);
    if (cautions > 0) page.line("caution " + counted(cautions, "caution") + " (--full)");
}

void left_out(Page& page, const Estimate& estimate) {
    if (estimate.not_included.empty()) return;
    page.heading("NOT INCLUDED");
    const std::size_t shown = std::min(max_sentences, estimate.not_included.size());
    for (std::size_t i = 0; i < shown; ++i)
        page.line(left("- " + estimate.not_included[i],
                       std::min(page.width(), width_of(estimate.not_included[i]) + 2)));
    if (shown < estimate.not_included.size())
        page.line("and " + std::to_string(estimate.not_included.size() - shown) + " more: --full");
}

/// What must be ordered first: within a week of the first day on which anything must be.
void first_orders(Page& page, const Estimate& estimate) {
    std::vector<const EstimateOrder*> orders;
    for (const EstimateOrder& order : estimate.orders) {
        if (order.order_by) orders.push_back(&order);
    }
    if (orders.empty()) return;
    std::stable_sort(orders.begin(), orders.end(),
                     [](const auto* a, const auto* b) { return *a->order_by < *b->order_by; });
    const Date first = *orders.front()->order_by;
    const Date week = first + std::chrono::days(6);
    page.heading("TO ORDER IN THE FIRST WEEK, with tax");
    Table table({"", "at the latest", "amount"});
    std::size_t shown = 0;
    std::size_t later = 0;
    for (const EstimateOrder* order : orders) {
        if (*order->order_by > week || shown == max_orders) {
            ++later;
            continue;
        }
        ++shown;
        table.row({order->name + (order->collected ? ", collect it" : ", delivered"),
                   day(*order->order_by), order->total.grouped()});
    }
    table.print(page);
    if (later > 0) page.line("and " + counted(later, "order") + " later: aumbry order");
}

void by_piece(Page& page, const Estimate& estimate) {
    page.heading("COST BY PIECE");
    Table table({"", "goods", "labour", "all else", "total"});
    const auto row = [&](const std::string& title, const Totals& totals) {
        const Money goods = totals.goods + totals.services + totals.delivery;
        const Money rest = totals.total - goods - totals.labour;
        table.row({title, goods.grouped(), totals.labour.grouped(), rest.grouped(),
                   totals.total.grouped()});
    };
    std::size_t shown = 0;
    std::size_t others = 0;
    Totals rest = estimate.totals; // less what is shown
    for (const Part& part : estimate.by_piece) {
        if (part.totals.total.is_zero()) continue;
        if (shown == max_pieces) {
            ++others;
            continue;
        }
        ++shown;
        row(part.title, part.totals);
        rest.goods -= part.totals.goods;
        rest.services -= part.totals.services;
        rest.delivery -= part.totals.delivery;
        rest.labour -= part.totals.labour;
        rest.total -= part.totals.total;
    }
    if (others > 0) row(counted(others, "more piece"), rest);
    table.print(page);
}

/// The largest single amounts: goods and the work of each person.
void largest(Page& page, const Estimate& estimate) {
    struct Cost {
        std::string title;
        Money amount;
    };
    std::vector<Cost> costs;
    for (const EstimatePurchase& purchase : estimate.purchases) {
        if (purchase.amount.is_zero()) continue;
        costs.push_back({count_with_unit(purchase.count, purchase.measure, purchase.price_unit) +
                             ' ' + purchase.description +
                             (purchase.supplier_name.empty() ? "" : ", " + purchase.supplier_name),
                         purchase.amount});
    }
    for (const EstimateHours& hours : estimate.schedule.hours)
        costs.push_back({"Work of " + hours.title + ", " + format_number(hours.hours, 1) + " hours",
                         hours.amount});
    std::stable_sort(costs.begin(), costs.end(),
                     [](const Cost& a, const Cost& b) { return b.amount < a.amount; });
    if (costs.empty()) return;
    page.heading("LARGEST COSTS, without tax");
    Table table({"", "amount"});
    for (std::size_t i = 0; i < std::min(max_costs, costs.size()); ++i)
        table.row({costs[i].title, costs[i].amount.grouped()});
    table.print(page);
}

} // namespace

std::string brief(const Estimate& estimate, const std::string& project, bool colour) {
    Page page(colour);
    head(page, estimate);
    wrong(page, estimate);
    left_out(page, estimate);
    first_orders(page, estimate);
    by_piece(page, estimate);
    largest(page, estimate);
    page.line();
    page.line("Next: aumbry price " + project + " --full");
    page.line("      aumbry cut " + project + " --pdf cut.pdf");
    page.line("      aumbry order " + project + " --pdf orders");
    return page.str();
}

} // namespace aumbry::views
