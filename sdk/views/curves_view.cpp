#include "views/text_page.hpp"
#include "views/text_views.hpp"

#include <algorithm>

namespace aumbry::views {
namespace {

/// Goods of `now` of which there are fewer in `before`.
std::vector<std::string> beyond(const PurchaseStep& now, const PurchaseStep& before) {
    std::vector<std::string> list;
    for (const PurchaseStep::Goods& of : now.goods) {
        std::int64_t had = 0;
        for (const PurchaseStep::Goods& other : before.goods)
            if (other.offer == of.offer && other.description == of.description) had += other.count;
        if (of.count > had)
            list.push_back(std::to_string(of.count - had) + " x " + of.description + ", " +
                           of.supplier);
    }
    return list;
}

void changes(Page& page, const PurchaseStep& step, const PurchaseStep& before) {
    for (const std::string& goods : beyond(step, before)) page.wrapped("  + ", goods);
    for (const std::string& goods : beyond(before, step)) page.wrapped("  - ", goods);
}

std::string with_bound(const PurchaseStep& step) {
    return step.proven ? "proven cheapest"
                       : "lowest possible " + step.lower_bound.grouped() + ", not proven";
}

} // namespace

std::string curves(const PurchaseCurves& curves, bool colour) {
    Page page(colour);
    page.line(page.strong(curves.title));
    page.line((curves.alternative.empty() ? "Base" : "Alternative '" + curves.alternative + "'") +
              ", what is bought and delivered, in " + curves.currency.code);

    page.heading("SOONER: the lowest cost of being ready on each day");
    Table finish({"ready", "suppliers", "cost", "more", ""});
    for (const PurchaseStep& step : curves.by_finish)
        finish.row({day(step.ready), std::to_string(step.suppliers.size()), step.cost.grouped(),
                    step.more.is_zero() ? "" : step.more.grouped(), with_bound(step)});
    finish.print(page);
    for (std::size_t i = 1; i < curves.by_finish.size(); ++i) {
        page.line(day(curves.by_finish[i].ready) + ", against " +
                  day(curves.by_finish[i - 1].ready));
        changes(page, curves.by_finish[i], curves.by_finish[i - 1]);
    }
    if (curves.by_finish.size() == 1)
        page.wrapped("", "No other purchase among these offers lets the job be ready sooner.");

    page.heading("FEWER SUPPLIERS: the lowest cost with each number of orders");
    Table count({"suppliers", "ready", "cost", "more", ""});
    for (const PurchaseStep& step : curves.by_suppliers)
        count.row({std::to_string(step.suppliers.size()), day(step.ready), step.cost.grouped(),
                   step.more.is_zero() ? "" : step.more.grouped(), with_bound(step)});
    count.print(page);
    for (std::size_t i = 1; i < curves.by_suppliers.size(); ++i) {
        page.line(std::to_string(curves.by_suppliers[i].suppliers.size()) + " suppliers, against " +
                  std::to_string(curves.by_suppliers[i - 1].suppliers.size()));
        changes(page, curves.by_suppliers[i], curves.by_suppliers[i - 1]);
    }
    return page.str();
}

} // namespace aumbry::views
