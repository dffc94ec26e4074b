#include "print/flow.hpp"

#include <algorithm>

namespace aumbry::print {
namespace {

constexpr double spacing = 1.3;    ///< between base lines, of the em
constexpr double row_space = 0.9;  ///< mm between rows
constexpr double cell_space = 1.2; ///< mm between columns
constexpr double band_space = 4;   ///< mm between tables side by side

/// A row broken into lines.
struct SetRow {
    std::vector<std::vector<std::string>> cells;
    std::vector<bool> bold;
    double height = 0;
};

SetRow set_row(const std::vector<Column>& columns, const std::vector<Cell>& cells, double size) {
    SetRow row;
    std::size_t lines = 1;
    for (std::size_t i = 0; i < columns.size(); ++i) {
        row.cells.push_back(
            wrapped(cells[i].words, size, columns[i].width - cell_space, cells[i].bold));
        row.bold.push_back(cells[i].bold);
        lines = std::max(lines, row.cells.back().size());
    }
    row.height = static_cast<double>(lines) * size * spacing + row_space;
    return row;
}

void draw_row(Page& page, double x, double y, const std::vector<Column>& columns, const SetRow& row,
              double size) {
    for (std::size_t i = 0; i < columns.size(); ++i) {
        double base = y + size * 1.05;
        for (const std::string& line : row.cells[i]) {
            if (columns[i].right)
                page.text(x + columns[i].width - cell_space, base, line, size, row.bold[i],
                          Anchor::right);
            else
                page.text(x, base, line, size, row.bold[i]);
            base += size * spacing;
        }
        x += columns[i].width;
    }
}

} // namespace

Flow::Flow(std::string title, Paper paper, bool endless)
    : title_(std::move(title)), paper_(paper), endless_(endless) {
    pages_.emplace_back();
    page().title = title_;
    page().width = paper_.width;
    page().height = paper_.height;
}

void Flow::next_page() {
    pages_.emplace_back();
    page().title = title_;
    page().width = paper_.width;
    page().height = paper_.height;
    y_ = top;
    page().text(margin, y_ + 3, shortened(title_ + ", continued", 3, width(), true), 3, true);
    y_ += 7;
}

void Flow::new_page() {
    if (y_ > top + 8) next_page();
}

void Flow::need(double height) {
    if (!endless_ && y_ + height > lowest() && y_ > top + 8) next_page();
}

void Flow::title(const std::string& text) {
    for (const std::string& line : wrapped(text, 5, width(), true)) {
        need(8);
        page().text(margin, y_ + 5, line, 5, true);
        y_ += 7;
    }
}

void Flow::heading(const std::string& text) {
    need(20);
    y_ += 3;
    for (const std::string& line : wrapped(text, 3.2, width(), true)) {
        page().text(margin, y_ + 3.2, line, 3.2, true);
        y_ += 5.4;
    }
}

void Flow::pair(const std::string& left, const std::string& right, bool bold) {
    constexpr double size = 2.8;
    // Neither side takes the whole line from the other.
    const double taken = std::min(text_width(right, size, bold), width() * 0.6) + 3;
    const std::vector<std::string> lines = wrapped(left, size, width() - taken, bold);
    const std::vector<std::string> beside = wrapped(right, size, taken - 2.9, bold);
    constexpr double step = size * spacing + 0.4;
    const double high =
        step * static_cast<double>(std::max<std::size_t>({lines.size(), beside.size(), 1}));
    need(high);
    double y = y_ + size;
    for (const std::string& line : lines) {
        page().text(margin, y, line, size, bold);
        y += step;
    }
    y = y_ + size;
    for (const std::string& line : beside) {
        page().text(margin + width(), y, line, size, bold, Anchor::right);
        y += step;
    }
    y_ += high;
}

void Flow::rule() {
    y_ += 0.8;
    page().line(margin, y_, margin + width(), y_, {0.2, 0, {}});
    y_ += 1.2;
}

void Flow::paragraph(const std::string& text, double size, bool bold) {
    for (const std::string& line : wrapped(text, size, width(), bold)) {
        need(size * spacing);
        page().text(margin, y_ + size, line, size, bold);
        y_ += size * spacing;
    }
}

void Flow::table(const std::vector<Column>& columns, const std::vector<std::vector<Cell>>& rows,
                 double size, int bands) {
    std::vector<SetRow> set;
    double left = 0; // height of the rows still to be drawn
    for (const std::vector<Cell>& row : rows) {
        set.push_back(set_row(columns, row, size));
        left += set.back().height;
    }
    std::vector<Cell> titles;
    double table_width = 0;
    for (const Column& column : columns) {
        titles.emplace_back(column.title, true);
        table_width += column.width;
    }
    const SetRow head = set_row(columns, titles, size);
    std::size_t next = 0;
    while (next < set.size()) {
        need(head.height + set[next].height + 1);
        const double available = endless_ ? left + head.height : lowest() - y_ - head.height - 1;
        const double fair = left / bands;
        double deepest = y_;
        double x = margin;
        for (int band = 0; band < bands && next < set.size(); ++band) {
            draw_row(page(), x, y_, columns, head, size);
            double y = y_ + head.height;
            page().line(x, y, x + table_width - cell_space, y, {0.2, 0, {}});
            y += 0.6;
            const double from = y;
            bool first = true;
            while (next < set.size()) {
                const double height = set[next].height;
                const bool last_band = band + 1 == bands;
                if (!first &&
                    (y - from + height > available || (!last_band && y - from + height / 2 > fair)))
                    break;
                draw_row(page(), x, y, columns, set[next], size);
                y += height;
                left -= height;
                page().line(x, y - row_space / 2, x + table_width - cell_space, y - row_space / 2,
                            {0.08, 0.7, {}});
                ++next;
                first = false;
            }
            deepest = std::max(deepest, y);
            x += table_width + band_space;
        }
        y_ = deepest + 1;
        if (next < set.size()) {
            if (endless_) continue;
            next_page();
        }
    }
}

std::vector<Page> Flow::finish() {
    if (endless_) pages_.back().height = std::max(40.0, y_ + 16);
    return std::move(pages_);
}

void number_pages(std::vector<Page>& pages, const std::string& left) {
    for (std::size_t i = 0; i < pages.size(); ++i) {
        Page& page = pages[i];
        const double y = page.height - 9;
        const std::string number =
            "page " + std::to_string(i + 1) + " of " + std::to_string(pages.size());
        const double room = page.width - 2 * Flow::margin - text_width(number, 2.4) - 4;
        page.text(Flow::margin, y, shortened(left, 2.4, room), 2.4, false, Anchor::left, 0.25);
        page.text(page.width - Flow::margin, y, number, 2.4, false, Anchor::right, 0.25);
    }
}

} // namespace aumbry::print
