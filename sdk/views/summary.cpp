#include "views/text_page.hpp"
#include "views/text_views.hpp"

#include "aumbry/plugin.hpp"

#include <algorithm>
#include <map>

namespace aumbry::views {

std::string day(Date date) {
    return std::string(weekday_name(weekday(date)).substr(0, 3)) + ' ' + format_date(date);
}

std::string count_with_unit(std::int64_t count, double measure, const std::string& unit) {
    if (measure <= 0 || unit == "piece") return std::to_string(count) + " x";
    if (measure == 1) return std::to_string(count) + ' ' + unit;
    return std::to_string(count) + " x " + format_trimmed(measure, 3) + ' ' + unit;
}

std::string goods_of(const Estimate& estimate, const std::string& demand) {
    for (const EstimatePurchase& purchase : estimate.purchases) {
        const bool meets = std::find(purchase.demands.begin(), purchase.demands.end(), demand) !=
                           purchase.demands.end();
        if (meets && !purchase.owned) return purchase.description;
    }
    return demand;
}

std::string proof_in_words(const EstimateBound& bound) {
    if (!bound.proven)
        return "fewest possible " + std::to_string(bound.lower_bound) + ", not proven";
    return bound.used > bound.lower_bound ? "proven cheapest" : "proven fewest";
}

std::string severity_word(contract::Severity severity) {
    switch (severity) {
    case contract::Severity::problem:
        return "PROBLEM ";
    case contract::Severity::warning:
        return "WARNING ";
    case contract::Severity::caution:
        return "caution ";
    case contract::Severity::note:
        break;
    }
    return "note    ";
}

std::string not_counted_text(const Estimate& estimate) {
    std::string text;
    for (const std::string& work : estimate.not_counted)
        text += (text.empty() ? "Not counted: " : "; ") + work;
    return text.empty() ? text : text + '.';
}

namespace {

std::string nothing_if_zero(const Money& amount) {
    return amount.is_zero() ? std::string() : amount.grouped();
}

void parts(Page& page, const char* heading, const std::vector<Part>& parts, const Totals& totals) {
    page.heading(heading);
    Table table({"", "goods", "services", "delivery", "labour", "risk", "profit", "tax", "total"});
    const auto row = [&](const std::string& title, const Totals& t) {
        table.row({title, nothing_if_zero(t.goods), nothing_if_zero(t.services),
                   nothing_if_zero(t.delivery), nothing_if_zero(t.labour),
                   nothing_if_zero(t.contingency), nothing_if_zero(t.markup),
                   nothing_if_zero(t.tax), t.total.grouped()});
    };
    for (const Part& part : parts) {
        if (!part.totals.total.is_zero()) row(part.title, part.totals);
    }
    table.rule();
    row("Total", totals);
    table.print(page);
}

void order(Page& page, const Estimate& estimate, const EstimateOrder& order) {
    page.line();
    page.line(page.strong(order.name));
    std::string terms = order.collected ? "collect it" : "delivered";
    if (order.order_by) terms += "; order by " + day(*order.order_by);
    page.wrapped("  ", terms + " (ordered " +
                           (order.after.empty() ? "at the start" : day(order.goes_out)) +
                           ": there " + day(order.arrives) + ")");
    Table table({"", "", "each", "amount"});
    for (const EstimatePurchase& purchase : estimate.purchases) {
        if (purchase.supplier != order.supplier || purchase.state != Progress::planned) continue;
        std::string title = "  " + purchase.description;
        if (!purchase.returnable && !purchase.service) title += " (no return)";
        table.row({title, count_with_unit(purchase.count, purchase.measure, purchase.price_unit),
                   Money::round(purchase.unit_price, estimate.currency).grouped(),
                   purchase.amount.grouped()});
    }
    const auto charge = [&](const std::string& title, const Money& amount) {
        if (!amount.is_zero()) table.row({"  " + title, "", "", amount.grouped()});
    };
    charge("cuts by the dealer (" + std::to_string(order.cut_count) + ")", order.cuts);
    charge(order.collected ? "collecting it" : "delivery", order.delivery);
    charge("up to the minimum order", order.small_order);
    charge("tax", order.tax);
    table.row({"  order", "", "", order.total.grouped()});
    table.print(page);
}

void owned(Page& page, const Estimate& estimate) {
    bool any = false;
    for (const EstimatePurchase& purchase : estimate.purchases) {
        if (!purchase.owned) continue;
        if (!any) {
            page.line();
            page.line(page.strong("From your own stock"));
        }
        any = true;
        const std::string what =
            "  " + std::to_string(purchase.count) + " x " + purchase.description;
        if (purchase.amount.is_zero())
            page.line(what);
        else
            page.pair(what, purchase.amount.grouped());
    }
}

void bought(Page& page, const Estimate& estimate) {
    Table table({"", "", "", "paid"});
    bool any = false;
    for (const EstimatePurchase& purchase : estimate.purchases) {
        if (purchase.state == Progress::planned) continue;
        any = true;
        std::string where(word_of(purchase.state));
        if (purchase.state == Progress::ordered) where += ", in hand " + day(purchase.arrives);
        table.row({"  " + purchase.description,
                   purchase.count > 0 ? std::to_string(purchase.count) + " x" : "", where,
                   purchase.amount.grouped()});
    }
    if (!any) return;
    page.heading("BOUGHT ALREADY, without tax");
    table.print(page);
}

/// What decides when the job is ready, one row a day: the longest step of the day, and how many
/// more there are.
void critical_days(Page& page, const Estimate& estimate) {
    struct Day {
        const EstimateTask* longest = nullptr;
        std::size_t others = 0;
    };
    std::map<Date, Day> days;
    for (const std::string& id : estimate.schedule.critical_path) {
        if (id.starts_with("arrival ")) {
            page.line("  waits for goods: " + goods_of(estimate, id.substr(8)));
            continue;
        }
        const auto task =
            std::find_if(estimate.schedule.tasks.begin(), estimate.schedule.tasks.end(),
                         [&](const EstimateTask& t) { return t.id == id; });
        if (task == estimate.schedule.tasks.end() || task->minutes + task->wait_minutes <= 0)
            continue;
        Day& day = days[task->finish];
        if (day.longest != nullptr) ++day.others;
        if (day.longest == nullptr || task->minutes > day.longest->minutes) day.longest = &*task;
    }
    for (const auto& [date, on] : days) {
        std::string text = "  " + on.longest->title;
        if (on.others > 0) text += ", and " + std::to_string(on.others) + " more";
        page.pair(text, day(date));
    }
}

void dates(Page& page, const Estimate& estimate) {
    page.heading("DATES");
    page.pair("Work begins", day(estimate.start));
    page.line("What decides when the job is ready, by the day on which it is done:");
    critical_days(page, estimate);
    page.pair(page.strong("Ready"), day(estimate.schedule.ready));
    if (!estimate.prices_hold) return;
    page.pair("Every price used holds until", day(*estimate.prices_hold));
    const auto first =
        std::find_if(estimate.purchases.begin(), estimate.purchases.end(),
                     [&](const EstimatePurchase& p) { return p.valid_to == estimate.prices_hold; });
    if (first == estimate.purchases.end()) return;
    const std::size_t others = estimate.prices_hold_offers.size() - 1;
    page.wrapped("  ", "then ends that of " + first->description + ", " + first->supplier_name +
                           (others > 0 ? ", and of " + std::to_string(others) + " more" : ""));
}

void cash(Page& page, const Estimate& estimate) {
    if (estimate.cash.empty()) return;
    page.heading("CASH, with tax; own work is not in it");
    Table table({"at the latest on", "out", "in", "needed so far"});
    for (const EstimateCash& row : estimate.cash) {
        const bool comes_in = row.amount.is_negative();
        table.row({day(row.date) + "  " + row.what, comes_in ? "" : row.amount.grouped(),
                   comes_in ? (-row.amount).grouped() : "", row.so_far.grouped()});
    }
    table.print(page);
}

/// Where the maker stands by the week: a thin week and one in which nothing is paid for are seen.
void weeks(Page& page, const Estimate& estimate) {
    if (estimate.weeks.empty()) return;
    page.heading("BY THE WEEK, the maker's own hours beside the cash");
    Table table({"week from", "out", "in", "own hours"});
    for (const EstimateWeek& week : estimate.weeks) {
        table.row({day(week.from), nothing_if_zero(week.out), nothing_if_zero(week.in),
                   week.hours > 0 ? format_number(week.hours, 1) : ""});
    }
    table.print(page);
}

void spares(Page& page, const Estimate& estimate) {
    if (estimate.spare_sheets.empty()) return;
    page.heading("ONE SPARE SHEET, delivered, everything else bought as it is");
    Table table({"", "more"});
    for (const EstimateSpare& spare : estimate.spare_sheets) {
        table.row({spare.title + ": " + spare.description + ", " + spare.supplier_name,
                   spare.more.grouped()});
    }
    table.print(page);
}

void plans(Page& page, const Estimate& estimate) {
    const auto planned = [](const EstimateBound& bound) { return bound.used > 0; };
    if (std::none_of(estimate.bounds.begin(), estimate.bounds.end(), planned)) return;
    page.heading("CUTTING");
    Table table({"", "used", "yield", ""});
    for (const EstimateBound& bound : estimate.bounds) {
        if (!planned(bound)) continue; // wood by volume has no plan
        table.row({bound.material, std::to_string(bound.used),
                   format_number(bound.yield * 100, 1) + " %", proof_in_words(bound)});
    }
    table.print(page);
}

void findings(Page& page, const Estimate& estimate) {
    if (estimate.findings.empty()) return;
    page.heading("WATCH OUT");
    for (const EstimateFinding& finding : estimate.findings) {
        page.wrapped(severity_word(finding.severity), finding.text);
    }
}

} // namespace

std::string summary(const Estimate& estimate, bool colour) {
    Page page(colour);
    page.line(page.strong(estimate.title));
    page.line(
        (estimate.alternative.empty() ? "Base" : "Alternative '" + estimate.alternative + "'") +
        ", all amounts in " + estimate.currency.code + ", prices of " +
        format_date(estimate.priced_on));
    const bool invented = std::any_of(estimate.orders.begin(), estimate.orders.end(),
                                      [](const EstimateOrder& o) { return o.invented; });
    if (invented) page.line("Suppliers and prices are invented, for demonstration only.");

    parts(page, "COST BY PIECE", estimate.by_piece, estimate.totals);
    parts(page, "COST BY MODULE", estimate.by_module, estimate.totals);

    bought(page, estimate);
    page.heading("TO BUY, without tax where not said");
    for (const EstimateOrder& each : estimate.orders) order(page, estimate, each);
    owned(page, estimate);
    if (!estimate.orders.empty()) {
        page.line();
        page.wrapped("", cheapness_in_words(estimate));
    }

    plans(page, estimate);
    spares(page, estimate);

    if (!estimate.schedule.hours.empty()) {
        page.heading("WORK");
        Table table({"", "hours", "charged", "rate", "amount"});
        for (const EstimateHours& hours : estimate.schedule.hours) {
            table.row({hours.title, format_number(hours.hours, 2),
                       hours.charged > hours.hours ? format_number(hours.charged, 2) : "",
                       Money::round(hours.rate, estimate.currency).grouped(),
                       hours.amount.grouped()});
        }
        table.print(page);
    }

    page.heading("TOTAL");
    const Totals& totals = estimate.totals;
    const auto sum = [&](const char* title, const Money& amount) {
        if (!amount.is_zero()) page.pair(title, amount.grouped());
    };
    sum("Goods", totals.goods);
    sum("Services and cuts", totals.services);
    sum("Delivery", totals.delivery);
    sum("Labour", totals.labour);
    sum("Contingency", totals.contingency);
    sum("Markup", totals.markup);
    sum("Tax", totals.tax);
    page.rule();
    page.pair(page.strong(estimate.labour_stated ? "Total" : "Total without labour"),
              estimate.currency.code + ' ' + totals.total.grouped());
    if (!estimate.deposit.is_zero()) {
        sum("Deposit", estimate.deposit);
        sum("Balance", estimate.balance);
    }
    if (estimate.earned_an_hour) sum("An hour of the maker's work earns", *estimate.earned_an_hour);
    if (!estimate.not_counted.empty()) page.wrapped("", not_counted_text(estimate));

    dates(page, estimate);
    cash(page, estimate);
    weeks(page, estimate);

    if (!estimate.not_included.empty()) {
        page.heading("NOT INCLUDED");
        for (const std::string& sentence : estimate.not_included) page.wrapped("- ", sentence);
    }
    findings(page, estimate);
    return page.str();
}

std::string module_list(const PluginHost& host, bool colour) {
    Page page(colour);
    for (const contract::Description& module : host.modules()) {
        page.line(page.strong(module.id) + "  " + module.title + ", version " + module.version +
                  ", contract " + module.contract);
        std::string kinds;
        for (const contract::LineKind& kind : module.line_kinds)
            kinds += (kinds.empty() ? "" : ", ") + kind.kind;
        page.wrapped("    lines    ", kinds);
        std::string classes;
        for (const contract::CatalogClass& catalog_class : module.catalog_classes)
            classes += (classes.empty() ? "" : ", ") + catalog_class.name;
        if (!classes.empty()) page.wrapped("    classes  ", classes);
    }
    for (const RefusedModule& refused : host.refused())
        page.wrapped("refused  ", refused.file + " " + refused.reason);
    return page.str();
}

std::string cheapness_in_words(const Estimate& estimate) {
    if (estimate.purchase_proven)
        return "Proven cheapest: no way of cutting and buying these parts from these price lists "
               "costs less.";
    if (!estimate.purchase_not_bounded.empty())
        return "Not bounded: " + estimate.purchase_not_bounded + ".";
    const Money gap = estimate.purchase_cost - estimate.purchase_bound;
    const double share = estimate.purchase_cost.is_zero()
                             ? 0
                             : gap.decimal().to_double() /
                                   estimate.purchase_cost.decimal().to_double() * 100;
    return "At most " + estimate.purchase_cost.currency().code + ' ' + gap.grouped() + " (" +
           format_number(share, 1) +
           " %) of what is bought could be saved by cutting or buying otherwise.";
}

} // namespace aumbry::views
