#include "cli/commands.hpp"
#include "views/text_views.hpp"

#include "aumbry/study.hpp"

namespace aumbry::cli {

namespace {

struct CompareOptions {
    ProjectOptions project;
    std::vector<std::string> alternatives;
    bool json = false;
    bool csv = false;
};

int compare_alternatives(const CompareOptions& asked) {
    const Opened opened(asked.project);
    const Comparison result =
        compare(opened.project, opened.session.host(), opened.session.catalog(),
                estimate_options(asked.project), asked.alternatives);
    print(asked.json  ? pretty(to_json(result))
          : asked.csv ? to_csv(result)
                      : views::comparison(result, colour()));
    return fine;
}

} // namespace

void add_compare(CLI::App& app, Commands& commands) {
    auto options = std::make_shared<CompareOptions>();
    CLI::App& command = *app.add_subcommand("compare", "Base and alternatives side by side");
    command.add_option("PROJECT", options->project.project, "The project, *.aumbry.json")
        ->required();
    command.add_option("ALTERNATIVE", options->alternatives, "Only these alternatives");
    add_folders(command, options->project.folders);
    add_effort(command, options->project);
    CLI::Option* as_json = command.add_flag("--json", options->json, "As JSON");
    command.add_flag("--csv", options->csv, "As CSV, a row a figure, amounts as decimals")
        ->excludes(as_json);
    commands.on(command, [options] { return compare_alternatives(*options); });
}

} // namespace aumbry::cli
