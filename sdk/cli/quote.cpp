#include "cli/commands.hpp"
#include "print/print.hpp"
#include "views/text_views.hpp"

#include "aumbry/quote.hpp"
#include "aumbry/save_file.hpp"

namespace aumbry::cli {

namespace {

struct QuoteOptions {
    ProjectOptions project;
    PurchaseOptions purchase;
    std::string against;
    std::string pdf;
    bool json = false;
};

int quote(const QuoteOptions& asked) {
    const Estimate estimate = priced(asked.project, asked.purchase);
    const Quote result = quote_of(estimate);
    if (!asked.pdf.empty()) {
        save_file(asked.pdf, print::to_pdf(print::quote_pages(result, estimate.length_unit),
                                           "Quote: " + result.title, format_date(result.on)));
        if (!asked.json && asked.against.empty()) return fine;
    }
    if (asked.against.empty()) {
        print(asked.json ? pretty(to_json(result)) : views::quote(result, colour()));
        return fine;
    }
    const QuoteChange change =
        change_of(read_quote(read_file(asked.against), asked.against), result);
    print(asked.json ? pretty(to_json(change)) : views::change(change, colour()));
    return fine;
}

} // namespace

void add_quote(CLI::App& app, Commands& commands) {
    auto options = std::make_shared<QuoteOptions>();
    CLI::App& command = *app.add_subcommand("quote", "What the client is shown");
    add_project(command, options->project);
    add_purchase(command, options->purchase);
    command.add_option("--against", options->against,
                       "The accepted quote, as --json wrote it: what has changed since");
    command.add_option("--pdf", options->pdf, "Write it as PDF");
    command.add_flag("--json", options->json, "As JSON: keep it as the accepted quote");
    commands.on(command, [options] { return quote(*options); });
}

} // namespace aumbry::cli
