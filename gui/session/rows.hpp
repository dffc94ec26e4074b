// Lines of the bill as rows of a spreadsheet: tab-separated text, one line a row, headings first.
#pragma once

#include "session/bill_edits.hpp"
#include "session/worker.hpp"

#include <string>
#include <vector>

namespace aumbry::gui {

/// Title, kind, count, material and lengths of some lines. Lengths are what they come to, as bare
/// numbers in the job's unit, which stands in the heading: "Length mm".
[[nodiscard]] std::string rows_of_lines(const Json& document, const Knowledge& knowledge,
                                        const Estimate* estimate,
                                        const std::vector<std::string>& ids);

/// Where rows are put in.
struct RowsPlace {
    std::string piece; ///< empty: the whole job
    std::string after; ///< a line; empty: at the end
    std::string kind;  ///< of rows that do not say theirs; empty: the first that takes a material
};

/// Lines of rows whose first row names the columns, in any order: Title, Kind, Count, Material, and
/// the title of any field of the kind; what stands behind a title ("Length mm") is the unit of bare
/// numbers, else it is the job's. Rows without anything are passed over.
/// @throws FaultError with every fault, by row and column: "missing-column", "unknown-column",
/// "unknown-kind", "unknown-material", "wrong-type".
[[nodiscard]] LineEdit lines_of_rows(const Json& document, const Knowledge& knowledge,
                                     const std::string& text, const RowsPlace& place);

} // namespace aumbry::gui
