#include "views/text_page.hpp"
#include "views/text_views.hpp"

#include "aumbry/line_access.hpp"

namespace aumbry::views {

std::string new_project_made(const std::string& file, const NewProject& answers, bool empty) {
    Page page;
    page.wrapped("", "Made " + file + ": " + answers.title + ", in " + answers.currency +
                         ", prices of " + answers.priced_on + ", work begins " + answers.start +
                         ".");
    if (answers.rate.empty())
        page.line("No rate of work is stated: labour is not reckoned until there is one.");
    if (answers.wall.empty() || answers.wall == "unknown")
        page.line("What the wall is made of is not known: find out before anything is ordered.");
    page.line("Next:");
    if (empty) {
        page.line("  aumbry pieces");
        page.line("  aumbry add " + file + " PIECE --set width=\"" +
                  (answers.length_unit == "in" ? "36 in" : "900 mm") + "\"");
    }
    page.line("  aumbry price " + file);
    return page.str();
}

std::string piece_list(const PieceLibrary& library, bool colour) {
    Page page(colour);
    if (library.pieces.empty()) {
        page.line("There are no pieces: put *.piece.json into a folder pieces of a catalog.");
        return page.str();
    }
    for (const PieceFile& piece : library.pieces) {
        page.line(page.strong(piece.name));
        page.wrapped("  ", piece.title + ". " + piece.help);
    }
    page.line();
    page.wrapped("", "aumbry pieces NAME shows its sizes; aumbry add PROJECT NAME --set "
                     "width=\"880 mm\" puts it into a project.");
    return page.str();
}

std::string piece_sizes(const PieceFile& piece, std::string_view length_unit, bool colour) {
    Page page(colour);
    page.line(page.strong(piece.title) + " (" + piece.name + ")");
    page.wrapped("", piece.help);
    page.heading("SIZES to --set");
    for (const PieceSize& size : sizes_of(piece, length_unit)) {
        std::string text = size.standard;
        if (!size.min.empty() && !size.max.empty())
            text += " (" + size.min + " to " + size.max + ")";
        else if (!size.min.empty() || !size.max.empty())
            text +=
                size.max.empty() ? " (at least " + size.min + ")" : " (at most " + size.max + ")";
        page.wrapped("  " + left(size.name, 16) + ' ', text + "; " + size.help);
    }
    const Json bill = bill_of(piece, length_unit);
    if (const Json* materials = find_at(bill, "/materials"); materials != nullptr) {
        page.heading("MATERIALS, --role to use one of the project's");
        for (const auto& [role, material] : materials->items())
            page.wrapped("  " + left(role, 16) + ' ',
                         text(material, "title", role) + "; class " + text(material, "class"));
    }
    for (const auto& [key, heading] :
         {std::pair{"warnings", "WARNING "}, {"cautions", "caution "}}) {
        const auto texts = bill.find(key);
        if (texts == bill.end()) continue;
        page.line();
        for (const Json& each : *texts) page.wrapped(heading, each.get<std::string>());
    }
    return page.str();
}

std::string piece_added(const PieceFile& piece, const PieceToAdd& wanted, const AddedPiece& added,
                        const std::string& project, std::string_view length_unit) {
    Page page;
    const Json bill = bill_of(piece, length_unit);
    const auto count = [&](const char* section) {
        const Json* found = find_at(bill, std::string("/") + section);
        return found == nullptr ? std::size_t{0} : found->size();
    };
    const auto counted = [](std::size_t number, const std::string& what) {
        return std::to_string(number) + ' ' + what + (number == 1 ? "" : "s");
    };
    page.wrapped("", "Added to " + project + ": " +
                         (wanted.title.empty() ? piece.title : wanted.title) + " as " + wanted.id +
                         ", " + counted(count("lines"), "line") + ", " +
                         counted(count("parameters"), "size") + ", " +
                         counted(count("tasks"), "task") + ".");
    for (const SharedRole& role : added.with.shared)
        page.wrapped("  ", "made of the project's own " + role.role + ": " + role.title);
    for (const std::string& sentence : added.does_not_hold) page.wrapped("PROBLEM ", sentence);
    return page.str();
}

} // namespace aumbry::views
