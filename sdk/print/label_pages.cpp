#include "print/part_label.hpp"
#include "print/print.hpp"

namespace aumbry::print {
namespace {

constexpr int across = 3;
constexpr int down = 8;
constexpr double inner = 4; ///< kept free inside a label, mm: printers and sheets are never exact

void draw_label(Page& page, const Box& box, const CutBook& book, const LabelledPart& label) {
    const BookPart& part = book.parts[label.part];
    const double room = box.width - 2 * inner;
    double y = box.y + inner;
    const auto line = [&](const std::string& text, double size, bool bold) {
        if (text.empty()) return;
        page.text(box.x + inner, y + size * 0.9, shortened(text, size, room, bold), size, bold);
        y += size * 1.3;
    };
    const double number_size = 6;
    const std::string number = part.number;
    page.text(box.x + inner, y + number_size * 0.82, number, number_size, true);
    const double beside = text_width(number, number_size, true) + 2;
    double name_y = y;
    int lines = 0;
    for (const std::string& text : wrapped(part.title, 3, room - beside, true)) {
        if (++lines > 2) break;
        page.text(box.x + inner + beside, name_y + 2.7, text, 3, true);
        name_y += 3.6;
    }
    y += number_size * 1.25;
    line(bare_size(part.length, part.width, book.length_unit) + " x " +
             length_with_unit(part.thickness, book.length_unit),
         3.4, true);
    line(part.piece, 2.4, false);
    std::string how = edges_in_words(part);
    if (const std::string faces = faces_in_words(part); !faces.empty())
        how = faces + (how.empty() ? "" : "; " + how);
    int count = 0;
    for (const std::string& text : wrapped(how, 2.2, room)) {
        if (++count > 3) break;
        line(text, 2.2, false);
    }
    const double foot = box.bottom() - inner;
    const std::string which = std::to_string(label.number) + " of " + std::to_string(part.count) +
                              (label.from.empty() ? "" : ", from " + label.from);
    page.text(box.x + inner, foot, shortened(which, 2.2, room - 10), 2.2);
    if (part.grain_fixed) {
        // The label lies along the part: its arrow shows the grain against the printed size.
        const bool along = part.grain == "along its length";
        double_arrow(page,
                     along ? Box{box.right() - inner - 8, foot - 1.6, 8, 1.4}
                           : Box{box.right() - inner - 1.6, foot - 7, 1.4, 7},
                     !along);
    }
}

} // namespace

std::vector<Page> label_pages(const CutBook& book) {
    const Paper paper = paper_for(book.length_unit);
    const double width = paper.width / across;
    const double height = (paper.height - 1) / down;
    std::vector<Page> pages;
    int place = across * down;
    for (const LabelledPart& label : book.labels) {
        if (place == across * down) {
            pages.emplace_back();
            pages.back().title = "Labels: " + book.job;
            pages.back().width = paper.width;
            pages.back().height = paper.height;
            place = 0;
        }
        const Box box{width * (place % across), 0.5 + height * (place / across), width, height};
        // Thin corners to cut by, when the page is plain paper.
        for (const double x : {box.x, box.right()}) {
            for (const double y : {box.y, box.bottom()}) {
                pages.back().line(x - 1.5, y, x + 1.5, y, {0.08, 0.6, {}});
                pages.back().line(x, y - 1.5, x, y + 1.5, {0.08, 0.6, {}});
            }
        }
        draw_label(pages.back(), box, book, label);
        ++place;
    }
    if (pages.empty()) {
        pages.emplace_back();
        pages.back().title = "Labels: " + book.job;
        pages.back().width = paper.width;
        pages.back().height = paper.height;
        pages.back().text(20, 30, "This job has no parts to label.", 4);
    }
    return pages;
}

} // namespace aumbry::print
