#include "session/exports.hpp"

#include "print/print.hpp"
#include "views/text_views.hpp"

#include <array>
#include <string_view>

namespace aumbry::gui {

namespace {

constexpr std::array<Export, 15> all{{
    {"The estimate, text", "price.txt", false},
    {"The estimate, JSON", "price.json", false},
    {"Dates, text", "plan.txt", false},
    {"Dates, calendar", "plan.ics", false},
    {"Alternatives, text", "compare.txt", true},
    {"Alternatives, CSV", "compare.csv", true},
    {"Cutting, text", "cut.txt", false},
    {"Cutting, PDF", "cut.pdf", false},
    {"Labels, PDF", "labels.pdf", false},
    {"Orders, text", "orders.txt", false},
    {"Orders, PDF", "orders.pdf", false},
    {"What to collect, PDF", "to-collect.pdf", false},
    {"Quote, text", "quote.txt", false},
    {"Quote, PDF", "quote.pdf", false},
    {"Job pack, PDF", "job-pack.pdf", false},
}};

std::string pdf(std::vector<print::Page> pages, const char* title, const Estimate& estimate) {
    return print::to_pdf(pages, title + (": " + estimate.title), format_date(estimate.priced_on));
}

std::vector<print::Page> all_orders(const Estimate& estimate) {
    std::vector<print::Page> pages;
    for (const Order& order : orders_of(estimate)) {
        for (print::Page& page : print::order_pages(head_of(estimate), order))
            pages.push_back(std::move(page));
    }
    if (pages.empty()) pages = print::shopping_pages(head_of(estimate), {});
    return pages;
}

} // namespace

std::span<const Export> exports() {
    return all;
}

std::string bytes_of(const Export& what, const Estimate& estimate, const Comparison* comparison) {
    const std::string_view file = what.file;
    if (what.needs_comparison)
        return file == "compare.csv" ? to_csv(*comparison) : views::comparison(*comparison);
    if (file == "price.txt") return views::summary(estimate);
    if (file == "price.json") return pretty(to_json(estimate));
    if (file == "plan.txt") return views::plan(estimate);
    if (file == "plan.ics") return views::plan_calendar(estimate);
    if (file == "orders.txt") return views::orders(head_of(estimate), orders_of(estimate));
    if (file == "orders.pdf") return pdf(all_orders(estimate), "Orders", estimate);
    if (file == "to-collect.pdf")
        return pdf(print::shopping_pages(head_of(estimate), orders_of(estimate)), "To collect",
                   estimate);
    if (file == "quote.txt") return views::quote(quote_of(estimate));
    if (file == "quote.pdf")
        return pdf(print::quote_pages(quote_of(estimate), estimate.length_unit), "Quote", estimate);
    const print::CutBook book = print::cut_book(estimate);
    if (file == "cut.txt") return views::cut_plans(book);
    if (file == "cut.pdf") return pdf(print::cut_pages(book), "Cutting", estimate);
    if (file == "labels.pdf") return pdf(print::label_pages(book), "Labels", estimate);
    return pdf(print::job_pack_pages(estimate, book), "Job pack", estimate);
}

} // namespace aumbry::gui
