// The bill of materials: lines by piece in a table for the keyboard, and the form of the chosen
// line beside it.
#include "session/bill_edits.hpp"
#include "tabs/bill/bill_form.hpp"
#include "tabs/bill/bill_rows.hpp"
#include "tabs/tabs.hpp"
#include "widgets/keys.hpp"
#include "widgets/line_form.hpp"
#include "widgets/widgets.hpp"

#include <algorithm>
#include <imgui_internal.h>
#include <imgui_stdlib.h>

namespace aumbry::gui {

namespace {

/// One frame of the table.
struct Frame {
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

int row_of(const Frame& frame, const std::string& line) {
    for (std::size_t i = 0; i < frame.table.rows.size(); ++i) {
        if (frame.table.rows[i].line != nullptr && frame.table.rows[i].id == line)
            return static_cast<int>(i);
    }
    return -1;
}

void choose(Frame& frame, const std::string& line) {
    frame.bill().piece.clear();
    frame.intents.push_back(SelectLine{line, false});
}

/// Lines chosen, in the order of the table.
std::vector<std::string> chosen_lines(const Frame& frame) {
    std::vector<std::string> ids;
    for (const BillRow& row : frame.table.rows) {
        if (row.line != nullptr && frame.bill().chosen.contains(row.id)) ids.push_back(row.id);
    }
    if (ids.empty() && row_of(frame, frame.bill().cursor.line) >= 0)
        ids.push_back(frame.bill().cursor.line);
    return ids;
}

void set_cursor(Frame& frame, const std::string& line, int column) {
    frame.bill().cursor = {line, column};
    frame.bill().chosen = {line};
    frame.bill().anchor = line;
    frame.bill().follow_cursor = true;
    choose(frame, line);
}

/// Chooses every line from the anchor to this one.
void choose_through(Frame& frame, const std::string& line) {
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

/// The next line up or down from a row; the row itself when there is none.
int step(const Frame& frame, int row, int by) {
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

void begin_edit(Frame& frame, const std::string& text) {
    BillState& bill = frame.bill();
    bill.editing = true;
    bill.begin_edit = true;
    bill.typed = false;
    bill.text = text;
}

/// Puts what was typed into the cell.
void take_entry(Frame& frame, const BillRow& row, const BillColumn& column) {
    frame.bill().editing = false;
    const contract::Field* field = field_of(row, column);
    const std::string before = written(written_in(row, column));
    if (field == nullptr || frame.bill().text == before) return;
    const std::string name = cell_text(frame.state, row, {ColumnType::title, "title", ""}).main;
    std::vector<contract::Field> order(common_line_fields().begin(), common_line_fields().end());
    if (row.kind != nullptr)
        order.insert(order.end(), row.kind->fields.begin(), row.kind->fields.end());
    frame.intents.push_back(
        ApplyEdit{{step_name(*field, name),
                   {member_change(pointer_to("/lines", row.id), row.line, order, field->name,
                                  read_written(*field, frame.bill().text))}}});
}

/// The first cell to the right that can be edited, then of the line below.
void edit_next(Frame& frame, int row, int column) {
    const int columns = static_cast<int>(frame.table.columns.size());
    for (int each = row, last = -1; each != last; last = each, each = step(frame, each, 1)) {
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

// ---------------------------------------------------------------- cells

int place_cursor_at_end(ImGuiInputTextCallbackData* data) {
    if (*static_cast<bool*>(data->UserData)) return 0;
    data->ClearSelection();
    data->CursorPos = data->BufTextLen;
    return 0;
}

/// The cell that is being edited.
void edit_cell(Frame& frame, int row_number, int column_number, float width) {
    BillState& bill = frame.bill();
    const BillRow& row = frame.table.rows[static_cast<std::size_t>(row_number)];
    const BillColumn& column = frame.table.columns[static_cast<std::size_t>(column_number)];
    ImGuiIO& io = ImGui::GetIO();
    if (!bill.typed) {
        // Until the field has the keyboard, what is typed is kept for it.
        for (const ImWchar sign : io.InputQueueCharacters) {
            if (sign >= 32) {
                char bytes[5] = {};
                ImTextCharToUtf8(bytes, sign);
                bill.text += bytes;
            }
        }
        io.ClearInputCharacters();
    }
    if (bill.begin_edit) ImGui::SetKeyboardFocusHere();
    bill.begin_edit = false;
    ImGui::SetNextItemWidth(width);
    ImGui::PushID(row.id.c_str());
    const bool entered =
        ImGui::InputText("##cell", &bill.text,
                         ImGuiInputTextFlags_EnterReturnsTrue | ImGuiInputTextFlags_CallbackAlways,
                         place_cursor_at_end, &bill.typed);
    ImGui::PopID();
    frame.state.mark("editing");
    const bool active = ImGui::IsItemActive();
    if (active && pressed(ImGuiKey_Tab)) {
        ImGui::ClearActiveID();
        take_entry(frame, row, column);
        edit_next(frame, row_number, column_number);
        return;
    }
    if (bill.typed && !active && pressed(ImGuiKey_Escape)) {
        bill.editing = false;
    } else if (entered || (bill.typed && !active)) {
        take_entry(frame, row, column);
    }
    if (!bill.editing) ImGui::SetWindowFocus();
    bill.typed = bill.typed || active;
}

/// A list of what a material cell may name.
void material_list(Frame& frame, const BillRow& row, const BillColumn& column) {
    if (frame.bill().open_materials) {
        ImGui::OpenPopup("materials");
        ImGui::SetNextWindowPos({ImGui::GetItemRectMin().x, ImGui::GetItemRectMax().y});
    }
    frame.bill().open_materials = false;
    if (!ImGui::BeginPopup("materials")) return;
    const Json* materials = find_at(frame.state.document, "/materials");
    if (materials != nullptr && materials->is_object() && row.kind != nullptr) {
        for (const auto& [id, material] : materials->items()) {
            if (written(member_of(&material, "class")) != row.kind->material_class) continue;
            const bool now = written(written_in(row, column)) == id;
            std::string label = id;
            if (const std::string title = written(member_of(&material, "title")); !title.empty())
                label += "  -  " + title;
            if (now && ImGui::IsWindowAppearing()) ImGui::SetKeyboardFocusHere();
            if (ImGui::Selectable(label.c_str(), now)) {
                frame.bill().text = id;
                take_entry(frame, row, column);
            }
            frame.state.mark("material " + id);
        }
    }
    ImGui::EndPopup();
}

void draw_cell(Frame& frame, int row_number, int column_number, float height) {
    State& state = frame.state;
    const Theme& theme = state.theme;
    BillState& bill = frame.bill();
    const BillRow& row = frame.table.rows[static_cast<std::size_t>(row_number)];
    const BillColumn& column = frame.table.columns[static_cast<std::size_t>(column_number)];
    const contract::Field* field = field_of(row, column);
    const Cell cell{row.id, column_number};
    const bool here = bill.cursor == cell;
    const ImVec2 corner = ImGui::GetCursorScreenPos();
    const float width = std::max(ImGui::GetContentRegionAvail().x, 1.0F);

    ImGui::PushID(column_number);
    if (here && bill.editing) {
        edit_cell(frame, row_number, column_number, width);
        ImGui::PopID();
        return;
    }
    ImGui::InvisibleButton("cell", {width, height});
    if (ImGui::IsItemClicked()) frame.clicked = cell;
    if (ImGui::IsItemHovered() && ImGui::IsMouseDoubleClicked(ImGuiMouseButton_Left))
        frame.begin_typing = true;
    const bool hovered = ImGui::IsItemHovered();
    state.mark("cell " + row.id + " " + (column.name.empty() ? column.title : column.name));
    if (here && column.type == ColumnType::material) material_list(frame, row, column);

    CellText text = cell_text(state, row, column);
    const Fault* fault =
        field == nullptr
            ? (column.type == ColumnType::mind
                   ? fault_at(state.answer, pointer_to("/lines", row.id))
                   : nullptr)
            : fault_at(state.answer, pointer_to(pointer_to("/lines", row.id), column.name));
    Colour Palette::*colour = &Palette::text;
    Colour Palette::*below = &Palette::quiet;
    if (fault != nullptr) {
        text.main = column.type == ColumnType::mind ? "! Wrong" : written(written_in(row, column));
        text.below = column.type == ColumnType::mind ? plain(*fault) : "! " + plain(*fault);
        colour = below = &Palette::problem;
    } else if (column.type == ColumnType::mind && row.worst) {
        colour = colour_of(*row.worst);
    } else if (column.type == ColumnType::kind || (column.type == ColumnType::size && !field)) {
        colour = &Palette::quiet; // not for editing here
    }
    const bool right = column.type == ColumnType::count || column.type == ColumnType::size ||
                       column.type == ColumnType::cost || column.type == ColumnType::mass;
    const auto line = [&](std::string what, Colour Palette::*ink_of, float y) {
        if (what.empty()) return;
        if (fault == nullptr) what = shortened(what, width);
        const float room = width - ImGui::CalcTextSize(what.c_str()).x;
        ImGui::SetCursorScreenPos({corner.x + (right ? std::max(0.0F, room) : 0), corner.y + y});
        ink(theme, ink_of, what);
    };
    line(text.main, colour, 0);
    ImGui::PushFont(theme.small);
    line(text.below, below, theme.text->FontSize + theme.px(1));
    ImGui::PopFont();
    if (here) {
        ImDrawList& list = *ImGui::GetWindowDrawList();
        list.AddRect({corner.x - theme.px(4), corner.y - theme.px(2)},
                     {corner.x + width + theme.px(4), corner.y + height + theme.px(2)},
                     packed(fault != nullptr ? theme.palette.problem : theme.palette.link),
                     theme.px(3), 0, frame.focused ? theme.px(2) : theme.px(1));
    }
    const bool cut_off = ImGui::CalcTextSize(text.main.c_str()).x > width ||
                         ImGui::CalcTextSize(text.below.c_str()).x > width * 1.1F;
    if (hovered && (fault != nullptr || cut_off)) {
        ImGui::BeginTooltip();
        ImGui::PushTextWrapPos(theme.px(420));
        ImGui::TextUnformatted(text.main.c_str());
        if (!text.below.empty()) ink(theme, below, text.below);
        ImGui::PopTextWrapPos();
        ImGui::EndTooltip();
    }
    ImGui::PopID();
}

void draw_heading(Frame& frame, const BillRow& row, float height) {
    State& state = frame.state;
    const Theme& theme = state.theme;
    ImGui::TableSetBgColor(ImGuiTableBgTarget_RowBg0, packed(theme.palette.ground));
    for (std::size_t i = 0; i < frame.table.columns.size(); ++i) {
        ImGui::TableSetColumnIndex(static_cast<int>(i));
        const ColumnType type = frame.table.columns[i].type;
        if (type == ColumnType::title) {
            const ImVec2 corner = ImGui::GetCursorScreenPos();
            ImGui::PushID(row.piece.c_str());
            ImGui::InvisibleButton("piece", {ImGui::GetContentRegionAvail().x, height});
            ImGui::PopID();
            if (ImGui::IsItemClicked() && !row.piece.empty()) frame.clicked_piece = row.piece;
            state.mark("piece " + row.piece);
            ImGui::SetCursorScreenPos({corner.x, corner.y + (height - theme.text->FontSize) / 2});
            ImGui::TablePushBackgroundChannel(); // a title may be longer than its column
            ink(theme, &Palette::text, piece_title(state, row.piece));
            ImGui::TablePopBackgroundChannel();
        } else if (type == ColumnType::cost && state.estimate() != nullptr) {
            for (const Part& part : state.estimate()->by_piece) {
                if (part.id != row.piece) continue;
                ink_right(theme, &Palette::text, part.totals.total.grouped());
                ImGui::PushFont(theme.small);
                ImGui::SetCursorPosY(ImGui::GetCursorPosY() - ImGui::GetStyle().ItemSpacing.y +
                                     theme.px(1));
                ink_right(theme, &Palette::quiet, "all in");
                ImGui::PopFont();
            }
        }
    }
}

// ---------------------------------------------------------------- keyboard

void act_on_lines(Frame& frame) {
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
        const int next =
            step(frame, last, 1) != last ? step(frame, last, 1) : step(frame, first, -1);
        frame.intents.push_back(ApplyEdit{delete_lines(frame.state.document, ids)});
        if (next != first)
            set_cursor(frame, frame.table.rows[static_cast<std::size_t>(next)].id,
                       bill.cursor.column);
    }
}

void move_cursor(Frame& frame, int row, int page) {
    BillState& bill = frame.bill();
    const bool shift = ImGui::GetIO().KeyShift;
    const int last_column = static_cast<int>(frame.table.columns.size()) - 1;
    int to = row;
    if (pressed(ImGuiKey_UpArrow)) to = step(frame, row, -1);
    if (pressed(ImGuiKey_DownArrow)) to = step(frame, row, 1);
    if (pressed(ImGuiKey_PageUp)) to = step(frame, row, -page);
    if (pressed(ImGuiKey_PageDown)) to = step(frame, row, page);
    const int rows = static_cast<int>(frame.table.rows.size());
    if (ImGui::GetIO().KeyCtrl && pressed(ImGuiKey_Home)) to = step(frame, row, -rows);
    if (ImGui::GetIO().KeyCtrl && pressed(ImGuiKey_End)) to = step(frame, row, rows);
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

void keyboard(Frame& frame, int page) {
    BillState& bill = frame.bill();
    ImGuiIO& io = ImGui::GetIO();
    if (!frame.focused || bill.editing || ImGui::IsAnyItemActive()) return;
    const int row = row_of(frame, bill.cursor.line);
    if (row < 0) {
        const int first = step(frame, -1, 1);
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

/// Begins to edit the cell with the cursor, if it can be edited.
void begin_at_cursor(Frame& frame) {
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

// ---------------------------------------------------------------- around the table

void add_menu(Frame& frame) {
    if (!ImGui::BeginPopup("add")) return;
    for (const contract::Description& module : frame.state.knowledge->modules) {
        if (module.line_kinds.empty()) continue;
        ink(frame.state.theme, &Palette::quiet, module.title);
        for (const contract::LineKind& kind : module.line_kinds) {
            if (ImGui::MenuItem((kind.title + "##" + kind.kind).c_str())) {
                const BillRow* at = nullptr;
                if (const int row = row_of(frame, frame.bill().cursor.line); row >= 0)
                    at = &frame.table.rows[static_cast<std::size_t>(row)];
                const std::string piece = at != nullptr ? at->piece : frame.bill().piece;
                LineEdit added = add_line(frame.state.document, kind, piece,
                                          at == nullptr ? std::string() : at->id);
                frame.intents.push_back(ApplyEdit{added.edit});
                frame.bill().filter.clear();
                set_cursor(frame, added.lines.front(), 0);
                frame.bill().take_focus = true;
            }
            frame.state.mark("add " + kind.kind);
            if (ImGui::IsItemHovered() && !kind.help.empty()) {
                ImGui::BeginTooltip();
                ImGui::PushTextWrapPos(frame.state.theme.px(360));
                ImGui::TextUnformatted(kind.help.c_str());
                ImGui::PopTextWrapPos();
                ImGui::EndTooltip();
            }
        }
    }
    ImGui::EndPopup();
}

void move_menu(Frame& frame, const std::vector<std::string>& ids) {
    if (!ImGui::BeginPopup("move")) return;
    State& state = frame.state;
    if (const Json* pieces = find_at(state.document, "/pieces"); pieces && pieces->is_object()) {
        for (const auto& [id, piece] : pieces->items()) {
            if (ImGui::MenuItem((piece_title(state, id) + "##" + id).c_str()))
                frame.intents.push_back(ApplyEdit{move_lines(state.document, ids, id)});
            state.mark("move to " + id);
        }
    }
    if (ImGui::MenuItem("The whole job"))
        frame.intents.push_back(ApplyEdit{move_lines(state.document, ids, "")});
    ImGui::Separator();
    ImGui::SetNextItemWidth(state.theme.px(220));
    const bool made = ImGui::InputTextWithHint("##new", "A new piece", &frame.bill().new_piece,
                                               ImGuiInputTextFlags_EnterReturnsTrue);
    state.mark("new piece");
    if (made && !frame.bill().new_piece.empty()) {
        frame.intents.push_back(
            ApplyEdit{move_to_new_piece(state.document, ids, frame.bill().new_piece).edit});
        frame.bill().new_piece.clear();
        ImGui::CloseCurrentPopup();
    }
    ImGui::EndPopup();
}

void toolbar(Frame& frame) {
    State& state = frame.state;
    const std::vector<std::string> ids = chosen_lines(frame);
    ImGui::BeginDisabled(!frame.editable() || state.knowledge == nullptr);
    if (ImGui::Button("Add a line")) ImGui::OpenPopup("add");
    state.mark("button add");
    if (state.knowledge != nullptr) add_menu(frame);
    ImGui::EndDisabled();
    ImGui::SameLine();
    ImGui::BeginDisabled(!frame.editable() || ids.empty());
    const std::string number = ids.size() > 1 ? " " + std::to_string(ids.size()) : "";
    if (ImGui::Button(("Move" + number + " to...###move").c_str())) ImGui::OpenPopup("move");
    state.mark("button move");
    move_menu(frame, ids);
    ImGui::EndDisabled();
    ImGui::SameLine();
    const bool alone = frame.bill().form_alone;
    if (ImGui::GetContentRegionAvail().x < state.theme.px(700)) {
        if (ImGui::Button(alone ? "To the table" : "To the form")) {
            frame.bill().to_form = !alone;
            frame.bill().take_focus = alone;
        }
        state.mark("button form");
        ImGui::SameLine();
    }
    ImGui::AlignTextToFramePadding();
    ImGui::PushFont(state.theme.small);
    const float find = std::min(state.theme.px(220), ImGui::GetContentRegionAvail().x);
    const float room = ImGui::GetContentRegionAvail().x - find;
    const std::string sizes =
        state.estimate() == nullptr ? "" : "Sizes in " + state.estimate()->length_unit + ". ";
    const char* keys = "Enter edits, Ctrl+D duplicates, Del deletes, Ctrl+E goes to the form";
    const std::string keys_and_unit = sizes + keys;
    if (ImGui::CalcTextSize(keys_and_unit.c_str()).x < room)
        ink(state.theme, &Palette::quiet, keys_and_unit);
    ImGui::PopFont();
    ImGui::SameLine();
    ImGui::SetCursorPosX(ImGui::GetCursorPosX() + ImGui::GetContentRegionAvail().x - find);
    ImGui::SetNextItemWidth(-1);
    ImGui::InputTextWithHint("##find", "Find a line", &frame.bill().filter);
    state.mark("filter");
}

/// The title takes what is left, and no less than it has here.
float width_of(const Theme& theme, const BillColumn& column) {
    const auto least = [&]() -> float {
        switch (column.type) {
        case ColumnType::title:
            return 146;
        case ColumnType::kind:
            return 78;
        case ColumnType::material:
            return 72;
        case ColumnType::size:
            return 70;
        case ColumnType::cost:
            return 64;
        case ColumnType::mass:
            return 62;
        case ColumnType::count:
        case ColumnType::mind:
            break;
        }
        return 48;
    }();
    // The heading with the sign that tells the order.
    const float heading =
        theme.small->CalcTextSizeA(theme.small->FontSize, 1e9F, 0, column.title.c_str()).x +
        theme.small->FontSize * 0.65F + ImGui::GetStyle().FramePadding.x;
    return std::max(theme.px(least), heading);
}

void take_click(Frame& frame) {
    if (frame.clicked_piece) {
        frame.bill().piece = *frame.clicked_piece;
        frame.bill().cursor = {};
        frame.bill().chosen.clear();
        frame.intents.push_back(SelectLine{"", false});
    }
    if (!frame.clicked) return;
    const ImGuiIO& io = ImGui::GetIO();
    BillState& bill = frame.bill();
    const Cell cell = *frame.clicked;
    if (io.KeyShift && !bill.anchor.empty()) {
        choose_through(frame, cell.line);
    } else if (io.KeyCtrl) {
        if (!bill.chosen.erase(cell.line)) bill.chosen.insert(cell.line);
        bill.cursor = cell;
        bill.anchor = cell.line;
        choose(frame, cell.line);
    } else {
        set_cursor(frame, cell.line, cell.column);
    }
}

void keep_in_clipper(ImGuiListClipper& clipper, int row) {
#if IMGUI_VERSION_NUM < 18960
    clipper.ForceDisplayRangeByIndices(row, row + 1);
#else
    clipper.IncludeItemsByIndex(row, row + 1);
#endif
}

void draw_table(Frame& frame, ImVec2 size) {
    State& state = frame.state;
    const Theme& theme = state.theme;
    BillState& bill = frame.bill();
    constexpr ImGuiTableFlags flags = ImGuiTableFlags_ScrollY | ImGuiTableFlags_Resizable |
                                      ImGuiTableFlags_Sortable | ImGuiTableFlags_SortTristate |
                                      ImGuiTableFlags_BordersInnerH |
                                      ImGuiTableFlags_NoBordersInBodyUntilResize |
                                      ImGuiTableFlags_ScrollX | ImGuiTableFlags_SizingStretchProp;
    if (bill.take_focus) ImGui::SetNextWindowFocus();
    const int columns = static_cast<int>(frame.table.columns.size());
    const ImVec2 padding{theme.px(6), ImGui::GetStyle().CellPadding.y};
    float least = ImGui::GetStyle().ScrollbarSize;
    for (const BillColumn& column : frame.table.columns)
        least += width_of(theme, column) + 2 * padding.x;
    const float inside = std::max(least, size.x > 0 ? size.x : ImGui::GetContentRegionAvail().x) -
                         ImGui::GetStyle().ScrollbarSize;
    ImGui::PushStyleVar(ImGuiStyleVar_CellPadding, padding);
    const bool shown = ImGui::BeginTable("lines", columns, flags, size, inside);
    ImGui::PopStyleVar();
    if (!shown) return;
    // The cursor cell is ours: arrows and Tab move it, not the frame of the widgets.
    ImGui::GetCurrentWindow()->Flags |= ImGuiWindowFlags_NoNavInputs;
    if (bill.take_focus || ImGui::IsWindowAppearing()) ImGui::SetWindowFocus();
    bill.take_focus = false;
    frame.focused = ImGui::IsWindowFocused();
    ImGui::TableSetupScrollFreeze(1, 1);
    for (const BillColumn& column : frame.table.columns) {
        // Where there is room to spare, titles and formulas have it.
        const bool grows = column.type == ColumnType::title || column.type == ColumnType::size;
        ImGui::TableSetupColumn(
            column.title.c_str(),
            (grows ? ImGuiTableColumnFlags_WidthStretch : ImGuiTableColumnFlags_WidthFixed) |
                ImGuiTableColumnFlags_NoHide,
            width_of(theme, column));
    }
    ImGui::PushFont(theme.small);
    ImGui::TableHeadersRow();
    ImGui::PopFont();
    if (ImGuiTableSortSpecs* specs = ImGui::TableGetSortSpecs()) {
        bill.sort_column = specs->SpecsCount > 0 ? specs->Specs[0].ColumnIndex : -1;
        bill.sort_down =
            specs->SpecsCount > 0 && specs->Specs[0].SortDirection == ImGuiSortDirection_Descending;
    }
    const float height = theme.text->FontSize + theme.small->FontSize + theme.px(3);
    const float whole = height + 2 * ImGui::GetStyle().CellPadding.y;
    const int page = std::max(1, static_cast<int>(ImGui::GetWindowHeight() / whole) - 2);
    keyboard(frame, page);
    const int cursor = row_of(frame, bill.cursor.line);
    ImGuiListClipper clipper;
    clipper.Begin(static_cast<int>(frame.table.rows.size()), whole);
    // The row that is being edited keeps its field even when it is scrolled out of sight.
    if (bill.editing && cursor >= 0) keep_in_clipper(clipper, cursor);
    while (clipper.Step()) {
        for (int i = clipper.DisplayStart; i < clipper.DisplayEnd; ++i) {
            const BillRow& row = frame.table.rows[static_cast<std::size_t>(i)];
            ImGui::TableNextRow(ImGuiTableRowFlags_None, whole);
            if (row.line == nullptr) {
                draw_heading(frame, row, height);
                continue;
            }
            if (bill.chosen.contains(row.id) || row.id == bill.cursor.line)
                ImGui::TableSetBgColor(ImGuiTableBgTarget_RowBg0, packed(theme.palette.chosen));
            ImGui::PushID(row.id.c_str());
            for (int k = 0; k < columns; ++k) {
                ImGui::TableSetColumnIndex(k);
                draw_cell(frame, i, k, height);
            }
            ImGui::PopID();
        }
    }
    if (bill.follow_cursor && cursor >= 0) {
        const float top = static_cast<float>(cursor) * whole;
        const float seen = ImGui::GetWindowHeight() - 2 * whole;
        if (top < ImGui::GetScrollY()) ImGui::SetScrollY(top);
        if (top > ImGui::GetScrollY() + seen) ImGui::SetScrollY(top - seen);
        bill.follow_cursor = false;
    }
    take_click(frame);
    if (frame.begin_typing) begin_at_cursor(frame);
    bill.text = bill.editing ? bill.text : "";
    ImGui::EndTable();
}

} // namespace

void draw_bill(State& state, Intents& intents) {
    const Theme& theme = state.theme;
    Frame frame{state,
                intents,
                bill_table(state, {state.bill.sort_column, state.bill.sort_down}),
                std::nullopt,
                std::nullopt,
                false,
                false};
    if (ImGui::IsWindowAppearing()) state.bill.take_focus = true;
    toolbar(frame);
    // The form stands beside the table where there is room for both, below where there is height
    // for both, and else in its place.
    const ImVec2 room = ImGui::GetContentRegionAvail();
    if (room.x >= theme.px(1050)) {
        const float form_width = std::clamp(room.x * 0.26F, theme.px(326), theme.px(470));
        const float gap = ImGui::GetStyle().ItemSpacing.x;
        draw_table(frame, {room.x - form_width - gap, room.y});
        ImGui::SameLine();
        draw_bill_form(state, intents, {0, room.y});
    } else if (room.y >= theme.px(430)) {
        const float gap = ImGui::GetStyle().ItemSpacing.y;
        draw_table(frame, {0, room.y * 0.55F});
        draw_bill_form(state, intents, {0, room.y * 0.45F - gap});
    } else {
        if (state.bill.to_form) state.bill.form_alone = true;
        if (state.bill.take_focus) state.bill.form_alone = false;
        if (state.bill.form_alone) {
            draw_bill_form(state, intents, {0, room.y});
        } else {
            draw_table(frame, {0, room.y});
        }
    }
}

} // namespace aumbry::gui
