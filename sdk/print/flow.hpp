// The flow of a document: headings, paragraphs and tables down pages, or one endless page.
#pragma once

#include "print/drawing.hpp"

#include <string>
#include <vector>

namespace aumbry::print {

struct Column {
    std::string title;
    double width = 20; ///< mm
    bool right = false;
};

struct Cell {
    Cell(std::string text, bool heavy = false) : words(std::move(text)), bold(heavy) {}
    Cell(const char* text) : words(text) {}
    std::string words;
    bool bold = false;
};

class Flow {
  public:
    static constexpr double margin = 12;
    static constexpr double top = 12;

    /// The title is repeated on pages that go on.
    Flow(std::string title, Paper paper, bool endless = false);

    [[nodiscard]] double width() const { return paper_.width - 2 * margin; }
    /// Where contents end; the foot stands below.
    [[nodiscard]] double lowest() const { return paper_.height - 18; }
    [[nodiscard]] double y() const { return y_; }
    [[nodiscard]] Page& page() { return pages_.back(); }
    void skip(double height) { y_ += height; }
    /// Begins a new page unless so much height is left.
    void need(double height);
    /// What begins a document or a part of it.
    void title(const std::string& text);
    void heading(const std::string& text);
    void paragraph(const std::string& text, double size = 2.8, bool bold = false);
    /// A text on the left and one at the right margin.
    void pair(const std::string& left, const std::string& right, bool bold = false);
    /// A thin line across.
    void rule();
    /// A page of its own for what follows, unless this one is empty still.
    void new_page();
    /// Rows are wrapped inside their columns, never clipped; the head is repeated on further pages.
    /// `bands` tables stand side by side and are filled one after the other.
    void table(const std::vector<Column>& columns, const std::vector<std::vector<Cell>>& rows,
               double size = 2.6, int bands = 1);
    /// The pages, an endless one cut off below its contents.
    [[nodiscard]] std::vector<Page> finish();

  private:
    void next_page();

    std::string title_;
    Paper paper_;
    bool endless_;
    double y_ = top;
    std::vector<Page> pages_;
};

/// Writes "left text ... page 2 of 5" at the foot of every page.
void number_pages(std::vector<Page>& pages, const std::string& left);

} // namespace aumbry::print
