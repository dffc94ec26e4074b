// The bill of materials as a table of texts: lines by piece, what was written and what it comes to.
// It draws nothing.
#pragma once

#include "app/state.hpp"

#include <optional>
#include <string>
#include <vector>

namespace aumbry::gui {

enum class ColumnType { finding, title, kind, count, material, size, cost, mass };

struct BillColumn {
    ColumnType type = ColumnType::title;
    std::string name; ///< of the field that its cells edit; empty: nothing to edit
    std::string title;
};

/// A line, or the heading of a piece when there is no line.
struct BillRow {
    std::string piece;
    std::string id;
    const Json* line = nullptr; ///< as written, in State::document
    const contract::LineKind* kind = nullptr;
    const EstimateLine* now = nullptr; ///< as estimated
    std::optional<contract::Severity> worst;
    std::string finding; ///< the sentence of the worst finding
};

struct BillTable {
    std::vector<BillColumn> columns;
    std::vector<BillRow> rows;
};

/// How rows are put in order within their piece.
struct BillOrder {
    int column = -1; ///< as the document has them when negative
    bool down = false;
};

/// Columns for the kinds in use: besides what all lines have, the lengths that most lines share.
[[nodiscard]] std::vector<BillColumn> bill_columns(const State& state);
/// All rows that the filter leaves. Points into the state.
[[nodiscard]] BillTable bill_table(const State& state, const BillOrder& order);

/// The field that a cell edits, or null: the kind has none of that name, or is not known.
[[nodiscard]] const contract::Field* field_of(const BillRow& row, const BillColumn& column);
/// What was written in a cell.
[[nodiscard]] const Json* written_in(const BillRow& row, const BillColumn& column);

struct CellText {
    std::string main;  ///< what counts: the value
    std::string below; ///< what it comes from: the formula, the id, a word of warning
};
[[nodiscard]] CellText cell_text(const State& state, const BillRow& row, const BillColumn& column);

/// The title of a piece; "The whole job" for none.
[[nodiscard]] std::string piece_title(const State& state, const std::string& piece);

} // namespace aumbry::gui
