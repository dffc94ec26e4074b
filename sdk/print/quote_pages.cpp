#include "print/flow.hpp"
#include "print/print.hpp"

namespace aumbry::print {

std::vector<Page> quote_pages(const Quote& quote, const std::string& length_unit) {
    const std::string title = "Quote" + (quote.number.empty() ? "" : ' ' + quote.number);
    Flow flow(title + ": " + quote.title, paper_for(length_unit));
    flow.title(title);
    flow.title(quote.title);
    if (quote.invented)
        flow.paragraph("A demonstration: names, suppliers and prices are invented.");
    flow.skip(3);
    const auto party = [&](const std::string& role, const Party& who) {
        if (who.name.empty()) return;
        flow.paragraph(role + who.name, 2.8, true);
        for (const std::string& line : who.address) flow.paragraph(line);
        if (!who.contact.empty()) flow.paragraph(who.contact);
        if (!who.tax_number.empty()) flow.paragraph("Tax number " + who.tax_number);
        flow.skip(2);
    };
    party("From ", quote.maker);
    party("For ", quote.client);
    flow.pair("Of", format_date(quote.on));
    if (quote.valid_until) flow.pair("Valid until", format_date(*quote.valid_until));
    flow.pair("Ready, as planned today and ordered in time", format_date(quote.ready));

    flow.heading("Price, in " + quote.currency);
    std::vector<std::vector<Cell>> rows;
    for (const QuotePart& part : quote.parts) {
        std::string titles;
        if (quote.included.empty()) {
            for (const std::string& each : part.included)
                titles += (titles.empty() ? "" : "; ") + each;
        }
        rows.push_back({{part.title, true}, titles, part.price.grouped()});
    }
    flow.table({{"", 44}, {"included", flow.width() - 44 - 30}, {"without tax", 30, true}}, rows);
    flow.rule();
    flow.pair("Together", quote.net.grouped());
    for (const TaxAtRate& tax : quote.taxes)
        flow.pair("Tax " + tax.percent.str() + " %", tax.tax.grouped());
    if (quote.taxes.empty()) flow.pair("No tax is charged", "");
    flow.pair("Total, " + quote.currency, quote.total.grouped(), true);

    if (!quote.stages.empty()) {
        flow.heading("Due");
        for (const QuoteStage& stage : quote.stages) flow.pair(stage.title, stage.amount.grouped());
    }
    const auto list = [&](const char* heading, const std::vector<std::string>& sentences) {
        if (sentences.empty()) return;
        flow.heading(heading);
        for (const std::string& sentence : sentences) flow.paragraph("-  " + sentence);
    };
    list("Included", quote.included);
    list("Not included", quote.not_included);
    list("Terms", quote.terms);
    flow.need(32);
    flow.skip(18);
    const double half = flow.width() / 2 - 6;
    Page& page = flow.page();
    const double y = flow.y();
    page.line(Flow::margin, y, Flow::margin + half, y, {0.2, 0, {}});
    page.line(Flow::margin + half + 12, y, Flow::margin + flow.width(), y, {0.2, 0, {}});
    page.text(Flow::margin, y + 3.6, "date, maker", 2.4);
    page.text(Flow::margin + half + 12, y + 3.6, "date, client", 2.4);
    std::vector<Page> pages = flow.finish();
    number_pages(pages, title + ": " + quote.title);
    return pages;
}

} // namespace aumbry::print
