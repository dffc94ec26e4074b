#include "print/print.hpp"
#include "print/sheet_drawing.hpp"

#include "aumbry/reader_measures.hpp"

#include <algorithm>
#include <functional>

namespace aumbry::print {
namespace {

constexpr double inset = 2.5; ///< kept free inside a label, mm: sheets are never fed exactly
constexpr double line_space = 1.22;

/// One text of a label; what is `spare` is left out where there is no room.
struct LabelLine {
    std::string text;
    double size = 2.6;
    bool bold = false;
    bool spare = false;
};

/// What a label says, and what it shows.
struct LabelText {
    std::string number; ///< large
    std::vector<LabelLine> lines;
    std::string foot;
    std::function<void(Page&, const Box&)> picture;
};

/// As large as the part's shape allows within a box, never thinner than can be seen.
Box shape_in(const Box& room, double length, double width) {
    const double ratio = std::clamp(length > 0 ? width / length : 1.0, 0.16, 6.0);
    double wide = room.width;
    double high = wide * ratio;
    if (high > room.height) {
        high = room.height;
        wide = high / ratio;
    }
    return {room.x + (room.width - wide) / 2, room.y + (room.height - high) / 2, wide, high};
}

/// The part as it lies with its front towards the reader: edges, grain, face.
void part_picture(Page& page, const Box& room, const BookPart& part, const std::string& hand) {
    constexpr double word = 2.1;
    const Box shape =
        shape_in({room.x, room.y + word * 1.3, room.width, std::max(2.0, room.height - word * 2.8)},
                 part.length, part.width);
    page.box(shape, Stroke{0.15, 0.3, {}}, 1.0, "picture");
    edges_of_part(page, shape, edge_looks(part, hand));
    const double middle = shape.x + shape.width / 2;
    page.text(middle, shape.y - word * 0.35, "back, up", word, false, Anchor::middle);
    page.text(middle, shape.bottom() + word * 1.05, "front, down", word, false, Anchor::middle);
    const bool along = part.grain == "along its length";
    if (part.grain_fixed && shape.width > 6 && shape.height > 3.4) {
        const double reach =
            along ? std::min(10.0, shape.width - 4) : std::min(10.0, shape.height - 3);
        const double y = shape.y + shape.height / 2;
        if (reach > 2.4)
            double_arrow(page,
                         along ? Box{middle - reach / 2, y - 0.7, reach, 1.4}
                               : Box{middle - 0.7, y - reach / 2, 1.4, reach},
                         !along);
    }
    if (part.faces >= 1 && shape.width > 8 && shape.height > 5)
        face_mark(page, shape.right() - 3.6, shape.bottom() - 3.9, 2.4);
}

std::string joined(std::initializer_list<std::string> texts) {
    std::string all;
    for (const std::string& text : texts) {
        if (!text.empty()) all += (all.empty() ? "" : ", ") + text;
    }
    return all;
}

LabelText text_of(const CutBook& book, const LabelledPart& label) {
    const BookPart& part = book.parts[label.part];
    const std::string& unit = book.length_unit;
    LabelText text;
    text.number = part.number;
    text.lines.push_back({part.title, 3.4, true, false});
    if (!label.hand.empty()) text.lines.push_back({label.hand + "-hand one", 3.2, true, false});
    const std::string thickness =
        part.thickness > 0 ? " x " + length_with_unit(part.thickness, unit) : "";
    const std::string finished = bare_size(part.length, part.width, unit);
    const std::string sawn = bare_size(part.cut_length, part.cut_width, unit);
    text.lines.push_back({finished + thickness, 4.0, true, false});
    if (part.cut_length > 0 && sawn != finished)
        text.lines.push_back({"sawn " + sawn, 3.2, false, false});
    if (!label.place.empty())
        text.lines.push_back({"match '" + part.match + "', " + label.place, 3.0, true, false});
    text.lines.push_back({joined({part.stock.empty() ? part.material : part.stock,
                                  part.mass > 0 ? mass_text(part.mass, unit) : std::string()}),
                          2.6, false, false});
    text.lines.push_back({part.piece, 2.6, false, true});
    text.lines.push_back({joined({faces_in_words(part), edges_in_words(part, label.hand)}), 2.4,
                          false, part.taper.empty() && part.joints.empty()});
    text.foot = joined({std::to_string(label.number) + " of " + std::to_string(part.count) +
                            (label.from.empty() ? "" : ", from " + label.from),
                        book.job, book.made_on});
    text.picture = [&part, hand = label.hand](Page& page, const Box& room) {
        part_picture(page, room, part, hand);
    };
    return text;
}

LabelText text_of(const CutBook& book, const LabelledOffcut& offcut, std::size_t number) {
    LabelText text;
    text.number = "keep " + std::to_string(number);
    text.lines.push_back({"Offcut", 3.4, true, false});
    text.lines.push_back(
        {size_with_unit(offcut.length, offcut.width, book.length_unit), 4.0, true, false});
    text.lines.push_back({offcut.material, 2.6, false, false});
    text.lines.push_back({offcut.source, 2.6, false, true});
    text.foot = joined({"from " + offcut.from, book.job, book.made_on});
    text.picture = [&offcut](Page& page, const Box& room) {
        const Box shape = shape_in(room, offcut.length, offcut.width);
        page.box(shape, Stroke{0.2, 0, {}}, 1.0, "picture");
        if (offcut.grain == contract::SheetGrain::none || shape.width < 6 || shape.height < 6)
            return;
        const bool upright = offcut.grain == contract::SheetGrain::width;
        const double x = shape.x + shape.width / 2;
        const double y = shape.y + shape.height / 2;
        double_arrow(page, upright ? Box{x - 0.7, y - 2.5, 1.4, 5} : Box{x - 2.5, y - 0.7, 5, 1.4},
                     upright);
    };
    return text;
}

/// The lines of a label set at one scale: the first one beside the number, the others below it.
struct SetLabel {
    double number = 0; ///< height of its digits
    double indent = 0; ///< of the first line
    double foot = 0;
    std::vector<LabelLine> head;
    std::vector<LabelLine> lines;

    [[nodiscard]] double below_head() const { return std::max(number * 1.05, height_of(head)); }
    [[nodiscard]] double height() const {
        return below_head() + height_of(lines) + foot * line_space + 0.4;
    }
    static double height_of(const std::vector<LabelLine>& lines) {
        double height = 0;
        for (const LabelLine& line : lines) height += line.size * line_space;
        return height;
    }
};

SetLabel set_label(const LabelText& text, double scale, double room, bool spare) {
    SetLabel set;
    set.number = 6.5 * scale;
    set.foot = std::max(1.9, 2.4 * scale);
    set.indent = text_width(text.number, set.number, true) + 2 * scale;
    for (std::size_t i = 0; i < text.lines.size(); ++i) {
        const LabelLine& line = text.lines[i];
        if (line.text.empty() || (line.spare && !spare)) continue;
        const double size = line.size * scale;
        for (const std::string& part :
             wrapped(line.text, size, i == 0 ? room - set.indent : room, line.bold))
            (i == 0 ? set.head : set.lines).push_back({part, size, line.bold, line.spare});
    }
    return set;
}

void draw_label(Page& page, const Box& area, const LabelText& text) {
    const bool wide = area.width > area.height * 1.2;
    const double share = wide ? std::clamp(area.width * 0.3, 15.0, 34.0) : 0;
    const double room = area.width - (wide ? share + 2 : 0);
    // Smaller before anything is left out, and what can be done without before it is unreadable.
    SetLabel set;
    bool fits = false;
    for (const double scale : {1.15, 1.0, 0.9, 0.8}) {
        set = set_label(text, scale, room, true);
        if ((fits = set.height() <= area.height)) break;
    }
    for (double scale = 0.9; !fits && scale > 0.45; scale -= 0.1) {
        set = set_label(text, scale, room, false);
        fits = set.height() <= area.height;
    }
    page.text(area.x, area.y + set.number * 0.8, text.number, set.number, true);
    double y = area.y;
    for (const LabelLine& line : set.head) {
        page.text(area.x + set.indent, y + line.size * 0.95, line.text, line.size, line.bold);
        y += line.size * line_space;
    }
    y = area.y + set.below_head();
    const double last = area.bottom() - set.foot * line_space + 0.01;
    for (const LabelLine& line : set.lines) {
        if (y + line.size * line_space > last) break;
        page.text(area.x, y + line.size * 0.95, line.text, line.size, line.bold);
        y += line.size * line_space;
    }
    page.text(area.x, area.bottom() - set.foot * 0.28, shortened(text.foot, set.foot, area.width),
              set.foot);
    if (wide)
        text.picture(
            page, {area.right() - share, area.y, share, area.height - set.foot * line_space - 0.6});
}

/// Where text may stand: within the label and within what a printer reaches.
Box printable(const Box& label, const LabelSheet& sheet) {
    const double x = std::max(label.x + inset, sheet.unprintable);
    const double y = std::max(label.y + inset, sheet.unprintable);
    const double right = std::min(label.right() - inset, sheet.paper.width - sheet.unprintable);
    const double bottom = std::min(label.bottom() - inset, sheet.paper.height - sheet.unprintable);
    return {x, y, right - x, bottom - y};
}

/// Thin corners to cut by, when the page is plain paper.
void corners(Page& page, const Box& box) {
    const Stroke thin{0.08, 0.6, {}};
    for (const double x : {box.x, box.right()}) {
        for (const double y : {box.y, box.bottom()}) {
            page.line(x - 1.2, y, x + 1.2, y, thin);
            page.line(x, y - 1.2, x, y + 1.2, thin);
        }
    }
}

} // namespace

std::vector<Page> label_pages(const CutBook& book, const LabelSheet& sheet) {
    sheet.check();
    std::vector<LabelText> texts;
    for (const LabelledPart& label : book.labels) texts.push_back(text_of(book, label));
    for (std::size_t i = 0; i < book.kept.size(); ++i)
        texts.push_back(text_of(book, book.kept[i], i + 1));
    std::vector<Page> pages;
    const auto begin_page = [&] {
        pages.emplace_back();
        pages.back().title = "Labels: " + book.job;
        pages.back().width = sheet.paper.width;
        pages.back().height = sheet.paper.height;
    };
    for (std::size_t i = 0; i < texts.size(); ++i) {
        const int place = static_cast<int>(i % static_cast<std::size_t>(sheet.count()));
        if (place == 0) begin_page();
        const Box box = sheet.place(place);
        if (sheet.count() > 1) corners(pages.back(), box);
        draw_label(pages.back(), printable(box, sheet), texts[i]);
    }
    if (pages.empty()) {
        begin_page();
        pages.back().text(10, 20, "This job has no parts to label.", 4);
    }
    return pages;
}

std::vector<Page> label_pages(const CutBook& book) {
    return label_pages(book, usual_label_sheet(book.length_unit));
}

} // namespace aumbry::print
