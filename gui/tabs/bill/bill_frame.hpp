// One frame of the bill of materials: what its table, cells, keys and buttons share.
#pragma once

#include "tabs/bill/bill_rows.hpp"

#include <optional>
#include <string>
#include <vector>

namespace aumbry::gui {

/// One frame of the table.
struct BillFrame {
    State& state;
    Intents& intents;
    BillTable table;
    std::optional<Cell> clicked; ///< taken at the end, so that what is being typed is not lost
    std::optional<std::string> clicked_piece;
    bool begin_typing = false;
    bool focused = false;

    [[nodiscard]] BillState& bill() const { return state.bill; }
    [[nodiscard]] bool editable() const { return state.read_only.empty(); }
};

// The cursor (bill_keyboard.cpp).

/// The row of a line; -1 when it is not among the rows.
[[nodiscard]] int row_of(const BillFrame& frame, const std::string& line);
/// Lines chosen, in the order of the table; else the one with the cursor.
[[nodiscard]] std::vector<std::string> chosen_lines(const BillFrame& frame);
/// Chooses one line alone and puts the cursor into a cell of it.
void set_cursor(BillFrame& frame, const std::string& line, int column);
/// Chooses every line from the anchor to this one.
void choose_through(BillFrame& frame, const std::string& line);
/// Chooses a line, or takes it out of the choice, and puts the cursor there.
void toggle(BillFrame& frame, const Cell& cell);
/// What the keys ask for while no cell is edited; `page`: rows that are in sight.
void keyboard(BillFrame& frame, int page);
/// Begins to edit the cell with the cursor, if it can be edited.
void begin_at_cursor(BillFrame& frame);
/// The chosen lines as rows of a spreadsheet, into the clipboard; and what is there, as lines.
void copy_lines(BillFrame& frame);
void paste_lines(BillFrame& frame);
/// Begins to edit the first cell to the right that can be, then of the line below.
void edit_next(BillFrame& frame, int row, int column);

// The cells (bill_cell.cpp).

/// Draws a cell, or its field while it is edited.
void draw_cell(BillFrame& frame, int row_number, int column_number, float height);
/// Draws the heading of a piece.
void draw_heading(BillFrame& frame, const BillRow& row, float height);

// Above the table (bill_toolbar.cpp).
void draw_toolbar(BillFrame& frame);

} // namespace aumbry::gui
