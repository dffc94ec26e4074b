#include "views/text_page.hpp"
#include "views/text_views.hpp"

#include "aumbry/plugin.hpp"

namespace aumbry::views {

namespace {

void party(Page& page, const char* title, const Party& party) {
    if (party.name.empty()) return;
    page.wrapped(title, party.name);
    const std::string indent(std::string_view(title).size(), ' ');
    for (const std::string& line : party.address) page.wrapped(indent, line);
    if (!party.contact.empty()) page.wrapped(indent, party.contact);
    if (!party.tax_number.empty()) page.wrapped(indent, "tax number " + party.tax_number);
}

void list(Page& page, const char* heading, const std::vector<std::string>& sentences) {
    if (sentences.empty()) return;
    page.heading(heading);
    for (const std::string& sentence : sentences) page.wrapped("- ", sentence);
}

} // namespace

std::string quote(const Quote& quote, bool colour) {
    Page page(colour);
    page.line(page.strong("Quote" + (quote.number.empty() ? "" : ' ' + quote.number) + ": " +
                          quote.title));
    if (quote.invented) page.line("A demonstration: suppliers and prices are invented.");
    page.pair("Of", day(quote.on));
    if (quote.valid_until) page.pair("Valid until", day(*quote.valid_until));
    page.pair("Ready, as planned today", day(quote.ready));
    party(page, "From  ", quote.maker);
    party(page, "For   ", quote.client);

    page.heading("PRICE, in " + quote.currency);
    Table table({"", "without tax"});
    for (const QuotePart& part : quote.parts) table.row({part.title, part.price.grouped()});
    table.rule();
    table.row({"Together", quote.net.grouped()});
    for (const TaxAtRate& tax : quote.taxes)
        table.row({"Tax " + tax.percent.str() + " %", tax.tax.grouped()});
    table.row({"Total", quote.total.grouped()});
    table.print(page);

    if (!quote.stages.empty()) {
        page.heading("DUE");
        for (const QuoteStage& stage : quote.stages) page.pair(stage.title, stage.amount.grouped());
    }
    if (quote.included.empty() && !quote.parts.empty()) {
        page.heading("INCLUDED");
        for (const QuotePart& part : quote.parts) {
            std::string titles;
            for (const std::string& title : part.included)
                titles += (titles.empty() ? "" : "; ") + title;
            if (titles.empty()) continue;
            page.line(part.title);
            page.wrapped("  ", titles);
        }
    } else {
        list(page, "INCLUDED", quote.included);
    }
    list(page, "NOT INCLUDED", quote.not_included);
    list(page, "TERMS", quote.terms);
    return page.str();
}

std::string change(const QuoteChange& change, bool colour) {
    Page page(colour);
    page.line(page.strong("Change against the quote" +
                          (change.accepted.number.empty() ? "" : ' ' + change.accepted.number) +
                          " of " + format_date(change.accepted.on) + ": " + change.now.title));
    page.heading("PRICE, in " + change.now.currency);
    Table table({"", "accepted", "now", "difference"});
    for (const QuoteDifference& part : change.parts) {
        table.row({part.title, part.before ? part.before->grouped() : "",
                   part.after ? part.after->grouped() : "", signed_amount(part.difference)});
    }
    table.rule();
    const auto row = [&](const char* title, const Money& before, const Money& after) {
        table.row({title, before.grouped(), after.grouped(), signed_amount(after - before)});
    };
    row("Without tax", change.accepted.net, change.now.net);
    row("Tax", change.accepted.total - change.accepted.net, change.now.total - change.now.net);
    row("Total", change.accepted.total, change.now.total);
    table.print(page);
    page.heading("DATES");
    page.pair("Ready, as accepted", day(change.accepted.ready));
    page.pair("Ready now", day(change.now.ready));
    page.pair("Difference", change.days == 0    ? "none"
                            : change.days == 1  ? "1 day later"
                            : change.days > 0   ? std::to_string(change.days) + " days later"
                            : change.days == -1 ? "1 day sooner"
                                                : std::to_string(-change.days) + " days sooner");
    return page.str();
}

} // namespace aumbry::views
