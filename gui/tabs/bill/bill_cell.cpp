// The cells of the bill of materials: what stands in one, and its field while it is edited.
#include "tabs/bill/bill_frame.hpp"
#include "widgets/keys.hpp"
#include "widgets/line_form.hpp"
#include "widgets/offers.hpp"
#include "widgets/widgets.hpp"

#include <algorithm>
#include <imgui_internal.h>

namespace aumbry::gui {

namespace {

/// Puts what was typed into the cell.
void take_entry(BillFrame& frame, const BillRow& row, const BillColumn& column) {
    frame.bill().editing = false;
    const contract::Field* field = field_of(row, column);
    const std::string before = written(written_in(row, column));
    if (field == nullptr || frame.bill().text == before) return;
    const std::string name = cell_text(frame.state, row, {ColumnType::title, "title", ""}).main;
    std::vector<contract::Field> order(common_line_fields().begin(), common_line_fields().end());
    if (row.kind != nullptr)
        order.insert(order.end(), row.kind->fields.begin(), row.kind->fields.end());
    frame.intents.push_back(ApplyEdit{
        {step_name(*field, name),
         {member_change(pointer_to("/lines", row.id), row.line, order, field->name,
                        read_written(*field, frame.bill().text, unit_of_lengths(frame.state)))}}});
}

/// The cell that is being edited.
void edit_cell(BillFrame& frame, int row_number, int column_number, float width) {
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
    Offers offers;
    if (column.type == ColumnType::size || column.type == ColumnType::count)
        offers = names_offered(frame.state);
    OfferedInput input;
    input.flags = ImGuiInputTextFlags_EnterReturnsTrue;
    input.cursor_to_end = !bill.typed;
    input.typed = bill.text != written(written_in(row, column));
    const bool entered = input_with_offers(frame.state, "##cell", bill.text, offers, input);
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
void material_list(BillFrame& frame, const BillRow& row, const BillColumn& column) {
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

} // namespace

void draw_cell(BillFrame& frame, int row_number, int column_number, float height) {
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
            ? (column.type == ColumnType::finding
                   ? fault_at(state.answer, pointer_to("/lines", row.id))
                   : nullptr)
            : fault_at(state.answer, pointer_to(pointer_to("/lines", row.id), column.name));
    Colour Palette::*colour = &Palette::text;
    Colour Palette::*below = &Palette::quiet;
    if (fault != nullptr) {
        text.main =
            column.type == ColumnType::finding ? "! Wrong" : written(written_in(row, column));
        text.below = column.type == ColumnType::finding ? plain(*fault) : "! " + plain(*fault);
        colour = below = &Palette::problem;
    } else if (column.type == ColumnType::finding && row.worst) {
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

void draw_heading(BillFrame& frame, const BillRow& row, float height) {
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

} // namespace aumbry::gui
