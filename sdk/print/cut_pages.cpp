#include "print/flow.hpp"
#include "print/part_label.hpp"
#include "print/print.hpp"
#include "print/setting_table.hpp"
#include "print/sheet_drawing.hpp"
#include "print/sheet_page.hpp"

#include "aumbry/rounding.hpp"

#include <algorithm>
#include <map>

namespace aumbry::print {
namespace {

const Stroke outline{0.3, 0, {}};
const Stroke part_edge{0.2, 0, {}};

std::string two_digits(std::size_t number) {
    return (number < 10 ? "0" : "") + std::to_string(number);
}

void draw_board(Flow& flow, const CutBook& book, const BoardPage& board, double scale) {
    // Parts that are ripped need their width to scale; lengths alone may be drawn higher.
    const double down = board.ripped ? std::max(scale, 9 / board.width) : 12 / board.width;
    const double high = board.width * down;
    flow.need(high + 9);
    std::string what = board.id + "  " + bare_size(board.length, board.width, book.length_unit) +
                       " x " + length_with_unit(board.thickness, book.length_unit) + ", " +
                       board.source;
    if (board.copies > 1) what += ", " + std::to_string(board.copies) + " cut alike";
    flow.paragraph(what, 3.5, true);
    Page& page = flow.page();
    const double x = Flow::margin;
    const double y = flow.y() + 0.8;
    page.box({x, y, board.length * scale, high}, outline, 1.0, "board");
    std::vector<Box> taken;
    for (const contract::Offcut& offcut : board.offcuts) {
        const Box at{x + offcut.x * scale, y, offcut.length * scale, high};
        size_inside(page, at, "rest " + bare_length(offcut.length, book.length_unit), taken);
    }
    for (const PlacedPart& placed : board.placed) {
        const Box at{x + placed.x * scale, y + placed.y * down, placed.length * scale,
                     placed.width * down};
        page.box(at, part_edge, tint_of(book, book.parts[placed.part].piece), "part");
        (void)label_part(page, at, book.parts[placed.part], book.length_unit, "", taken);
    }
    flow.skip(high + 3.4);
}

void board_group(Flow& flow, const CutBook& book, const BoardGroup& group) {
    flow.need(60);
    flow.title("Boards: " + group.title);
    flow.paragraph(group.quality + ' ' + unit_note(book.length_unit), 2.4);
    flow.skip(2);
    double longest = 0;
    for (const BoardPage& board : group.boards) longest = std::max(longest, board.length);
    for (const BoardPage& board : group.boards)
        draw_board(flow, book, board, flow.width() / longest);

    std::vector<std::vector<Cell>> rows;
    std::vector<std::size_t> seen;
    for (const BoardPage& board : group.boards) {
        for (const PlacedPart& placed : board.placed) {
            if (std::find(seen.begin(), seen.end(), placed.part) == seen.end())
                seen.push_back(placed.part);
        }
    }
    std::sort(seen.begin(), seen.end());
    for (const std::size_t index : seen) {
        const BookPart& part = book.parts[index];
        rows.push_back({{part.number, true},
                        std::to_string(part.count) + " x",
                        part.title + (part.piece.empty() ? "" : ", " + part.piece),
                        bare_size(part.length, part.width, book.length_unit) + " x " +
                            bare_length(part.thickness, book.length_unit),
                        bare_size(part.cut_length, part.cut_width, book.length_unit)});
    }
    flow.heading("Parts of these boards");
    flow.table(
        {{"no.", 12}, {"", 14}, {"part", flow.width() - 114}, {"finished", 48}, {"as cut", 40}},
        rows, 3.5);
    flow.skip(5);
}

/// The first page: what there is, and what to watch out for.
Figure first_figure(const CutBook& book, bool endless) {
    Flow flow("Cutting: " + book.job, paper_for(book.length_unit), endless);
    flow.title("Cutting: " + book.job);
    if (!book.alternative.empty()) flow.paragraph("Alternative: " + book.alternative);
    flow.paragraph("Prices and plans of " + book.made_on + ". " + unit_note(book.length_unit));
    flow.heading("Before you cut");
    for (
        const char* sentence :
        {"Measure the sheets and boards that came, and the room, before the first cut: the plans "
         "trust the sizes in the list.",
         "Saws and dust can hurt you for good: guards, ear and eye protection and dust extraction, "
         "as the machine's maker says. Support what falls off, and lift heavy sheets with a second "
         "person."})
        flow.paragraph(sentence);
    for (const std::string& caution : book.cautions) flow.paragraph(caution);

    if (!book.sheets.empty()) {
        std::vector<std::vector<Cell>> rows;
        for (const SheetPage& sheet : book.sheets) {
            rows.push_back({{sheet.id, true},
                            std::to_string(sheet.copies) + " x",
                            sheet.title,
                            sheet.source,
                            bare_size(sheet.length, sheet.width, book.length_unit),
                            std::to_string(sheet.placed.size()),
                            percent(sheet.yield)});
        }
        flow.heading("Sheets");
        const double rest = flow.width() - 10 - 9 - 34 - 13 - 17;
        flow.table({{"", 10},
                    {"", 9},
                    {"material", rest / 2},
                    {"from", rest / 2},
                    {"size", 34},
                    {"parts", 13, true},
                    {"yield", 17, true}},
                   rows);
    }
    if (!book.boards.empty()) {
        std::vector<std::vector<Cell>> rows;
        for (const BoardGroup& group : book.boards) {
            for (const BoardPage& board : group.boards) {
                rows.push_back({{board.id, true},
                                std::to_string(board.copies) + " x",
                                group.title,
                                board.source,
                                bare_size(board.length, board.width, book.length_unit) + " x " +
                                    bare_length(board.thickness, book.length_unit),
                                std::to_string(board.placed.size())});
            }
        }
        flow.heading("Boards");
        const double rest = flow.width() - 10 - 9 - 44 - 13;
        flow.table({{"", 10},
                    {"", 9},
                    {"section", rest / 2},
                    {"from", rest / 2},
                    {"size", 44},
                    {"parts", 13, true}},
                   rows);
    }
    return {"overview", flow.finish()};
}

Figure settings_figure(const CutBook& book, const std::vector<SettingTable>& tables, bool endless) {
    Flow flow("Settings", paper_for(book.length_unit), endless);
    flow.title("Fence settings");
    flow.paragraph(
        "Set once, cut on every sheet. Trims come before, as soon as a piece is there. " +
            unit_note(book.length_unit),
        3.5);
    for (const SettingTable& table : tables) {
        std::vector<std::vector<Cell>> rows;
        for (const FenceSetting& setting : table.settings)
            rows.push_back({std::to_string(setting.number),
                            {setting_in_words(setting, book.length_unit), true},
                            cuts_in_words(setting)});
        flow.heading(table.title);
        flow.table({{"", 10}, {"set", 52}, {"cuts", flow.width() - 62}}, rows, 3.5);
    }
    return {"settings", flow.finish()};
}

} // namespace

std::vector<Figure> cut_figures(const CutBook& book, bool endless) {
    std::vector<Figure> figures{first_figure(book, endless)};
    std::size_t number = 0;
    for (const SheetPage& sheet : book.sheets)
        figures.push_back({"sheet-" + two_digits(++number), sheet_pages(book, sheet, endless)});
    if (const auto tables = setting_tables(book); !tables.empty())
        figures.push_back(settings_figure(book, tables, endless));
    if (book.boards.empty()) return figures;
    if (!endless) {
        Flow flow("Boards", paper_for(book.length_unit));
        for (const BoardGroup& group : book.boards) board_group(flow, book, group);
        figures.push_back({"boards", flow.finish()});
        return figures;
    }
    number = 0;
    for (const BoardGroup& group : book.boards) {
        Flow flow("Boards: " + group.title, paper_for(book.length_unit), true);
        board_group(flow, book, group);
        figures.push_back({"boards-" + two_digits(++number), flow.finish()});
    }
    return figures;
}

std::vector<Page> cut_pages(const CutBook& book) {
    std::vector<Page> pages;
    for (Figure& figure : cut_figures(book, false)) {
        for (Page& page : figure.pages) pages.push_back(std::move(page));
    }
    number_pages(pages, book.job);
    return pages;
}

} // namespace aumbry::print
