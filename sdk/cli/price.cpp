#include "cli/commands.hpp"
#include "views/text_views.hpp"

#include "aumbry/spare_sheets.hpp"

#include <algorithm>

namespace aumbry::cli {

namespace {

struct PriceOptions {
    ProjectOptions project;
    PurchaseOptions purchase;
    bool json = false;
    bool full = false;
    bool spare_sheets = false;
    bool strict = false;
};

int price(const PriceOptions& asked) {
    const EstimateOptions options = estimate_options(asked.project, asked.purchase);
    const Opened opened(asked.project);
    const auto run = asked.spare_sheets ? estimate_with_spare_sheets : estimate;
    const Estimate result =
        run(opened.project, opened.session.host(), opened.session.catalog(), options);
    const bool full = asked.full || asked.spare_sheets;
    print(asked.json ? pretty(to_json(result))
          : full     ? views::summary(result, colour())
                     : views::brief(result, asked.project.project, colour()));
    const bool problem = std::any_of(result.findings.begin(), result.findings.end(),
                                     [](const EstimateFinding& finding) {
                                         return finding.severity == contract::Severity::problem;
                                     });
    return asked.strict && problem ? input_fault : fine;
}

} // namespace

void add_price(CLI::App& app, Commands& commands) {
    auto options = std::make_shared<PriceOptions>();
    CLI::App& command =
        *app.add_subcommand("price", "The estimate: what to buy, what it costs, when it is done");
    add_project(command, options->project);
    add_purchase(command, options->purchase);
    command.add_flag("--full", options->full, "All of it: orders, cutting, dates, what to watch");
    command.add_flag("--json", options->json, "The estimate document instead of text");
    command.add_flag("--spare-sheet", options->spare_sheets,
                     "Say what one spare sheet of each material would cost");
    command.add_flag("--strict", options->strict, "Exit status 1 when there is a problem");
    commands.on(command, [options] { return price(*options); });
}

} // namespace aumbry::cli
