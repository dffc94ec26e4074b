// Above the bill of materials: adding, moving and finding lines.
#include "session/bill_edits.hpp"
#include "tabs/bill/bill_frame.hpp"
#include "widgets/widgets.hpp"

#include <algorithm>
#include <imgui_stdlib.h>

namespace aumbry::gui {

namespace {

void add_menu(BillFrame& frame) {
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

/// What the keys do too, for whoever does not know them.
void rows_menu(BillFrame& frame, bool lines_chosen) {
    if (!ImGui::BeginPopup("rows")) return;
    const bool copy = ImGui::MenuItem("Copy for a spreadsheet", "Ctrl+C", false, lines_chosen);
    frame.state.mark("copy rows");
    const bool paste =
        ImGui::MenuItem("Paste from a spreadsheet", "Ctrl+V", false, frame.editable());
    frame.state.mark("paste rows");
    ImGui::PushFont(frame.state.theme.small);
    ink(frame.state.theme, &Palette::quiet,
        "The first row names the columns: Title, Count, Material, Length mm, Width mm.");
    ImGui::PopFont();
    ImGui::EndPopup();
    if (copy) copy_lines(frame);
    if (paste) paste_lines(frame);
}

void move_menu(BillFrame& frame, const std::vector<std::string>& ids) {
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

} // namespace

void draw_toolbar(BillFrame& frame) {
    State& state = frame.state;
    const std::vector<std::string> ids = chosen_lines(frame);
    ImGui::BeginDisabled(!frame.editable() || state.knowledge == nullptr);
    if (ImGui::Button("Add a piece")) {
        state.library = {};
        state.library.shown = true;
    }
    state.mark("button piece");
    ImGui::SameLine();
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
    ImGui::BeginDisabled(state.knowledge == nullptr);
    if (ImGui::Button("Rows...")) ImGui::OpenPopup("rows");
    state.mark("button rows");
    if (state.knowledge != nullptr) rows_menu(frame, !ids.empty());
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

} // namespace aumbry::gui
