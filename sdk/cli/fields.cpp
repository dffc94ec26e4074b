#include "cli/commands.hpp"
#include "views/text_views.hpp"

namespace aumbry::cli {

namespace {

struct FieldsOptions {
    FolderOptions folders;
    std::string name;
};

} // namespace

void add_fields(CLI::App& app, Commands& commands) {
    auto options = std::make_shared<FieldsOptions>();
    CLI::App& command = *app.add_subcommand(
        "fields",
        "What a line, a class of goods, a section, a supplier or a reference table may say");
    command.add_option("NAME", options->name,
                       "Such as panel, sheet, workshop, supplier, kits or sheet_goods; without it, "
                       "which there are");
    add_plugins(command, options->folders);
    commands.on(command, [options] {
        const PluginHost host(options->folders.plugin_folders());
        const Json tables = load_catalog(program_folders().catalogs, {}).tables();
        print(views::fields_of(host.modules(), tables, options->name, colour()));
        return fine;
    });
}

} // namespace aumbry::cli
