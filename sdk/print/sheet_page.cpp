#include "print/sheet_page.hpp"
#include "print/flow.hpp"
#include "print/print.hpp"
#include "print/sheet_drawing.hpp"

#include <algorithm>
#include <array>
#include <functional>
#include <map>
#include <optional>

namespace aumbry::print {
namespace {

constexpr double column_gap = 5;
constexpr double drawing_gap = 2;
constexpr double spaced = 1.28; ///< between base lines, of the em

/// How a page is laid out. `text` is the size of what is read at the saw; settings are larger.
struct Layout {
    double text = 3.5;
    int columns = 2;
    int drawing_columns = 2; ///< that the drawing is as wide as
    double drawing_high = 150;
    bool sizes = true; ///< of every piece that a cut makes

    [[nodiscard]] double setting() const { return text * 5 / 3.5; }
};

/// Layouts in the order in which they are wished for.
std::vector<Layout> layouts(const SheetPage& sheet) {
    const bool square = sheet.width / sheet.length > 0.7;
    std::vector<Layout> all;
    for (const double text : {3.5, 3.2, 2.9, 2.6, 2.3, 2.0, 1.7}) {
        if (square) all.push_back({text, 3, 2, 150, true});
        if (!square) all.push_back({text, 2, 2, 110, true});
        if (!square) all.push_back({text, 2, 2, 110, false});
        all.push_back({text, 3, square ? 2 : 3, 125, false});
        if (!square) all.push_back({text, 3, 2, 110, false});
    }
    return all;
}

/// One row of a list, drawn with its upper left corner at a point.
struct Row {
    double height = 0;
    std::function<void(Page&, double, double)> draw;
    bool with_next = false;  ///< a heading stays with what it heads
    double again_height = 0; ///< of what stands above it where it begins a column
    std::function<void(Page&, double, double)> again = {};
};

Row heading_row(const std::string& text, double size) {
    return {
        size * 1.9,
        [=](Page& page, double x, double y) { page.text(x, y + size * 1.45, text, size, true); },
        true};
}

/// Widths of the columns before a part's name.
struct PartColumns {
    double number = 0;
    double count = 0;
};

/// A part: number and count, name, sizes.
Row part_row(const CutBook& book, const BookPart& part, int count, const PartColumns& columns,
             const Layout& layout, double width) {
    const double size = layout.text;
    const double indent = columns.number + columns.count;
    const std::string sawn = bare_size(part.cut_length, part.cut_width, book.length_unit);
    const std::string finished = bare_size(part.length, part.width, book.length_unit);
    const std::string also =
        layout.sizes && sawn != finished ? "finished " + finished : std::string();
    std::vector<std::string> lines = wrapped(part.title, size, width - indent);
    if (lines.empty()) lines.emplace_back(); // a title of spaces
    // Where there is room behind the name, its size stands there.
    const double left = width - indent - text_width(lines.back(), size) - size * 0.6;
    const bool behind = text_width(sawn, size, true) <= left;
    const bool beside =
        !behind && !also.empty() &&
        text_width(sawn, size, true) + size + text_width(also, size) <= width - indent;
    const int further = (behind ? 0 : 1) + (also.empty() || beside ? 0 : 1);
    std::string remark = layout.sizes && !part.taper.empty() ? "tapered: " + part.taper : "";
    for (const auto& [edge, joint] : part.joints)
        remark += (remark.empty() ? "" : "; ") + edge + ": " + joint;
    const double small = size * 0.86;
    const std::vector<std::string> remarks = wrapped(remark, small, width - indent);
    const double height = ((static_cast<double>(lines.size()) + further) * spaced + 0.25) * size +
                          static_cast<double>(remarks.size()) * small * spaced;
    const std::string number = part.number;
    return {height, [=](Page& page, double x, double y) {
                double base = y + size;
                page.text(x, base, number, size, true);
                page.text(x + indent - size * 0.4, base, std::to_string(count) + " x", size, false,
                          Anchor::right);
                for (const std::string& line : lines) {
                    page.text(x + indent, base, line, size);
                    base += size * spaced;
                }
                if (behind) {
                    page.text(x + width, base - size * spaced, sawn, size, true, Anchor::right);
                } else {
                    page.text(x + indent, base, sawn, size, true);
                    base += size * spaced;
                }
                if (!also.empty()) {
                    if (beside) base -= size * spaced;
                    page.text(x + width, base, also, size, false, Anchor::right);
                    base += size * spaced;
                }
                base -= size - small;
                for (const std::string& line : remarks) {
                    page.text(x + indent, base, line, small);
                    base += small * spaced;
                }
                page.line(x, y + height - 0.1, x + width, y + height - 0.1, {0.06, 0.7, {}});
            }};
}

std::vector<Row> part_rows(const CutBook& book, const SheetPage& sheet, const Layout& layout,
                           double width) {
    std::map<std::size_t, int> counts;
    for (const PlacedPart& placed : sheet.placed) ++counts[placed.part];
    PartColumns columns;
    for (const auto& [index, count] : counts) {
        columns.number =
            std::max(columns.number, text_width(book.parts[index].number, layout.text, true));
        columns.count =
            std::max(columns.count, text_width(std::to_string(count) + " x", layout.text));
    }
    columns.number += layout.text * 0.4;
    columns.count += layout.text * 0.4;
    std::vector<Row> rows{heading_row("Parts of this sheet, as sawn", layout.text)};
    for (const auto& [index, count] : counts)
        rows.push_back(part_row(book, book.parts[index], count, columns, layout, width));
    return rows;
}

/// What a cut makes of a piece: "C upper", "C" where it stays C, with an arrow "12" or
/// "D 2064 x 319.5" where it becomes something else.
std::string cut_in_short(const PlannedCut& cut, bool sizes) {
    if (cut.kind == contract::CutKind::trim) return cut.piece + (cut.along ? " upper" : " left");
    std::string made = sizes ? cut.first : cut.first_short;
    // What keeps its letter or falls away needs no word.
    const bool done = cut.rest_short.find_first_of("0123456789") == 0 ||
                      cut.rest_short.find("keep") != std::string::npos;
    const bool only_rest = cut.first_short == "waste" || cut.first_short.find("offcut") == 0;
    if (done) made += " + " + (sizes ? cut.rest : cut.rest_short);
    if (only_rest && !done && cut.rest_short != "waste") made = "waste";
    if (made == cut.piece) return cut.piece;
    return cut.piece + " \u2192 " + made;
}

/// A cut to tick off: as many boxes as sheets are cut alike.
struct Item {
    std::string number;
    std::string what;
    int boxes = 1;
    double width = 0;
};

constexpr int max_boxes = 4;

Item item_of(const PlannedCut& cut, const SheetPage& sheet, double size, bool sizes) {
    Item item{std::to_string(cut.number), cut_in_short(cut, sizes)};
    item.boxes = static_cast<int>(std::min<std::int64_t>(sheet.copies, max_boxes));
    item.width = item.boxes * size * 1.05 + text_width(item.number, size, true) +
                 text_width(item.what, size) + size * 0.9;
    return item;
}

void draw_item(Page& page, const Item& item, double x, double base, double size) {
    for (int i = 0; i < item.boxes; ++i) {
        page.box({x, base - size * 0.78, size * 0.8, size * 0.8}, Stroke{0.2, 0, {}}, {}, "tick");
        x += size * 1.05;
    }
    x += size * 0.1;
    page.text(x, base, item.number, size, true);
    page.text(x + text_width(item.number, size, true) + size * 0.45, base, item.what, size);
}

/// The cuts of one setting: the setting large, behind and below it the cuts.
std::vector<Row> setting_rows(const CutBook& book, const SheetPage& sheet,
                              const std::vector<std::size_t>& cuts, const Layout& layout,
                              double width) {
    const double size = layout.text;
    const double large = layout.setting();
    const PlannedCut& first = sheet.cuts[cuts.front()];
    const bool trim = first.kind == contract::CutKind::trim;
    const std::string kind = kind_in_words(first.kind);
    const std::string setting =
        bare_length(trim ? first.setting + first.kerf : first.setting, book.length_unit);
    const double kind_width = text_width(kind, size) + size * 0.45;
    const double after = kind_width + text_width(setting, large, true) + size * 1.2;
    const double indent = std::min(size * 2, width / 8);

    std::vector<std::vector<std::pair<double, Item>>> lines(1);
    double x = std::max(after, width > 80 ? size * 11 : 0.0);
    for (const std::size_t index : cuts) {
        Item item = item_of(sheet.cuts[index], sheet, size, layout.sizes);
        // Without the size of what it makes where a narrow column does not take that.
        if (layout.sizes && item.width > width - indent)
            item = item_of(sheet.cuts[index], sheet, size, false);
        if (x + item.width > width && (!lines.back().empty() || lines.size() == 1)) {
            lines.emplace_back();
            x = width > 80 ? size * 11 : indent;
            if (x + item.width > width) x = indent;
        }
        const double step = item.width + size * 0.5;
        lines.back().emplace_back(x, std::move(item));
        // Columns of items of one width, where they are alike.
        x += step;
    }
    std::vector<Row> rows;
    for (std::size_t i = 0; i < lines.size(); ++i) {
        const double height = i == 0 ? large * 1.24 : size * 1.36;
        rows.push_back({height,
                        [=, line = lines[i]](Page& page, double left, double y) {
                            const double base = y + (i == 0 ? large : size);
                            if (i == 0) {
                                page.line(left, y + 0.15, left + width, y + 0.15, {0.06, 0.7, {}});
                                page.text(left, base, kind, size);
                                page.text(left + kind_width, base, setting, large, true);
                            }
                            for (const auto& [at, item] : line)
                                draw_item(page, item, left + at, base, size);
                        },
                        i + 1 < lines.size() && i == 0});
        if (i < 2) continue;
        rows.back().again_height = size * spaced;
        rows.back().again = [=](Page& page, double left, double y) {
            page.text(left, y + size, kind + ' ' + setting + ", more", size);
        };
    }
    return rows;
}

std::vector<Row> cut_rows(const CutBook& book, const SheetPage& sheet, const Layout& layout,
                          double width) {
    std::vector<Row> rows;
    const auto add = [&](std::vector<Row> more) {
        std::move(more.begin(), more.end(), std::back_inserter(rows));
    };
    std::optional<bool> by_dealer;
    for (const std::vector<std::size_t>& cuts : settings_of(sheet)) {
        const bool dealer = sheet.cuts[cuts.front()].dealer;
        if (by_dealer != dealer) {
            if (!sheet.placed.empty())
                rows.push_back(
                    heading_row(dealer ? "By the supplier, in order" : "In the workshop, in order",
                                layout.text));
            by_dealer = dealer;
        }
        add(setting_rows(book, sheet, cuts, layout, width));
    }
    return rows;
}

/// Where rows begin.
struct Place {
    double x = 0;
    double y = 0;
};

/// Fills columns one after the other, none below `bottom`; how many rows found room.
std::size_t fill(Page* page, const std::vector<Row>& rows, const std::vector<Place>& columns,
                 double bottom, double* deepest = nullptr) {
    std::size_t next = 0;
    for (const Place& column : columns) {
        double y = column.y;
        while (next < rows.size()) {
            // A heading and what it heads go together.
            std::size_t end = next;
            double height = rows[end].height;
            while (rows[end].with_next && end + 1 < rows.size()) height += rows[++end].height;
            const double again = y == column.y ? rows[next].again_height : 0;
            if (y + again + height > bottom) break;
            if (again > 0 && page != nullptr) rows[next].again(*page, column.x, y);
            y += again;
            for (; next <= end; ++next) {
                if (page != nullptr) rows[next].draw(*page, column.x, y);
                y += rows[next].height;
            }
        }
        if (deepest != nullptr) *deepest = std::max(*deepest, y);
    }
    return next;
}

/// One try at the page.
class SheetSetter {
  public:
    SheetSetter(const CutBook& book, const SheetPage& sheet, const Layout& layout, bool endless)
        : book_(book), sheet_(sheet), layout_(layout), paper_(paper_for(book.length_unit)),
          flow_(sheet.id + "  " + sheet.title, paper_, endless), endless_(endless) {}

    /// Whether everything finds room on one page; what does not goes on a further one if it must.
    bool set(bool must) {
        head();
        const double bottom = endless_ ? 1e6 : paper_.height - 12.5;
        const double width = (flow_.width() - (layout_.columns - 1) * column_gap) / layout_.columns;
        const double drawing_wide = layout_.drawing_columns * (width + column_gap) - column_gap;
        const double top = flow_.y();
        const double drawn = draw_sheet(flow_.page(), book_, sheet_, Flow::margin, top,
                                        drawing_wide, layout_.drawing_high, false);
        const double below = draw_legend(flow_.page(), book_, sheet_, Flow::margin,
                                         drawn + drawing_margin, drawing_wide) +
                             drawing_gap;
        std::vector<Place> columns;
        for (int i = 0; i < layout_.columns; ++i) {
            const double x = Flow::margin + i * (width + column_gap);
            columns.push_back({x, i < layout_.drawing_columns ? below : top});
        }
        std::vector<Row> rows = part_rows(book_, sheet_, layout_, width);
        std::vector<Row> cuts = cut_rows(book_, sheet_, layout_, width);
        std::move(cuts.begin(), cuts.end(), std::back_inserter(rows));
        if (!endless_ && fill(nullptr, rows, columns, bottom) < rows.size()) {
            if (!must) return false;
            go_on(rows, columns, bottom);
            return true;
        }
        // Columns end where the lists just fit, so that they are of about one length.
        double end = below;
        while (fill(nullptr, rows, columns, end) < rows.size()) end += 1;
        double deepest = below;
        fill(&flow_.page(), rows, columns, end, &deepest);
        flow_.skip(std::max(deepest, below) - flow_.y() + 2);
        return true;
    }

    std::vector<Page> pages() { return flow_.finish(); }

  private:
    void head() {
        flow_.title(sheet_.id + "  " + sheet_.title);
        std::string what = sheet_.from_which + ", " +
                           size_with_unit(sheet_.length, sheet_.width, book_.length_unit) + ", " +
                           sheet_.source;
        if (sheet_.copies > 1) what = std::to_string(sheet_.copies) + " cut alike; " + what;
        flow_.paragraph(what, 3.5);
        flow_.paragraph(sheet_.quality + ' ' + percent(sheet_.yield) +
                            " of this sheet. Saws: " + saws_in_words(sheet_, book_.length_unit) +
                            ". " + unit_note(book_.length_unit) +
                            (sheet_.cuts.empty()
                                 ? ""
                                 : " A cut goes through a whole piece, set from its left or upper "
                                   "edge. Letters are pieces, to be chalked on: what is left "
                                   "keeps its letter. Numbers are parts."),
                        2.6);
        flow_.skip(drawing_margin);
    }

    /// More than any page holds: the rest goes on further pages of three columns.
    void go_on(std::vector<Row> rows, std::vector<Place> columns, double bottom) {
        while (true) {
            const std::size_t done = fill(&flow_.page(), rows, columns, bottom);
            rows.erase(rows.begin(), rows.begin() + static_cast<std::ptrdiff_t>(done));
            if (rows.empty()) return;
            flow_.skip(paper_.height);
            flow_.need(10);
            for (Place& column : columns) column.y = flow_.y();
        }
    }

    const CutBook& book_;
    const SheetPage& sheet_;
    Layout layout_;
    Paper paper_;
    Flow flow_;
    bool endless_;
};

} // namespace

void list_cuts(Flow& flow, const CutBook& book, const SheetPage& sheet) {
    constexpr int columns = 2;
    const double width = (flow.width() - (columns - 1) * column_gap) / columns;
    for (const double text : {3.5, 3.2, 2.9, 2.6, 2.3, 2.0}) {
        Layout layout;
        layout.text = text;
        const std::vector<Row> rows = cut_rows(book, sheet, layout, width);
        std::vector<Place> places;
        for (int i = 0; i < columns; ++i)
            places.push_back({Flow::margin + i * (width + column_gap), flow.y()});
        double end = flow.y();
        while (end < flow.lowest() && fill(nullptr, rows, places, end) < rows.size()) end += 1;
        if (fill(nullptr, rows, places, end) < rows.size() && text > 2.0) continue;
        double deepest = flow.y();
        fill(&flow.page(), rows, places, end, &deepest);
        flow.skip(deepest - flow.y() + 2);
        return;
    }
}

std::vector<Page> sheet_pages(const CutBook& book, const SheetPage& sheet, bool endless) {
    const std::vector<Layout> all = layouts(sheet);
    for (const Layout& layout : all) {
        SheetSetter setter(book, sheet, layout, endless);
        if (setter.set(&layout == &all.back())) return setter.pages();
    }
    return {};
}

} // namespace aumbry::print
