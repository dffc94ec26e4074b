// Plain text for people: headings, aligned columns, wrapped paragraphs, 80 columns.
#pragma once

#include "aumbry/money.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace aumbry::views {

/// Columns that a text takes on a terminal: one for each character, none for combining marks.
[[nodiscard]] std::size_t width_of(std::string_view text);
/// Cut or filled with spaces to a width; a cut text ends with "...".
[[nodiscard]] std::string left(std::string_view text, std::size_t width);
[[nodiscard]] std::string right(std::string_view text, std::size_t width);

/// An amount as a difference: "+12.00", "-3.50", "0.00".
[[nodiscard]] std::string signed_amount(const Money& amount);

/// Builds a page. Emphasis is by escape sequences and only when asked for: it never carries meaning
/// alone.
class Page {
  public:
    explicit Page(bool colour = false, std::size_t width = 80) : colour_(colour), width_(width) {}

    void heading(std::string_view text);
    void line(std::string_view text = {});
    /// A paragraph whose first line begins with `lead` and whose further lines are indented by its
    /// width.
    void wrapped(std::string_view lead, std::string_view text);
    /// A text on the left and one at the right margin.
    void pair(std::string_view left_text, std::string_view right_text);
    /// A rule of one character across the page.
    void rule(char character = '-');

    [[nodiscard]] std::string strong(std::string_view text) const;
    [[nodiscard]] std::size_t width() const { return width_; }
    [[nodiscard]] const std::string& str() const { return text_; }

  private:
    bool colour_;
    std::size_t width_;
    std::string text_;
};

/// A table: columns as wide as their contents, the first taking what is left of the page. Texts on
/// the left, all other columns on the right.
class Table {
  public:
    explicit Table(std::vector<std::string> headings) : rows_{std::move(headings)} {}
    void row(std::vector<std::string> cells) { rows_.push_back(std::move(cells)); }
    /// A rule before the next row.
    void rule() { rules_.push_back(rows_.size()); }
    /// Rows that never have anything but an empty cell in a column drop that column.
    void print(Page& page) const;

  private:
    std::vector<std::vector<std::string>> rows_;
    std::vector<std::size_t> rules_;
};

} // namespace aumbry::views
