#include "cli/commands.hpp"
#include "views/text_views.hpp"

#include "aumbry/save_file.hpp"
#include "aumbry/times_file.hpp"

namespace aumbry::cli {

namespace {

struct PlanOptions {
    ProjectOptions project;
    PurchaseOptions purchase;
    bool json = false;
    std::string ics;
    std::string times;
};

/// The parts of the estimate document that say when.
Json plan_json(const Estimate& estimate) {
    const Json whole = to_json(estimate);
    Json measured = Json::array();
    for (const Json& purchase : whole["purchases"])
        if (purchase["decides_sizes"] && !purchase["owned"]) measured.push_back(purchase);
    return {{"title", estimate.title},
            {"orders", whole["orders"]},
            {"measured_first", measured},
            {"schedule", whole["schedule"]}};
}

int plan(const PlanOptions& asked) {
    const Estimate result = priced(asked.project, asked.purchase);
    if (!asked.ics.empty())
        save_file(asked.ics, views::plan_calendar(result));
    else if (!asked.times.empty())
        save_file(asked.times, times_document(result.schedule.times));
    else
        print(asked.json ? pretty(plan_json(result)) : views::plan(result, colour()));
    return fine;
}

} // namespace

void add_plan(CLI::App& app, Commands& commands) {
    auto options = std::make_shared<PlanOptions>();
    CLI::App& command = *app.add_subcommand("plan", "Dates, order-by dates and critical path");
    add_project(command, options->project);
    add_purchase(command, options->purchase);
    CLI::Option* as_json = command.add_flag("--json", options->json, "As JSON");
    command.add_option("--ics", options->ics, "Write a calendar file (RFC 5545)")
        ->excludes(as_json);
    command
        .add_option("--times", options->times,
                    "Write the times of the operations, for \"times\" of the project")
        ->excludes(as_json);
    commands.on(command, [options] { return plan(*options); });
}

} // namespace aumbry::cli
