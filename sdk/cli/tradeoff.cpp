#include "cli/commands.hpp"
#include "views/text_views.hpp"

#include "aumbry/purchase_curves.hpp"

namespace aumbry::cli {

namespace {

struct TradeoffOptions {
    ProjectOptions project;
    PurchaseOptions limits;
    bool json = false;
};

int tradeoff(const TradeoffOptions& asked) {
    const EstimateOptions options = estimate_options(asked.project, asked.limits);
    const Opened opened(asked.project);
    const PurchaseCurves result =
        purchase_curves(opened.project, opened.session.host(), opened.session.catalog(), options);
    print(asked.json ? pretty(to_json(result)) : views::curves(result, colour()));
    return fine;
}

} // namespace

void add_tradeoff(CLI::App& app, Commands& commands) {
    auto options = std::make_shared<TradeoffOptions>();
    CLI::App& command = *app.add_subcommand(
        "tradeoff", "What being ready sooner costs, and what fewer suppliers cost");
    add_project(command, options->project);
    add_limits(command, options->limits);
    command.add_flag("--json", options->json, "As JSON");
    commands.on(command, [options] { return tradeoff(*options); });
}

} // namespace aumbry::cli
