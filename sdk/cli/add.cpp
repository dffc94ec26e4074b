#include "cli/commands.hpp"
#include "views/text_views.hpp"

#include "aumbry/line_access.hpp"
#include "aumbry/piece_check.hpp"
#include "aumbry/save_file.hpp"

#include <iostream>

namespace aumbry::cli {

namespace {

struct AddOptions {
    std::string project;
    FolderOptions folders;
    std::string piece;
    std::string id;
    std::string title;
    std::vector<std::string> sizes;
    std::vector<std::string> roles;
};

/// "width=880 mm" by name. @throws FaultError.
std::map<std::string, std::string> by_name(const std::string& option,
                                           const std::vector<std::string>& given,
                                           const std::string& example) {
    std::map<std::string, std::string> out;
    for (const std::string& each : given) {
        const std::size_t sign = each.find('=');
        if (sign == 0 || sign == std::string::npos || sign + 1 == each.size())
            fail("bad-argument", {option + ' ' + each, "", 0, 0}, "a name and a value are wanted",
                 "write " + option + ' ' + example);
        if (!out.emplace(each.substr(0, sign), each.substr(sign + 1)).second)
            fail("both-given", {option + ' ' + each, "", 0, 0},
                 "'" + each.substr(0, sign) + "' is given twice", "give it once");
    }
    return out;
}

int add(const AddOptions& asked) {
    const std::string before = read_file(asked.project);
    const Json document = read_project(before, asked.project).document;
    const PieceLibrary library = load_pieces(piece_folders(asked.project, asked.folders.named()));
    const PieceFile& piece = library.find(asked.piece);
    PieceToAdd wanted{asked.id, asked.title, by_name("--set", asked.sizes, "width=\"880 mm\""),
                      by_name("--role", asked.roles, "carcase=ply")};
    if (wanted.id.empty()) wanted.id = free_piece_id(document, piece);

    const Session session(find_folders(asked.project, asked.folders.named()));
    const AddedPiece added =
        add_piece(before, asked.project, piece, wanted, session.host(), session.catalog().tables());
    replace_file(asked.project, before, added.with.text);
    print(views::piece_added(piece, wanted, added, asked.project,
                             text(document, "length_unit", "mm")));
    return fine;
}

} // namespace

void add_add(CLI::App& app, Commands& commands) {
    auto options = std::make_shared<AddOptions>();
    CLI::App& command = *app.add_subcommand(
        "add", "A piece of the library into a project, as lines and formulas to be edited");
    command.add_option("PROJECT", options->project, "The project, *.aumbry.json")->required();
    command.add_option("PIECE", options->piece, "As `aumbry pieces` lists it")->required();
    command.add_option("--as", options->id,
                       "The id of the piece: its names begin with it; default: the piece's own");
    command.add_option("--title", options->title, "What it is called on paper");
    command.add_option("--set", options->sizes,
                       "A size, as width=\"880 mm\" or width=\"wall - 20 mm\"; any number of them");
    command.add_option("--role", options->roles,
                       "A material role of the piece by another name, as carcase=ply");
    add_folders(command, options->folders);
    commands.on(command, [options] { return add(*options); });
}

} // namespace aumbry::cli
