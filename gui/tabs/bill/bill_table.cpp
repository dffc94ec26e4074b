// The bill of materials: lines by piece in a table for the keyboard, and the form of the chosen
// line beside it.
#include "tabs/bill/bill_form.hpp"
#include "tabs/bill/bill_frame.hpp"
#include "tabs/tabs.hpp"
#include "widgets/net.hpp"
#include "widgets/widgets.hpp"

#include <algorithm>
#include <imgui_internal.h>

namespace aumbry::gui {

namespace {

/// The title takes what is left, and no less than it has here.
float width_of(const Theme& theme, const BillColumn& column) {
    const auto min = [&]() -> float {
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
        case ColumnType::finding:
            break;
        }
        return 48;
    }();
    // The heading with the sign that tells the order.
    const float heading =
        theme.small->CalcTextSizeA(theme.small->FontSize, 1e9F, 0, column.title.c_str()).x +
        theme.small->FontSize * 0.65F + ImGui::GetStyle().FramePadding.x;
    return std::max(theme.px(min), heading);
}

void take_click(BillFrame& frame) {
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
        toggle(frame, cell);
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

bool begin_table(BillFrame& frame, ImVec2 size) {
    constexpr ImGuiTableFlags flags = ImGuiTableFlags_ScrollY | ImGuiTableFlags_Resizable |
                                      ImGuiTableFlags_Sortable | ImGuiTableFlags_SortTristate |
                                      ImGuiTableFlags_BordersInnerH |
                                      ImGuiTableFlags_NoBordersInBodyUntilResize |
                                      ImGuiTableFlags_ScrollX | ImGuiTableFlags_SizingStretchProp;
    const Theme& theme = frame.state.theme;
    const ImVec2 padding{theme.px(6), ImGui::GetStyle().CellPadding.y};
    float needed = ImGui::GetStyle().ScrollbarSize;
    for (const BillColumn& column : frame.table.columns)
        needed += width_of(theme, column) + 2 * padding.x;
    const float room = size.x > 0 ? size.x : ImGui::GetContentRegionAvail().x;
    ImGui::PushStyleVar(ImGuiStyleVar_CellPadding, padding);
    const bool shown =
        ImGui::BeginTable("lines", static_cast<int>(frame.table.columns.size()), flags, size,
                          std::max(needed, room) - ImGui::GetStyle().ScrollbarSize);
    ImGui::PopStyleVar();
    return shown;
}

void draw_headings(BillFrame& frame) {
    const Theme& theme = frame.state.theme;
    BillState& bill = frame.bill();
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
}

/// `height`: of what stands in a row; `whole`: with the space around it.
void draw_rows(BillFrame& frame, float height, float whole) {
    const BillState& bill = frame.bill();
    const int columns = static_cast<int>(frame.table.columns.size());
    const int cursor = row_of(frame, bill.cursor.line);
    ClippedRows rows(static_cast<int>(frame.table.rows.size()), whole);
    // The row that is being edited keeps its field even when it is scrolled out of sight.
    if (bill.editing && cursor >= 0) keep_in_clipper(rows.clipper, cursor);
    while (rows.clipper.Step()) {
        for (int i = rows.clipper.DisplayStart; i < rows.clipper.DisplayEnd; ++i) {
            const BillRow& row = frame.table.rows[static_cast<std::size_t>(i)];
            ImGui::TableNextRow(ImGuiTableRowFlags_None, whole);
            if (row.line == nullptr) {
                draw_heading(frame, row, height);
                continue;
            }
            if (bill.chosen.contains(row.id) || row.id == bill.cursor.line)
                ImGui::TableSetBgColor(ImGuiTableBgTarget_RowBg0,
                                       packed(frame.state.theme.palette.chosen));
            ImGui::PushID(row.id.c_str());
            for (int k = 0; k < columns; ++k) {
                ImGui::TableSetColumnIndex(k);
                draw_cell(frame, i, k, height);
            }
            ImGui::PopID();
        }
    }
}

/// Scrolls to the row with the cursor when it was moved there.
void follow_cursor(BillFrame& frame, float whole) {
    BillState& bill = frame.bill();
    const int cursor = row_of(frame, bill.cursor.line);
    if (!bill.follow_cursor || cursor < 0) return;
    const float top = static_cast<float>(cursor) * whole;
    const float seen = ImGui::GetWindowHeight() - 2 * whole;
    if (top < ImGui::GetScrollY()) ImGui::SetScrollY(top);
    if (top > ImGui::GetScrollY() + seen) ImGui::SetScrollY(top - seen);
    bill.follow_cursor = false;
}

void draw_table(BillFrame& frame, ImVec2 size) {
    const Theme& theme = frame.state.theme;
    BillState& bill = frame.bill();
    if (bill.take_focus) ImGui::SetNextWindowFocus();
    if (!begin_table(frame, size)) return;
    // The cursor cell is ours: arrows and Tab move it, not the frame of the widgets.
    ImGui::GetCurrentWindow()->Flags |= ImGuiWindowFlags_NoNavInputs;
    if (bill.take_focus || ImGui::IsWindowAppearing()) ImGui::SetWindowFocus();
    bill.take_focus = false;
    frame.focused = ImGui::IsWindowFocused();
    draw_headings(frame);
    const float height = theme.text->FontSize + theme.small->FontSize + theme.px(3);
    const float whole = height + 2 * ImGui::GetStyle().CellPadding.y;
    keyboard(frame, std::max(1, static_cast<int>(ImGui::GetWindowHeight() / whole) - 2));
    draw_rows(frame, height, whole);
    follow_cursor(frame, whole);
    take_click(frame);
    if (frame.begin_typing) begin_at_cursor(frame);
    bill.text = bill.editing ? bill.text : "";
    ImGui::EndTable();
}

} // namespace

void draw_bill(State& state, Intents& intents) {
    if (state.library.shown) return draw_library(state, intents);
    const Theme& theme = state.theme;
    BillFrame frame{state,
                    intents,
                    bill_table(state, {state.bill.sort_column, state.bill.sort_down}),
                    std::nullopt,
                    std::nullopt,
                    false,
                    false};
    if (ImGui::IsWindowAppearing()) state.bill.take_focus = true;
    draw_toolbar(frame);
    const auto table = [&](ImVec2 size) {
        draw_over_net(state, "The table of lines", [&] { draw_table(frame, size); });
    };
    // The form stands beside the table where there is room for both, below where there is height
    // for both, and else in its place.
    const ImVec2 room = ImGui::GetContentRegionAvail();
    if (room.x >= theme.px(1050)) {
        const float form_width = std::clamp(room.x * 0.26F, theme.px(326), theme.px(470));
        const float gap = ImGui::GetStyle().ItemSpacing.x;
        table({room.x - form_width - gap, room.y});
        ImGui::SameLine();
        draw_bill_form(state, intents, {0, room.y});
    } else if (room.y >= theme.px(430)) {
        const float gap = ImGui::GetStyle().ItemSpacing.y;
        table({0, room.y * 0.55F});
        draw_bill_form(state, intents, {0, room.y * 0.45F - gap});
    } else {
        if (state.bill.to_form) state.bill.form_alone = true;
        if (state.bill.take_focus) state.bill.form_alone = false;
        if (state.bill.form_alone) {
            draw_bill_form(state, intents, {0, room.y});
        } else {
            table({0, room.y});
        }
    }
}

} // namespace aumbry::gui
