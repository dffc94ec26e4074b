#include "print/cut_book.hpp"
#include "views/text_page.hpp"
#include "views/text_views.hpp"

#include "aumbry/plugin.hpp"

namespace aumbry::views {

std::string account(const Account& account, bool colour) {
    Page page(colour);
    page.line(page.strong(account.title));
    page.heading("ESTIMATE AND ACTUAL, in " + account.currency.code + ", without tax");
    Table table({"", "estimated", "actual", "difference"});
    for (const AccountRow& row : account.rows) {
        table.row({row.title, row.planned.grouped(), row.actual.grouped(),
                   signed_amount(row.actual - row.planned)});
    }
    table.rule();
    table.row({"Together", account.planned.grouped(), account.actual.grouped(),
               signed_amount(account.actual - account.planned)});
    table.print(page);

    page.heading("HOURS");
    Table hours({"", "estimated", "actual", "difference"});
    for (const Account::Hours& each : account.hours) {
        const double more = each.worked - each.planned;
        hours.row({each.title, format_number(each.planned, 2), format_number(each.worked, 2),
                   (more > 0 ? "+" : "") + format_number(more, 2)});
    }
    hours.print(page);

    if (!account.open.empty()) {
        page.heading("NOT CLOSED YET: counted as estimated");
        for (const std::string& sentence : account.open) page.wrapped("- ", sentence);
    }
    page.heading("LEFT OVER");
    if (account.left.empty()) page.line("Nothing worth keeping.");
    for (const EstimateLeftover& each : account.left) {
        std::string size;
        for (const char* name : {"length", "width", "thickness"}) {
            if (!each.attributes.contains(name) || !each.attributes.at(name).is_number()) continue;
            size += (size.empty() ? "" : " x ") +
                    print::bare_length(each.attributes.at(name).get<double>(), account.length_unit);
        }
        if (!size.empty()) size += account.length_unit == "in" ? " in" : " mm";
        if (each.attributes.contains("volume"))
            size += (size.empty() ? "" : ", ") +
                    volume_text(each.attributes.at("volume").get<double>(), account.length_unit);
        page.pair("  " + std::to_string(each.count) + " x " + each.title, size);
    }
    return page.str();
}

} // namespace aumbry::views
