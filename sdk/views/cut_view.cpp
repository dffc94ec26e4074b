#include "print/setting_table.hpp"
#include "views/text_page.hpp"
#include "views/text_views.hpp"

#include <algorithm>
#include <map>

namespace aumbry::views {

namespace {

using print::CutBook;

void parts_of(Page& page, const CutBook& book, const std::vector<print::PlacedPart>& placed) {
    std::map<std::size_t, int> counts;
    for (const print::PlacedPart& part : placed) ++counts[part.part];
    Table table({"part", "", "finished", "as cut"});
    for (const auto& [index, count] : counts) {
        const print::BookPart& part = book.parts[index];
        std::string also = part.taper;
        for (const auto& [edge, joint] : part.joints)
            also += (also.empty() ? "" : "; ") + edge + ": " + joint;
        if (!also.empty()) also = " (" + also + ")";
        table.row({part.number + "  " + part.title + also, std::to_string(count) + " x",
                   print::bare_size(part.length, part.width, book.length_unit),
                   print::bare_size(part.cut_length, part.cut_width, book.length_unit)});
    }
    table.print(page);
}

void sheet_plan(Page& page, const CutBook& book, const print::SheetPage& sheet) {
    page.heading(sheet.id + "  " + sheet.title);
    page.wrapped("", (sheet.copies > 1 ? std::to_string(sheet.copies) + " cut alike; " : "") +
                         sheet.from_which + ", " +
                         print::size_with_unit(sheet.length, sheet.width, book.length_unit) + ", " +
                         sheet.source);
    page.wrapped("",
                 print::percent(sheet.yield) + " of this sheet becomes parts; " + sheet.quality);
    parts_of(page, book, sheet.placed);
    for (const contract::Offcut& offcut : sheet.offcuts) {
        if (offcut.keep)
            page.line("  keep the offcut of " +
                      print::size_with_unit(offcut.length, offcut.width, book.length_unit));
    }
    if (sheet.cuts.empty()) return;
    page.line();
    page.line("  Cuts in order, settings from the left or upper edge of the piece. A letter is a "
              "piece; what");
    page.line("  is left keeps its letter.");
    page.line("  Saws: " + print::saws_in_words(sheet, book.length_unit) + '.');
    for (const print::PlannedCut& cut : sheet.cuts) {
        const std::string lead = "  " + right(std::to_string(cut.number), 3) + ". ";
        page.wrapped(lead,
                     std::string(cut.dealer ? "supplier, " : "") + cut.piece + ' ' +
                         print::bare_size(cut.blank_length, cut.blank_width, book.length_unit) +
                         ": " + print::cut_in_words(cut, book.length_unit) +
                         (cut.kind == contract::CutKind::trim
                              ? ", what is left " + cut.rest
                              : ": cut piece " + cut.first + ", what is left " + cut.rest));
    }
}

void settings(Page& page, const CutBook& book) {
    for (const print::SettingTable& table : print::setting_tables(book)) {
        page.heading("Settings: " + table.title);
        page.line("  Set once, cut on every sheet; trims come before.");
        for (const print::FenceSetting& setting : table.settings)
            page.wrapped("  " + right(std::to_string(setting.number), 3) + ". ",
                         print::setting_in_words(setting, book.length_unit) + ": " +
                             print::cuts_in_words(setting));
    }
}

} // namespace

std::string cut_plans(const CutBook& book, bool colour) {
    Page page(colour);
    page.line(page.strong("Cutting: " + book.job));
    if (!book.alternative.empty()) page.line("Alternative '" + book.alternative + "'");
    page.line("Plans of " + book.made_on + ". " + print::unit_note(book.length_unit));
    for (const std::string& caution : book.cautions) page.wrapped("caution ", caution);
    for (const print::SheetPage& sheet : book.sheets) sheet_plan(page, book, sheet);
    settings(page, book);
    for (const print::BoardGroup& group : book.boards) {
        page.heading("Boards: " + group.title);
        page.wrapped("", group.quality);
        for (const print::BoardPage& board : group.boards) {
            page.line();
            page.wrapped(board.id + "  ",
                         (board.copies > 1 ? std::to_string(board.copies) + " x " : "") +
                             print::bare_size(board.length, board.width, book.length_unit) + " x " +
                             print::length_with_unit(board.thickness, book.length_unit) + ", " +
                             board.source);
            parts_of(page, book, board.placed);
            for (const print::PlacedPart& part : board.placed) {
                page.line("  part " + book.parts[part.part].number + " from " +
                          print::bare_length(part.x, book.length_unit) + " to " +
                          print::bare_length(part.x + part.length, book.length_unit) +
                          (board.ripped
                               ? ", across from " + print::bare_length(part.y, book.length_unit) +
                                     " to " +
                                     print::bare_length(part.y + part.width, book.length_unit)
                               : ""));
            }
            for (const contract::Offcut& offcut : board.offcuts)
                page.line("  rest " + print::length_with_unit(offcut.length, book.length_unit));
        }
    }
    page.line();
    page.wrapped("", "Saws and dust can hurt you for good: follow the machine's maker, and lift "
                     "heavy sheets with a second person.");
    return page.str();
}

} // namespace aumbry::views
