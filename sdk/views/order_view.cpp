#include "views/text_page.hpp"
#include "views/text_views.hpp"

#include "aumbry/plugin.hpp"
#include "aumbry/quantity.hpp"

#include <algorithm>

namespace aumbry::views {

namespace {

std::string length_in(const OrderHead& head, double mm) {
    return format_quantity(from_unit(mm, "mm"),
                           head.length_unit == "in" ? LengthUnit::inch : LengthUnit::mm);
}

/// "2484 x 1234 mm"
std::string size_in(const OrderHead& head, double length, double width) {
    std::string first = length_in(head, length);
    const std::string second = length_in(head, width);
    const std::string unit = ' ' + head.length_unit;
    if (first.ends_with(unit) && second.ends_with(unit)) first.resize(first.size() - unit.size());
    return first + " x " + second;
}

void money(Page& page, const OrderHead& head, const Order& order) {
    Table table({"", "", "each", "amount"});
    for (const OrderPosition& position : order.positions) {
        std::string title = std::to_string(position.number) + ". ";
        if (!position.sku.empty()) title += position.sku + "  ";
        title += position.description;
        if (!position.returnable) title += " (no return)";
        table.row({title, count_with_unit(position.count, position.measure, position.price_unit),
                   price_in_words(position.unit_price, head.currency), position.amount.grouped()});
    }
    for (const OrderCharge& charge : order.charges)
        table.row({charge.title, "", "", charge.amount.grouped()});
    table.rule();
    table.row({"Without tax", "", "", order.net.grouped()});
    for (const TaxAtRate& tax : order.taxes)
        table.row({"Tax " + tax.percent.str() + " % of " + tax.taxable.grouped(), "", "",
                   tax.tax.grouped()});
    table.row({"Total, " + order.currency, "", "", order.total.grouped()});
    table.print(page);
    if (!order.collecting.is_zero())
        page.pair("Fetching it costs you, on no invoice", order.collecting.grouped());
}

/// What each position of a shared order is for.
void purposes(Page& page, const Order& order) {
    for (const OrderPosition& position : order.positions) {
        std::string words;
        for (const std::string& line : position.lines) words += (words.empty() ? "" : "; ") + line;
        page.wrapped("  " + std::to_string(position.number) + ". ", words);
    }
}

/// Which boards are asked for, and where they are crosscut.
void wanted(Page& page, const Order& order) {
    bool first = true;
    for (const OrderPosition& position : order.positions) {
        if (position.wanted.empty()) continue;
        if (first) page.line();
        first = false;
        page.wrapped("  " + std::to_string(position.number) + ". ", wanted_text(position));
    }
}

void cuts(Page& page, const OrderHead& head, const Order& order) {
    if (order.sheets.empty()) return;
    page.line();
    page.line("Please cut, each cut in this order:");
    for (const SupplierSheet& sheet : order.sheets) {
        page.wrapped("  " + sheet.id + "  ", std::to_string(sheet.copies) + " x " + sheet.sku +
                                                 ", " + size_in(head, sheet.length, sheet.width));
        for (const SupplierCut& cut : sheet.cuts) {
            page.wrapped("     " + std::to_string(cut.number) + ". ",
                         std::string(cut.across ? "across" : "along") + " piece " + cut.piece +
                             " of " + size_in(head, cut.length, cut.width) + ", at " +
                             length_in(head, cut.at) +
                             (cut.cut_off.empty() || cut.cut_off == cut.piece
                                  ? ""
                                  : ": what comes off is " + cut.cut_off));
        }
        std::string text;
        for (const SupplierPiece& piece : sheet.pieces)
            text += (text.empty() ? "" : "; ") + piece.letter + ' ' +
                    size_in(head, piece.length, piece.width);
        page.wrapped("     gives ", text);
    }
}

} // namespace

std::string orders(const OrderHead& head, const std::vector<Order>& orders, bool colour) {
    Page page(colour);
    page.line(page.strong(head.title));
    page.line(std::to_string(orders.size()) + (orders.size() == 1 ? " order" : " orders") +
              ", all amounts in " + head.currency.code + ", prices of " +
              format_date(head.priced_on));
    if (std::any_of(orders.begin(), orders.end(), [](const Order& o) { return o.invented; }))
        page.line("Suppliers and prices are invented, for demonstration only.");
    for (const Order& order : orders) {
        page.heading(order.name);
        if (order.order_by) page.pair("Order by", day(*order.order_by));
        if (order.needed)
            page.pair(order.collected ? "Collect by" : "Deliver by", day(*order.needed));
        page.pair(order.collected ? "Ready to collect at the earliest" : "There at the earliest",
                  day(order.in_hand));
        if (order.mass > 0)
            page.pair("About",
                      mass_text(order.mass, head.length_unit, 0) +
                          (order.trips > 1 ? ", " + std::to_string(order.trips) + " trips" : ""));
        money(page, head, order);
        wanted(page, order);
        cuts(page, head, order);
    }

    if (std::any_of(orders.begin(), orders.end(), [](const Order& o) { return o.collected; })) {
        page.heading("TO COLLECT");
        for (const Order& order : orders) {
            if (!order.collected) continue;
            page.line(page.strong(order.name) + (order.needed ? ", by " + day(*order.needed) : ""));
            for (const OrderPosition& position : order.positions) {
                if (position.service) continue;
                page.wrapped("  [ ] ", count_with_unit(position.count, position.measure,
                                                       position.price_unit) +
                                           "  " + position.description +
                                           (position.sku.empty() ? "" : " (" + position.sku + ")"));
                if (const std::string wanted = wanted_text(position); !wanted.empty())
                    page.wrapped("      ", wanted);
            }
        }
    }
    return page.str();
}

std::string shared_orders(const SharedPurchase& purchase, bool colour) {
    Page page(colour);
    page.heading("BOUGHT TOGETHER, in " + purchase.head.currency.code);
    Table table({"", "alone", "together", "saved"});
    for (const PurchaseShare& share : purchase.shares)
        table.row({share.title, share.alone.grouped(), share.share.grouped(),
                   (share.alone - share.share).grouped()});
    table.rule();
    table.row({"All", purchase.alone.grouped(), purchase.together.grouped(),
               (purchase.alone - purchase.together).grouped()});
    table.print(page);
    page.wrapped("", "Each pays in proportion to what its purchase costs alone.");
    page.wrapped(
        "", purchase.proven
                ? "Proven cheapest: no other choice of suppliers among these offers costs less."
                : "Not proven: a cheaper choice of suppliers may exist.");
    page.heading("FOR WHOM");
    for (const Order& order : purchase.orders) {
        page.line(page.strong(order.name));
        purposes(page, order);
    }
    return orders(purchase.head, purchase.orders, colour) + page.str();
}

} // namespace aumbry::views
