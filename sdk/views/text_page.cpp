#include "views/text_page.hpp"

#include <algorithm>

namespace aumbry::views {
namespace {

bool starts_character(char c) {
    return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
}

/// The bytes of the first `count` characters.
std::string_view first_characters(std::string_view text, std::size_t count) {
    std::size_t seen = 0;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (starts_character(text[i]) && seen++ == count) return text.substr(0, i);
    }
    return text;
}

} // namespace

std::size_t width_of(std::string_view text) {
    return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), starts_character));
}

std::string left(std::string_view text, std::size_t width) {
    const std::size_t own = width_of(text);
    if (own <= width) return std::string(text) + std::string(width - own, ' ');
    if (width <= 3) return std::string(first_characters(text, width));
    return std::string(first_characters(text, width - 3)) + "...";
}

std::string right(std::string_view text, std::size_t width) {
    const std::size_t own = width_of(text);
    return own >= width ? std::string(text) : std::string(width - own, ' ') + std::string(text);
}

std::string Page::strong(std::string_view text) const {
    return colour_ ? "\033[1m" + std::string(text) + "\033[0m" : std::string(text);
}

std::string signed_amount(const Money& amount) {
    return (amount.is_negative() || amount.is_zero() ? "" : "+") + amount.grouped();
}

void Page::heading(std::string_view text) {
    if (!text_.empty()) text_ += '\n';
    text_ += strong(text) + '\n';
}

void Page::line(std::string_view text) {
    text_ += text;
    text_ += '\n';
}

void Page::wrapped(std::string_view lead, std::string_view text) {
    const std::size_t indent = width_of(lead);
    std::string current(lead);
    std::size_t column = indent;
    bool fresh = true;
    for (std::size_t start = 0; start < text.size();) {
        std::size_t end = text.find(' ', start);
        if (end == std::string_view::npos) end = text.size();
        const std::string_view word = text.substr(start, end - start);
        start = end + 1;
        if (word.empty()) continue;
        const std::size_t length = width_of(word);
        if (!fresh && column + 1 + length > width_) {
            text_ += current + '\n';
            current = std::string(indent, ' ');
            column = indent;
            fresh = true;
        }
        if (!fresh) {
            current += ' ';
            ++column;
        }
        current += word;
        column += length;
        fresh = false;
    }
    text_ += current + '\n';
}

void Page::pair(std::string_view left_text, std::string_view right_text) {
    const std::size_t room = width_ - std::min(width_, width_of(right_text) + 1);
    text_ += left(left_text, room) + ' ' + std::string(right_text) + '\n';
}

void Page::rule(char character) {
    text_ += std::string(width_, character) + '\n';
}

void Table::print(Page& page) const {
    const std::size_t columns = rows_.front().size();
    std::vector<std::size_t> widths(columns, 0);
    std::vector<bool> used(columns, false);
    used[0] = true;
    for (std::size_t row = 0; row < rows_.size(); ++row) {
        for (std::size_t column = 0; column < columns; ++column) {
            widths[column] = std::max(widths[column], width_of(rows_[row][column]));
            if (row > 0 && !rows_[row][column].empty()) used[column] = true;
        }
    }
    // Two spaces between columns, one where the page is too narrow for the first column otherwise.
    std::size_t gap = 2;
    std::size_t taken = 0;
    for (; gap > 0; --gap) {
        taken = 0;
        for (std::size_t column = 1; column < columns; ++column) {
            if (used[column]) taken += widths[column] + gap;
        }
        if (gap == 1 || taken + widths[0] <= page.width()) break;
    }
    const std::size_t room = page.width() - std::min(page.width(), taken);
    // Where there is no room for a title beside its figures, it stands above them.
    const bool above = room < std::min<std::size_t>(widths[0], 16);
    for (std::size_t row = 0; row < rows_.size(); ++row) {
        if (std::find(rules_.begin(), rules_.end(), row) != rules_.end()) page.rule();
        if (above && !rows_[row][0].empty()) {
            const std::string& title = rows_[row][0];
            page.line(width_of(title) > page.width() ? left(title, page.width()) : title);
        }
        std::string line =
            above ? std::string(room, ' ') : left(rows_[row][0], std::max<std::size_t>(room, 8));
        for (std::size_t column = 1; column < columns; ++column) {
            if (used[column])
                line += std::string(gap, ' ') + right(rows_[row][column], widths[column]);
        }
        line.erase(line.find_last_not_of(' ') + 1);
        page.line(line);
    }
}

} // namespace aumbry::views
