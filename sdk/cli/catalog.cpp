#include "cli/commands.hpp"

#include "aumbry/catalog_import.hpp"
#include "aumbry/piece_check.hpp"

namespace aumbry::cli {

namespace {

struct CatalogToCheck {
    FolderOptions folders;
    std::string folder;
    bool json = false;
};

int check_catalog(const CatalogToCheck& asked) {
    PluginHost host(asked.folders.plugin_folders());
    if (!std::filesystem::is_directory(asked.folder))
        fail("missing-folder", {asked.folder, "", 0, 0}, "there is no such catalog folder",
             "name one that holds suppliers/");
    // Pieces may rest on the tables that come with the program.
    const Json tables = load_catalog(find_folders({}, {{}, {asked.folder}}).catalogs, {}).tables();
    const Catalog catalog = load_catalog({asked.folder}, host.catalog_classes());
    const PieceReport pieces = check_pieces(asked.folder, host, tables);
    print(check_report(catalog, pieces, asked.json));
    return catalog.faults().empty() && pieces.faults.empty() ? fine : input_fault;
}

struct ImportOptions {
    FolderOptions folders;
    std::string spreadsheet;
    std::string mapping;
    std::string into;
    bool dry_run = false;
    bool json = false;
};

int import_list(const ImportOptions& asked) {
    const PluginHost host(asked.folders.plugin_folders());
    const std::vector<contract::CatalogClass> classes = host.catalog_classes();
    const Mapping mapping = read_mapping(read_file(asked.mapping), asked.mapping, classes);
    const Import planned = plan_import(asked.spreadsheet, mapping, asked.into, classes);
    // Where no row is good, the faults say why.
    const bool writes = !asked.dry_run && (planned.rows > 0 || planned.faults.empty());
    if (writes) write_import(planned);
    print(import_report(planned, writes, asked.json));
    return planned.faults.empty() ? fine : input_fault;
}

void add_catalog_check(CLI::App& parent, Commands& commands) {
    auto options = std::make_shared<CatalogToCheck>();
    CLI::App& command = *parent.add_subcommand(
        "check", "Every fault of the price lists and piece files, by row and column");
    command
        .add_option("PATH", options->folder, "A catalog folder, which holds suppliers/ or pieces/")
        ->required();
    add_plugins(command, options->folders);
    command.add_flag("--json", options->json, "As JSON");
    commands.on(command, [options] { return check_catalog(*options); });
}

void add_import(CLI::App& parent, Commands& commands) {
    auto options = std::make_shared<ImportOptions>();
    CLI::App& command =
        *parent.add_subcommand("import", "A dealer's spreadsheet, through a saved mapping");
    command.add_option("FILE", options->spreadsheet, "The spreadsheet, CSV or XLSX")->required();
    command.add_option("--mapping", options->mapping, "The mapping, *.mapping.json")->required();
    command.add_option("--into", options->into, "The supplier's folder")->required();
    add_plugins(command, options->folders);
    command.add_flag("--dry-run", options->dry_run, "Say what it would do and write nothing");
    command.add_flag("--json", options->json, "As JSON");
    commands.on(command, [options] { return import_list(*options); });
}

} // namespace

void add_catalog(CLI::App& app, Commands& commands) {
    CLI::App& command = *app.add_subcommand("catalog", "Suppliers and price lists");
    command.require_subcommand(1);
    add_catalog_check(command, commands);
    add_import(command, commands);
}

} // namespace aumbry::cli
