#include "cli/commands.hpp"
#include "views/text_views.hpp"

#include "aumbry/plugin_check.hpp"

namespace aumbry::cli {

namespace {

struct CheckModuleOptions {
    FolderOptions folders;
    std::string file;
    bool json = false;
};

int check_module(const CheckModuleOptions& asked) {
    CheckOptions options;
    if (!asked.folders.catalogs.empty())
        options.tables =
            load_catalog(find_folders({}, asked.folders.named()).catalogs, {}).tables();
    const std::vector<CheckResult> results = check_plugin(asked.file, options);
    print(asked.json ? pretty(check_json(asked.file, results)) : check_text(asked.file, results));
    return all_passed(results) ? fine : input_fault;
}

void add_list(CLI::App& parent, Commands& commands) {
    auto options = std::make_shared<FolderOptions>();
    CLI::App& command = *parent.add_subcommand("list", "Loaded and refused modules");
    add_folders(command, *options);
    commands.on(command, [options] {
        const PluginHost host(options->plugin_folders());
        print(views::module_list(host, colour()));
        return fine;
    });
}

void add_plugin_check(CLI::App& parent, Commands& commands) {
    auto options = std::make_shared<CheckModuleOptions>();
    CLI::App& command = *parent.add_subcommand("check", "Whether a module keeps the contract");
    command.add_option("FILE", options->file, "The shared object")->required();
    command.add_option("--catalogs", options->folders.catalogs,
                       "Catalog folders with the reference tables that it reads");
    command.add_flag("--json", options->json, "As JSON");
    commands.on(command, [options] { return check_module(*options); });
}

} // namespace

void add_plugin(CLI::App& app, Commands& commands) {
    CLI::App& command = *app.add_subcommand("plugin", "Modules");
    command.require_subcommand(1);
    add_list(command, commands);
    add_plugin_check(command, commands);
}

} // namespace aumbry::cli
