#include "cli/commands.hpp"
#include "views/text_views.hpp"

namespace aumbry::cli {

namespace {

struct ExplainOptions {
    ProjectOptions project;
    std::string reference;
    std::size_t levels = 2;
};

} // namespace

void add_explain(CLI::App& app, Commands& commands) {
    auto options = std::make_shared<ExplainOptions>();
    CLI::App& command = *app.add_subcommand("explain", "How one figure came about");
    add_project(command, options->project);
    command
        .add_option("REF", options->reference,
                    "total, totals.goods, line.ID, piece.ID, buy.SUPPLIER/SKU, LINE.VALUE ...")
        ->required();
    command
        .add_option("--levels", options->levels,
                    "How many steps back it is followed; 2 when not stated")
        ->check(CLI::Range(1, 20));
    commands.on(command, [options] {
        print(views::explanation(priced(options->project, {}), options->reference, colour(),
                                 options->levels));
        return fine;
    });
}

} // namespace aumbry::cli
