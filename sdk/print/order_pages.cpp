#include "print/flow.hpp"
#include "print/print.hpp"
#include "print/sheet_drawing.hpp"
#include "print/sheet_page.hpp"

#include "aumbry/reader_measures.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>

namespace aumbry::print {
namespace {

std::string count_in_words(const OrderPosition& position) {
    const std::string count = std::to_string(position.count);
    if (position.measure <= 0 || position.price_unit == "piece") return count;
    const std::string measure = format_trimmed(position.measure, 3) + ' ' + position.price_unit;
    if (position.measure == 1) return count + ' ' + position.price_unit;
    return count + " x " + measure;
}

std::string described(const OrderPosition& position) {
    const std::string wanted = wanted_text(position);
    return position.description + (wanted.empty() ? "" : ": " + wanted);
}

void party(Flow& flow, const std::string& title, const Party& party) {
    if (party.name.empty()) return;
    flow.pair(title + party.name, party.contact, true);
    std::string lines;
    for (const std::string& line : party.address) lines += (lines.empty() ? "" : ", ") + line;
    if (!party.tax_number.empty())
        lines += (lines.empty() ? "" : "; ") + std::string("tax number ") + party.tax_number;
    if (!lines.empty()) flow.paragraph(lines);
}

void positions(Flow& flow, const OrderHead& head, const Order& order) {
    std::vector<std::vector<Cell>> rows;
    for (const OrderPosition& position : order.positions) {
        std::string what = described(position);
        if (!position.returnable) what += " (no return)";
        std::string each = price_in_words(position.unit_price, head.currency);
        if (position.listed_currency != order.currency && !position.listed_currency.empty())
            each += " (" + position.listed_currency + ' ' + position.listed_price.str() + ')';
        rows.push_back({std::to_string(position.number),
                        {position.sku, true},
                        what,
                        count_in_words(position),
                        each,
                        position.amount.grouped()});
    }
    for (const OrderCharge& charge : order.charges)
        rows.push_back({"", "", charge.title, "", "", charge.amount.grouped()});
    const double rest = flow.width() - 8 - 36 - 24 - 26 - 24;
    flow.table({{"", 8},
                {"article", 36},
                {"what", rest},
                {"count", 24, true},
                {"each", 26, true},
                {"amount", 24, true}},
               rows);
    flow.rule();
    flow.pair("Without tax", order.net.grouped());
    for (const TaxAtRate& tax : order.taxes)
        flow.pair("Tax " + tax.percent.str() + " % of " + tax.taxable.grouped(), tax.tax.grouped());
    flow.pair("Total, " + order.currency, order.total.grouped(), true);
}

/// A sheet that the supplier cuts, as a plan of its cuts alone.
SheetPage plan_of(const SupplierSheet& sheet, const std::string& unit) {
    SheetPage plan;
    plan.id = sheet.id;
    plan.length = sheet.length;
    plan.width = sheet.width;
    plan.clean_up = sheet.clean_up;
    plan.copies = sheet.copies;
    const auto kept = [&](const std::string& letter, double length, double width) {
        return letter.empty() ? std::string("waste")
                              : letter + ' ' + bare_size(length, width, unit);
    };
    for (const SupplierCut& cut : sheet.cuts) {
        PlannedCut& drawn = plan.cuts.emplace_back();
        drawn.number = cut.number;
        drawn.dealer = true;
        drawn.along = !cut.across;
        drawn.kind = cut.kind;
        drawn.setting = cut.at;
        drawn.kerf = cut.kerf;
        drawn.x1 = cut.x1;
        drawn.y1 = cut.y1;
        drawn.x2 = cut.x2;
        drawn.y2 = cut.y2;
        drawn.piece = cut.piece;
        drawn.blank_length = cut.length;
        drawn.blank_width = cut.width;
        drawn.first_short = cut.cut_off.empty() ? "waste" : cut.cut_off;
        drawn.rest_short = cut.left.empty() ? "waste" : cut.left;
        drawn.first =
            kept(cut.cut_off, cut.across ? cut.at : cut.length, cut.across ? cut.width : cut.at);
        drawn.rest = drawn.rest_short;
    }
    for (const SupplierPiece& piece : sheet.pieces)
        plan.pieces.push_back({piece.letter, piece.x, piece.y, piece.length, piece.width, true});
    return plan;
}

/// One sheet a page: what to cut, in which order, and what comes of it.
void cuts(Flow& flow, const Order& order, const std::string& unit) {
    const CutBook nothing_else{.length_unit = unit};
    for (const SupplierSheet& sheet : order.sheets) {
        const SheetPage plan = plan_of(sheet, unit);
        flow.new_page();
        flow.title(sheet.id + ": " + std::to_string(sheet.copies) + " x " + sheet.sku + ", " +
                   size_with_unit(sheet.length, sheet.width, unit));
        flow.paragraph("Please make these cuts in this order, each through the whole piece. A "
                       "setting is from the piece's left or upper edge; the first number of a cut "
                       "is its place in the order, a letter is the piece: please chalk it on "
                       "with the number of the sheet, as " +
                           sheet.id + " B. What is left keeps its letter. " + unit_note(unit),
                       3.0);
        if (sheet.copies > 1)
            flow.paragraph("The same for each of the " + std::to_string(sheet.copies) + " sheets.",
                           3.5, true);
        flow.skip(2);
        const double end = draw_sheet(flow.page(), nothing_else, plan, Flow::margin, flow.y(),
                                      flow.width(), 120, true);
        flow.skip(end - flow.y() + 3);
        list_cuts(flow, nothing_else, plan);
        std::string pieces;
        for (const SupplierPiece& piece : sheet.pieces)
            pieces += (pieces.empty() ? "" : "; ") + piece.letter + ' ' +
                      bare_size(piece.length, piece.width, unit);
        flow.paragraph("Gives " + std::to_string(sheet.pieces.size()) + " pieces: " + pieces + '.',
                       3.5);
    }
}

} // namespace

std::vector<Page> order_pages(const OrderHead& head, const Order& order) {
    const std::string title = "Order to " + order.name;
    Flow flow(title, paper_for(head.length_unit));
    flow.title(title);
    if (order.invented)
        flow.paragraph("A demonstration: this supplier and its prices are invented.");
    party(flow, "From ", head.maker);
    flow.pair("For the job", head.title);
    flow.pair("Prices of", format_date(head.priced_on));
    if (order.needed)
        flow.pair(order.collected ? "To be collected by" : "To be delivered by",
                  format_date(*order.needed), true);
    if (order.order_by) flow.pair("To be ordered by", format_date(*order.order_by));
    if (order.mass > 0) flow.pair("About", mass_text(order.mass, head.length_unit, 0));
    flow.skip(3);
    positions(flow, head, order);
    if (!order.sheets.empty()) {
        flow.skip(2);
        flow.paragraph("The sheets are to be cut as drawn on the pages that follow.");
    }
    cuts(flow, order, head.length_unit);
    std::vector<Page> pages = flow.finish();
    number_pages(pages, title);
    return pages;
}

std::vector<Page> shopping_pages(const OrderHead& head, const std::vector<Order>& orders) {
    Flow flow("To collect: " + head.title, paper_for(head.length_unit));
    flow.title("To collect: " + head.title);
    bool any = false;
    for (const Order& order : orders) {
        if (!order.collected) continue;
        any = true;
        flow.heading(order.name + (order.needed ? ", by " + format_date(*order.needed) : ""));
        std::string load =
            order.mass > 0 ? "About " + mass_text(order.mass, head.length_unit, 0) + ". " : "";
        if (order.trips > 1) load += std::to_string(order.trips) + " trips of the vehicle. ";
        std::int64_t sheets = 0;
        for (const SupplierSheet& sheet : order.sheets) sheets += sheet.copies;
        if (sheets > 0)
            load += "The supplier cuts " + std::to_string(sheets) +
                    " of the sheets first, so that they fit the car: take the drawings along.";
        if (!load.empty()) flow.paragraph(load);
        std::vector<std::vector<Cell>> rows;
        for (const OrderPosition& position : order.positions) {
            if (position.service) continue;
            rows.push_back({"[   ]",
                            {count_in_words(position), true},
                            described(position),
                            position.sku,
                            position.amount.grouped()});
        }
        flow.table({{"", 10},
                    {"count", 28},
                    {"what", flow.width() - 10 - 28 - 44 - 24},
                    {"article", 44},
                    {"without tax", 24, true}},
                   rows);
        flow.pair("Total with tax, " + order.currency, order.total.grouped(), true);
    }
    if (!any) flow.paragraph("Everything is delivered: there is nothing to collect.");
    std::vector<Page> pages = flow.finish();
    number_pages(pages, "To collect: " + head.title);
    return pages;
}

} // namespace aumbry::print
