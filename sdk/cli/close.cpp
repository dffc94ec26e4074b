#include "cli/commands.hpp"
#include "views/text_views.hpp"

#include "aumbry/account.hpp"
#include "aumbry/save_file.hpp"

namespace aumbry::cli {

namespace {

struct CloseOptions {
    ProjectOptions project;
    std::string stock;
    bool json = false;
};

int close_job(const CloseOptions& asked) {
    const Opened opened(asked.project);
    const EstimateOptions options = estimate_options(asked.project);
    const auto run = [&](const Project& project) { return opened.session.price(project, options); };
    const Account account = account_of(run(as_planned(opened.project)), run(opened.project),
                                       run(as_built(opened.project)));
    if (!asked.stock.empty()) {
        if (std::filesystem::exists(asked.stock))
            fail("file-exists", {asked.stock, "", 0, 0}, "the stock file is there already",
                 "name another; what it holds may be another job's");
        save_file(asked.stock,
                  pretty(stock_of(account.left, account.title, opened.session.host().modules())));
    }
    print(asked.json ? pretty(to_json(account)) : views::account(account, colour()));
    return fine;
}

} // namespace

void add_close(CLI::App& app, Commands& commands) {
    auto options = std::make_shared<CloseOptions>();
    CLI::App& command =
        *app.add_subcommand("close", "Estimate against actual, and what is left over");
    add_project(command, options->project);
    command.add_option("--stock", options->stock, "Write what is left into this stock file");
    command.add_flag("--json", options->json, "As JSON");
    commands.on(command, [options] { return close_job(*options); });
}

} // namespace aumbry::cli
