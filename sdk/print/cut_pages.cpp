#include "print/flow.hpp"
#include "print/part_label.hpp"
#include "print/print.hpp"

#include "aumbry/rounding.hpp"

#include <algorithm>
#include <map>

namespace aumbry::print {
namespace {

constexpr double waste_grey = 0.88;
const Stroke outline{0.3, 0, {}};
const Stroke part_edge{0.2, 0, {}};
const Stroke by_dealer{0.55, 0, {3.2, 0.9, 0.7, 0.9}};
const Stroke hatching{0.1, 0.45, {}};

/// A place on a drawing that nothing else may cover.
bool is_free(const Box& box, const std::vector<Box>& taken) {
    return std::none_of(taken.begin(), taken.end(),
                        [&](const Box& other) { return overlap(box, other); });
}

/// A size inside a box where it finds room.
void size_inside(Page& page, const Box& box, const std::string& text, std::vector<Box>& taken) {
    for (const double size : {2.4, 2.0, 1.8}) {
        const double width = text_width(text, size);
        const Box flat{box.x + (box.width - width) / 2, box.y + (box.height - size) / 2, width,
                       size};
        if (width + 1 < box.width && size + 0.8 < box.height && is_free(flat, taken)) {
            page.box({flat.x - 0.4, flat.y - 0.3, width + 0.8, size + 0.6}, {}, 1.0);
            page.text(flat.x, flat.y + size * 0.86, text, size);
            taken.push_back(flat);
            return;
        }
        const Box tall{box.x + (box.width - size) / 2, box.y + (box.height - width) / 2, size,
                       width};
        if (width + 1 < box.height && size + 0.8 < box.width && is_free(tall, taken)) {
            page.box({tall.x - 0.3, tall.y - 0.4, size + 0.6, width + 0.8}, {}, 1.0);
            TextMark mark{tall.x + size * 0.86, tall.y + width / 2, text, size};
            mark.anchor = Anchor::middle;
            mark.turned = true;
            page.marks.emplace_back(std::move(mark));
            taken.push_back(tall);
            return;
        }
    }
}

/// The number of a supplier's cut beside its line, where it covers nothing.
void number_cut(Page& page, const PlannedCut& cut, double x1, double y1, double x2, double y2,
                std::vector<Box>& taken) {
    const std::string text = std::to_string(cut.number);
    const double size = 2.4;
    const double width = text_width(text, size, true) + 1.2;
    const double high = size + 0.8;
    for (const double along : {0.5, 0.25, 0.75, 0.1, 0.9, 0.02, 0.98}) {
        const double x = x1 + (x2 - x1) * along;
        const double y = y1 + (y2 - y1) * along;
        const Box box{x - width / 2, y - high / 2, width, high};
        const Box clear{box.x - 0.8, box.y - 0.8, box.width + 1.6, box.height + 1.6};
        if (!is_free(clear, taken) && along != 0.98) continue;
        page.box(box, Stroke{0.2, 0, {}}, 1.0, "cut-number");
        page.text(x, y + size * 0.36, text, size, true, Anchor::middle);
        taken.push_back(box);
        return;
    }
}

std::string who(const PlannedCut& cut) {
    return cut.dealer ? "supplier" : "workshop";
}

} // namespace

double draw_sheet(Page& page, const CutBook& book, const SheetPage& sheet, double x, double y,
                  double room, double high, bool dealer_only) {
    const double scale = std::min(room / sheet.length, high / sheet.width);
    const auto box = [&](double at_x, double at_y, double length, double width) {
        return Box{x + at_x * scale, y + at_y * scale, length * scale, width * scale};
    };
    page.box(box(0, 0, sheet.length, sheet.width), outline, waste_grey, "sheet");
    std::vector<Box> taken;
    if (!dealer_only) {
        for (const contract::Offcut& offcut : sheet.offcuts) {
            if (!offcut.keep) continue;
            const Box at = box(offcut.x, offcut.y, offcut.length, offcut.width);
            page.box(at, part_edge, 1.0, "offcut");
            hatch(page, at, 2.2, hatching);
        }
        for (const PlacedPart& placed : sheet.placed)
            page.box(box(placed.x, placed.y, placed.length, placed.width), part_edge, 1.0, "part");
        for (const PlacedPart& placed : sheet.placed) {
            const DrawnGrain grain =
                sheet.grain == contract::SheetGrain::length  ? DrawnGrain::across_page
                : sheet.grain == contract::SheetGrain::width ? DrawnGrain::up_page
                                                             : DrawnGrain::none;
            (void)label_part(page, box(placed.x, placed.y, placed.length, placed.width),
                             book.parts[placed.part], book.length_unit, grain, taken);
        }
        for (const contract::Offcut& offcut : sheet.offcuts) {
            if (offcut.keep)
                size_inside(page, box(offcut.x, offcut.y, offcut.length, offcut.width),
                            "keep " + bare_size(offcut.length, offcut.width, book.length_unit),
                            taken);
        }
    } else {
        page.box(box(sheet.clean_up, sheet.clean_up, sheet.length - 2 * sheet.clean_up,
                     sheet.width - 2 * sheet.clean_up),
                 part_edge, 1.0);
    }
    for (const PlannedCut& cut : sheet.cuts) {
        if (!cut.dealer) continue;
        const double x1 = x + cut.x1 * scale;
        const double y1 = y + cut.y1 * scale;
        const double x2 = x + cut.x2 * scale;
        const double y2 = y + cut.y2 * scale;
        page.line(x1, y1, x2, y2, by_dealer, "supplier-cut");
    }
    for (const PlannedCut& cut : sheet.cuts) {
        if (!cut.dealer) continue;
        number_cut(page, cut, x + cut.x1 * scale, y + cut.y1 * scale, x + cut.x2 * scale,
                   y + cut.y2 * scale, taken);
    }
    return y + sheet.width * scale;
}

namespace {

/// What the lines and shades of a drawing mean.
void legend(Flow& flow, const CutBook& book, const SheetPage& sheet) {
    Page& page = flow.page();
    double x = Flow::margin;
    const double y = flow.y() + 2;
    const double size = 2.3;
    const auto entry = [&](const std::string& text, const auto& sign) {
        sign(x, y);
        x += 9;
        page.text(x, y + size, text, size);
        x += text_width(text, size) + 5;
    };
    if (std::any_of(sheet.cuts.begin(), sheet.cuts.end(),
                    [](const PlannedCut& cut) { return cut.dealer; })) {
        entry("cut by the supplier", [&](double at, double down) {
            page.line(at, down + 1.2, at + 8, down + 1.2, by_dealer);
        });
    }
    if (std::any_of(sheet.offcuts.begin(), sheet.offcuts.end(),
                    [](const contract::Offcut& offcut) { return offcut.keep; })) {
        entry("worth keeping", [&](double at, double down) {
            page.box({at, down, 8, 2.6}, part_edge, 1.0);
            hatch(page, {at, down, 8, 2.6}, 2.2, hatching);
        });
    }
    entry("waste", [&](double at, double down) {
        page.box({at, down, 8, 2.6}, part_edge, waste_grey);
    });
    if (std::any_of(sheet.placed.begin(), sheet.placed.end(), [&](const PlacedPart& placed) {
            return book.parts[placed.part].grain_fixed;
        })) {
        entry("grain must run this way", [&](double at, double down) {
            double_arrow(page, {at, down + 0.6, 8, 1.4}, false);
        });
    }
    flow.skip(6);
}

void part_table(Flow& flow, const CutBook& book, const SheetPage& sheet) {
    std::map<std::size_t, int> counts;
    std::vector<std::size_t> order;
    for (const PlacedPart& placed : sheet.placed) {
        if (counts[placed.part]++ == 0) order.push_back(placed.part);
    }
    std::sort(order.begin(), order.end());
    std::vector<std::vector<Cell>> rows;
    for (const std::size_t index : order) {
        const BookPart& part = book.parts[index];
        std::string how = faces_in_words(part);
        if (const std::string edges = edges_in_words(part); !edges.empty())
            how += (how.empty() ? "" : "; ") + edges;
        rows.push_back({{part.number, true},
                        std::to_string(counts[index]) + " x",
                        part.title + (part.piece.empty() ? "" : ", " + part.piece),
                        bare_size(part.length, part.width, book.length_unit),
                        bare_size(part.cut_length, part.cut_width, book.length_unit),
                        how});
    }
    flow.heading("Parts of this sheet");
    const double rest = flow.width() - 10 - 10 - 30 - 30;
    flow.table({{"no.", 10},
                {"", 10},
                {"part", rest * 0.52},
                {"finished", 30},
                {"as cut", 30},
                {"faces and edges", rest * 0.48}},
               rows);
}

void cut_table(Flow& flow, const CutBook& book, const SheetPage& sheet) {
    std::vector<std::vector<Cell>> rows;
    bool dealer = false;
    for (const PlannedCut& cut : sheet.cuts) {
        dealer = dealer || cut.dealer;
        rows.push_back({{std::to_string(cut.number), true},
                        who(cut),
                        bare_size(cut.blank_length, cut.blank_width, book.length_unit),
                        {cut_in_words(cut, book.length_unit), !cut.same_setting},
                        cut.kind == contract::CutKind::trim ? "" : cut.first,
                        cut.rest});
    }
    if (rows.empty()) return;
    flow.heading("Cuts in order");
    flow.paragraph("Each cut goes through a whole piece, from edge to edge. The setting is from "
                   "the left or upper edge of the piece to the cut.",
                   2.4);
    const double rest = flow.width() - 10 - 18 - 32 - 46;
    flow.table({{"no.", 10},
                {"by", 18},
                {"piece", 32},
                {"cut", 46},
                {"cut piece", rest / 2},
                {"what is left", rest / 2}},
               rows);
}

std::string two_digits(std::size_t number) {
    return (number < 10 ? "0" : "") + std::to_string(number);
}

Figure sheet_figure(const CutBook& book, const SheetPage& sheet, std::size_t number, bool endless) {
    Flow flow(sheet.id + "  " + sheet.title, paper_for(book.length_unit), endless);
    flow.title(sheet.id + "  " + sheet.title);
    std::string what = sheet.from_which + ", " +
                       size_with_unit(sheet.length, sheet.width, book.length_unit) + ", " +
                       sheet.source;
    if (sheet.copies > 1) what = std::to_string(sheet.copies) + " cut alike; " + what;
    flow.paragraph(what);
    flow.paragraph("Saws: " + saws_in_words(sheet, book.length_unit) + ". " + percent(sheet.yield) +
                       " of this sheet becomes parts; " + sheet.quality + ' ' +
                       unit_note(book.length_unit),
                   2.4);
    flow.skip(2);
    const double end = draw_sheet(flow.page(), book, sheet, Flow::margin, flow.y(), flow.width(),
                                  endless ? 1000 : 140, false);
    flow.skip(end - flow.y() + 1);
    legend(flow, book, sheet);
    part_table(flow, book, sheet);
    cut_table(flow, book, sheet);
    return {"sheet-" + two_digits(number), flow.finish()};
}

void draw_board(Flow& flow, const CutBook& book, const BoardPage& board, double scale) {
    // Parts that are ripped need their width to scale; lengths alone may be drawn higher.
    const double down = board.ripped ? std::max(scale, 7 / board.width) : 9 / board.width;
    const double high = board.width * down;
    flow.need(high + 9);
    std::string what = board.id + "  " + bare_size(board.length, board.width, book.length_unit) +
                       " x " + length_with_unit(board.thickness, book.length_unit) + ", " +
                       board.source;
    if (board.copies > 1) what += ", " + std::to_string(board.copies) + " cut alike";
    flow.paragraph(what, 2.6, true);
    Page& page = flow.page();
    const double x = Flow::margin;
    const double y = flow.y() + 0.8;
    page.box({x, y, board.length * scale, high}, outline, waste_grey, "board");
    std::vector<Box> taken;
    for (const contract::Offcut& offcut : board.offcuts) {
        const Box at{x + offcut.x * scale, y, offcut.length * scale, high};
        size_inside(page, at, "rest " + bare_length(offcut.length, book.length_unit), taken);
    }
    for (const PlacedPart& placed : board.placed) {
        const Box at{x + placed.x * scale, y + placed.y * down, placed.length * scale,
                     placed.width * down};
        page.box(at, part_edge, 1.0, "part");
        (void)label_part(page, at, book.parts[placed.part], book.length_unit, DrawnGrain::none,
                         taken);
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
        {{"no.", 10}, {"", 12}, {"part", flow.width() - 94}, {"finished", 40}, {"as cut", 32}},
        rows);
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

} // namespace

std::vector<Figure> cut_figures(const CutBook& book, bool endless) {
    std::vector<Figure> figures{first_figure(book, endless)};
    std::size_t number = 0;
    for (const SheetPage& sheet : book.sheets)
        figures.push_back(sheet_figure(book, sheet, ++number, endless));
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
