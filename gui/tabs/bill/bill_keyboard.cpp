// The cursor of the bill of materials, and the keys that move it and edit.
#include "session/bill_edits.hpp"
#include "session/rows.hpp"
#include "tabs/bill/bill_frame.hpp"
#include "widgets/keys.hpp"

#include <algorithm>
#include <imgui_internal.h>

namespace aumbry::gui {

namespace {

void choose(BillFrame& frame, const std::string& line) {
    frame.bill().piece.clear();
    frame.intents.push_back(SelectLine{line, false});
}

/// The next line up or down from a row; the row itself when there is none.
int line_from(const BillFrame& frame, int row, int by) {
    int found = row;
    const int rows = static_cast<int>(frame.table.rows.size());
    const int direction = by < 0 ? -1 : 1;
    int left = std::abs(by);
    for (int i = row + direction; i >= 0 && i < rows && left > 0; i += direction) {
        if (frame.table.rows[static_cast<std::size_t>(i)].line == nullptr) continue;
        found = i;
        --left;
    }
    return found;
}

void begin_edit(BillFrame& frame, const std::string& text) {
    BillState& bill = frame.bill();
    bill.editing = true;
    bill.begin_edit = true;
    bill.typed = false;
    bill.text = text;
}

} // namespace

int row_of(const BillFrame& frame, const std::string& line) {
    for (std::size_t i = 0; i < frame.table.rows.size(); ++i) {
        if (frame.table.rows[i].line != nullptr && frame.table.rows[i].id == line)
            return static_cast<int>(i);
    }
    return -1;
}

std::vector<std::string> chosen_lines(const BillFrame& frame) {
    std::vector<std::string> ids;
    for (const BillRow& row : frame.table.rows) {
        if (row.line != nullptr && frame.bill().chosen.contains(row.id)) ids.push_back(row.id);
    }
    if (ids.empty() && row_of(frame, frame.bill().cursor.line) >= 0)
        ids.push_back(frame.bill().cursor.line);
    return ids;
}

void set_cursor(BillFrame& frame, const std::string& line, int column) {
    frame.bill().cursor = {line, column};
    frame.bill().chosen = {line};
    frame.bill().anchor = line;
    frame.bill().follow_cursor = true;
    choose(frame, line);
}

void choose_through(BillFrame& frame, const std::string& line) {
    const int from = row_of(frame, frame.bill().anchor);
    const int to = row_of(frame, line);
    if (from < 0 || to < 0) return;
    frame.bill().chosen.clear();
    for (int i = std::min(from, to); i <= std::max(from, to); ++i) {
        const BillRow& row = frame.table.rows[static_cast<std::size_t>(i)];
        if (row.line != nullptr) frame.bill().chosen.insert(row.id);
    }
    frame.bill().cursor.line = line;
    frame.bill().follow_cursor = true;
    choose(frame, line);
}

void toggle(BillFrame& frame, const Cell& cell) {
    BillState& bill = frame.bill();
    if (!bill.chosen.erase(cell.line)) bill.chosen.insert(cell.line);
    bill.cursor = cell;
    bill.anchor = cell.line;
    choose(frame, cell.line);
}

void copy_lines(BillFrame& frame) {
    const std::vector<std::string> ids = chosen_lines(frame);
    if (ids.empty() || frame.state.knowledge == nullptr) return;
    ImGui::SetClipboardText(
        rows_of_lines(frame.state.document, *frame.state.knowledge, frame.state.estimate(), ids)
            .c_str());
}

void paste_lines(BillFrame& frame) {
    State& state = frame.state;
    const char* text = ImGui::GetClipboardText();
    if (text == nullptr || *text == '\0' || state.knowledge == nullptr) return;
    RowsPlace place;
    if (const int row = row_of(frame, frame.bill().cursor.line); row >= 0) {
        const BillRow& at = frame.table.rows[static_cast<std::size_t>(row)];
        place = {at.piece, at.id, ""};
        if (at.kind != nullptr && !at.kind->material_class.empty()) place.kind = at.kind->kind;
    } else {
        place.piece = frame.bill().piece;
    }
    try {
        LineEdit pasted = lines_of_rows(state.document, *state.knowledge, text, place);
        if (pasted.lines.empty()) return;
        frame.intents.push_back(ApplyEdit{std::move(pasted.edit)});
        set_cursor(frame, pasted.lines.front(), 0);
        frame.bill().chosen = {pasted.lines.begin(), pasted.lines.end()};
    } catch (const FaultError& error) {
        frame.intents.push_back(Tell{error.what()});
    }
}

void edit_next(BillFrame& frame, int row, int column) {
    const int columns = static_cast<int>(frame.table.columns.size());
    for (int each = row, last = -1; each != last; last = each, each = line_from(frame, each, 1)) {
        for (int i = each == row ? column + 1 : 0; i < columns; ++i) {
            const BillRow& there = frame.table.rows[static_cast<std::size_t>(each)];
            const BillColumn& at = frame.table.columns[static_cast<std::size_t>(i)];
            if (field_of(there, at) == nullptr) continue;
            set_cursor(frame, there.id, i);
            begin_edit(frame, written(written_in(there, at)));
            return;
        }
    }
}

namespace {

void act_on_lines(BillFrame& frame) {
    BillState& bill = frame.bill();
    const std::vector<std::string> ids = chosen_lines(frame);
    if (ids.empty() || !frame.editable()) return;
    if (pressed_with_control('D')) {
        LineEdit copies = duplicate_lines(frame.state.document, ids);
        frame.intents.push_back(ApplyEdit{copies.edit});
        if (!copies.lines.empty()) {
            set_cursor(frame, copies.lines.front(), bill.cursor.column);
            bill.chosen = {copies.lines.begin(), copies.lines.end()};
        }
    } else if (pressed(ImGuiKey_Delete)) {
        const int first = row_of(frame, ids.front());
        const int last = row_of(frame, ids.back());
        const int next = line_from(frame, last, 1) != last ? line_from(frame, last, 1)
                                                           : line_from(frame, first, -1);
        frame.intents.push_back(ApplyEdit{delete_lines(frame.state.document, ids)});
        if (next != first)
            set_cursor(frame, frame.table.rows[static_cast<std::size_t>(next)].id,
                       bill.cursor.column);
    }
}

/// Lines as rows of a spreadsheet, into the clipboard and out of it.
void copy_and_paste(BillFrame& frame) {
    State& state = frame.state;
    if (state.knowledge == nullptr) return;
    if (pressed_with_control('C')) copy_lines(frame);
    if (pressed_with_control('V') && frame.editable()) paste_lines(frame);
}

void move_cursor(BillFrame& frame, int row, int page) {
    BillState& bill = frame.bill();
    const bool shift = ImGui::GetIO().KeyShift;
    const int last_column = static_cast<int>(frame.table.columns.size()) - 1;
    int to = row;
    if (pressed(ImGuiKey_UpArrow)) to = line_from(frame, row, -1);
    if (pressed(ImGuiKey_DownArrow)) to = line_from(frame, row, 1);
    if (pressed(ImGuiKey_PageUp)) to = line_from(frame, row, -page);
    if (pressed(ImGuiKey_PageDown)) to = line_from(frame, row, page);
    const int rows = static_cast<int>(frame.table.rows.size());
    if (ImGui::GetIO().KeyCtrl && pressed(ImGuiKey_Home)) to = line_from(frame, row, -rows);
    if (ImGui::GetIO().KeyCtrl && pressed(ImGuiKey_End)) to = line_from(frame, row, rows);
    const std::string& line = frame.table.rows[static_cast<std::size_t>(to)].id;
    if (to != row) {
        if (shift) {
            choose_through(frame, line);
        } else {
            set_cursor(frame, line, bill.cursor.column);
        }
    }
    if (ImGui::GetIO().KeyCtrl) return;
    int column = bill.cursor.column;
    if (pressed(ImGuiKey_LeftArrow) || (shift && pressed(ImGuiKey_Tab))) --column;
    if (pressed(ImGuiKey_RightArrow) || (!shift && pressed(ImGuiKey_Tab))) ++column;
    if (pressed(ImGuiKey_Home)) column = 0;
    if (pressed(ImGuiKey_End)) column = last_column;
    column = std::clamp(column, 0, last_column);
    if (column != bill.cursor.column) set_cursor(frame, line, column);
}

} // namespace

void keyboard(BillFrame& frame, int page) {
    BillState& bill = frame.bill();
    ImGuiIO& io = ImGui::GetIO();
    if (!frame.focused || bill.editing || ImGui::IsAnyItemActive()) return;
    copy_and_paste(frame);
    const int row = row_of(frame, bill.cursor.line);
    if (row < 0) {
        const int first = line_from(frame, -1, 1);
        const bool wanted = pressed(ImGuiKey_DownArrow) || pressed(ImGuiKey_UpArrow);
        if (wanted && first >= 0)
            set_cursor(frame, frame.table.rows[static_cast<std::size_t>(first)].id, 0);
        return;
    }
    act_on_lines(frame);
    if (pressed_with_control('E')) bill.to_form = true;
    if (pressed_with_control('A')) {
        for (const BillRow& each : frame.table.rows) {
            if (each.line != nullptr) bill.chosen.insert(each.id);
        }
    }
    if (pressed(ImGuiKey_Escape)) bill.chosen = {bill.cursor.line};
    move_cursor(frame, row, page);
    std::string typed;
    if (!io.KeyCtrl && !io.KeyAlt) {
        for (const ImWchar sign : io.InputQueueCharacters) {
            char bytes[5] = {};
            if (sign >= 32) ImTextCharToUtf8(bytes, sign);
            typed += bytes;
        }
    }
    const bool enter = pressed(ImGuiKey_Enter) || pressed(ImGuiKey_KeyPadEnter);
    if (typed.empty() && !enter) return;
    if (!typed.empty()) io.ClearInputCharacters();
    frame.begin_typing = true;
    bill.text = enter ? "" : typed;
}

void begin_at_cursor(BillFrame& frame) {
    BillState& bill = frame.bill();
    const int row_number = row_of(frame, bill.cursor.line);
    if (row_number < 0 || !frame.editable()) return;
    const BillRow& row = frame.table.rows[static_cast<std::size_t>(row_number)];
    const BillColumn& column = frame.table.columns[static_cast<std::size_t>(bill.cursor.column)];
    if (field_of(row, column) == nullptr) return;
    if (column.type == ColumnType::material) {
        bill.open_materials = true;
    } else {
        begin_edit(frame, bill.text.empty() ? written(written_in(row, column)) : bill.text);
    }
}

} // namespace aumbry::gui
