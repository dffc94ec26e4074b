#include "cli/commands.hpp"
#include "views/text_views.hpp"

#include "aumbry/piece_file.hpp"

#include <iostream>

namespace aumbry::cli {

namespace {

struct PiecesOptions {
    FolderOptions folders;
    std::string name;
    std::string unit = "mm";
};

int pieces(const PiecesOptions& asked) {
    const PieceLibrary library = load_pieces(piece_folders("here", asked.folders.named()));
    for (const Fault& fault : library.faults) std::cerr << fault.sentence() << '\n';
    print(asked.name.empty() ? views::piece_list(library, colour())
                             : views::piece_sizes(library.find(asked.name), asked.unit, colour()));
    return fine;
}

} // namespace

void add_pieces(CLI::App& app, Commands& commands) {
    auto options = std::make_shared<PiecesOptions>();
    CLI::App& command =
        *app.add_subcommand("pieces", "The library: furniture to be added to a project");
    command.add_option("NAME", options->name, "One of them, with its sizes and roles");
    command.add_option("--unit", options->unit, "Sizes in mm or in inches: in")
        ->check(CLI::IsMember({"mm", "in"}));
    command.add_option("--catalogs", options->folders.catalogs,
                       "Folders that hold pieces/; default: the nearest above this one, your own, "
                       "those installed");
    commands.on(command, [options] { return pieces(*options); });
}

} // namespace aumbry::cli
