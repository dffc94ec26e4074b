// Sheets of labels as they are sold, and what is printed one label a page.
#pragma once

#include "print/drawing.hpp"

#include <span>
#include <string>
#include <string_view>

namespace aumbry::print {

/// Labels in rows and columns, mm.
struct LabelSheet {
    std::string name;
    Paper paper;
    int across = 1;
    int down = 1;
    double width = 0; ///< of one label
    double height = 0;
    double left = 0; ///< from the edge of the paper to the first label
    double top = 0;
    double gap_x = 0; ///< between labels
    double gap_y = 0;
    double unprintable = 5; ///< at the edges of the paper; common practice

    /// Where a label lies, row by row.
    [[nodiscard]] Box place(int index) const;
    [[nodiscard]] int count() const { return across * down; }
    /// No label reaches over the paper's edge or onto the next one.
    /// @throws FaultError "bad-label-sheet" that says what is too large.
    void check() const;
};

/// Common sizes of sold sheets, by name: paper, columns, rows ("a4-2x7"); and "single", one label a
/// page. From memory: hold a print against the sheet before a run.
[[nodiscard]] std::span<const LabelSheet> label_sheets();

/// The sheet of a name. @throws FaultError "unknown-label-sheet" with the names.
[[nodiscard]] LabelSheet label_sheet(std::string_view name);

/// What labels are printed on when nothing is said: Letter where lengths are in inches, else A4.
[[nodiscard]] LabelSheet usual_label_sheet(std::string_view length_unit);

} // namespace aumbry::print
