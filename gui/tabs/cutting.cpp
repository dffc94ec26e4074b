#include "drawings/cut_drawing.hpp"
#include "tabs/tabs.hpp"
#include "widgets/drawing.hpp"
#include "widgets/keys.hpp"
#include "widgets/widgets.hpp"

#include <algorithm>

namespace aumbry::gui {

namespace {

/// The book of the estimate at hand; null when there is none.
const print::CutBook* book_of(State& state) {
    CuttingState& memory = state.cutting;
    if (memory.of != state.answer.estimate) {
        memory.of = state.answer.estimate;
        memory.book.reset();
        memory.trouble.clear();
        if (memory.of != nullptr) {
            try {
                memory.book = std::make_shared<const print::CutBook>(print::cut_book(*memory.of));
            } catch (const FaultError& error) {
                memory.trouble = error.faults().front().sentence();
            }
        }
    }
    return memory.book.get();
}

void choose(CuttingState& memory, int plan) {
    if (memory.plan == plan) return;
    memory.plan = plan;
    memory.zoom = 1;
    memory.offset = {0, 0};
    memory.cut = -1;
    memory.step = -1;
}

void list_of_plans(State& state, const print::CutBook& book, const std::vector<DrawnPlan>& plans) {
    const Theme& theme = state.theme;
    const float line = theme.text->FontSize + theme.small->FontSize + theme.px(10);
    std::string title;
    for (std::size_t i = 0; i < plans.size(); ++i) {
        const DrawnPlan& plan = plans[i];
        if (plan.title != title) {
            if (i > 0) ImGui::Dummy({0, theme.px(6)});
            title = plan.title;
            ink_wrapped(theme, &Palette::text, title);
            ImGui::PushFont(theme.small);
            ink_wrapped(theme, &Palette::quiet, plan.quality);
            ImGui::PopFont();
        }
        const int index = static_cast<int>(i);
        const ImVec2 corner = ImGui::GetCursorScreenPos();
        const float width = ImGui::GetContentRegionAvail().x;
        if (ImGui::Selectable(("##" + plan.id).c_str(), state.cutting.plan == index, 0, {0, line}))
            choose(state.cutting, index);
        state.mark("plan " + plan.id);
        const ImVec2 below = ImGui::GetCursorPos();
        const float x = corner.x + theme.px(6);
        ImGui::SetCursorScreenPos({x, corner.y + theme.px(3)});
        ink(theme, &Palette::text,
            plan.id + "   " + print::size_with_unit(plan.length, plan.width, book.length_unit));
        ImGui::PushFont(theme.small);
        const float second = corner.y + theme.text->FontSize + theme.px(6);
        float room = width - theme.px(12);
        if (plan.yield >= 0) {
            const std::string yield = print::percent(plan.yield);
            const float wide = ImGui::CalcTextSize(yield.c_str()).x;
            room -= wide + theme.px(8);
            ImGui::SetCursorScreenPos({corner.x + width - wide - theme.px(6), second});
            ink(theme, &Palette::text, yield);
        }
        ImGui::SetCursorScreenPos({x, second});
        ink(theme, &Palette::quiet, shortened(plan.which + ", " + plan.source, room));
        ImGui::PopFont();
        ImGui::SetCursorPos(below);
    }
}

/// What is divided where, the cut piece at the fence and what is left: one cut a row.
void list_of_cuts(State& state, const print::CutBook& book, const DrawnPlan& plan) {
    const Theme& theme = state.theme;
    state.cutting.cut = -1;
    if (plan.cuts == nullptr || plan.cuts->empty()) return;
    ImGui::PushFont(theme.small);
    if (ImGui::BeginTable("cuts", 3,
                          ImGuiTableFlags_BordersInnerH | ImGuiTableFlags_SizingStretchProp |
                              ImGuiTableFlags_ScrollY)) {
        ImGui::TableSetupScrollFreeze(0, 1);
        ImGui::TableSetupColumn("Cut", ImGuiTableColumnFlags_WidthStretch, 1);
        ImGui::TableSetupColumn(
            "Fence", ImGuiTableColumnFlags_WidthFixed,
            ImGui::CalcTextSize(book.length_unit == "in" ? "48 31/32" : "8888.8").x);
        ImGui::TableSetupColumn("Cut piece", ImGuiTableColumnFlags_WidthStretch, 1);
        headings({"Cut, piece", "Fence", "Gives, leaves"}, {1});
        for (std::size_t i = 0; i < plan.cuts->size(); ++i) {
            const print::PlannedCut& cut = (*plan.cuts)[i];
            ImGui::TableNextRow();
            ImGui::TableNextColumn();
            ImGui::PushID(static_cast<int>(i));
            const ImVec2 at = ImGui::GetCursorPos();
            const bool at_hand = state.cutting.step == static_cast<int>(i);
            if (ImGui::Selectable(
                    "##cut", at_hand, ImGuiSelectableFlags_SpanAllColumns,
                    {0, ImGui::GetTextLineHeightWithSpacing() + ImGui::GetTextLineHeight()}))
                state.cutting.step = at_hand ? -1 : static_cast<int>(i);
            if (at_hand && state.cutting.to_step) {
                ImGui::SetScrollHereY(0.4F);
                state.cutting.to_step = false;
            }
            if (ImGui::IsItemHovered() || ImGui::IsItemFocused())
                state.cutting.cut = static_cast<int>(i);
            state.mark("cut " + std::to_string(cut.number));
            ImGui::PopID();
            ImGui::SetCursorPos(at);
            ink(theme, &Palette::text,
                std::to_string(cut.number) + "  " + print::kind_in_words(cut.kind));
            ink(theme, &Palette::quiet,
                cut.piece + ' ' +
                    print::bare_size(cut.blank_length, cut.blank_width, book.length_unit));
            ImGui::TableNextColumn();
            const bool trim = cut.kind == contract::CutKind::trim;
            ink_right(theme, cut.same_setting && !trim ? &Palette::quiet : &Palette::text,
                      trim ? print::bare_length(cut.setting + cut.kerf, book.length_unit) + " off"
                      : cut.same_setting ? "same"
                                         : print::bare_length(cut.setting, book.length_unit));
            if (cut.dealer) ink_right(theme, &Palette::quiet, "dealer");
            ImGui::TableNextColumn();
            if (trim) ink(theme, &Palette::text, cut.along ? "upper edge" : "left edge");
            if (!trim) ink(theme, &Palette::text, cut.first);
            ink(theme, &Palette::quiet, cut.rest);
        }
        ImGui::EndTable();
    }
    ImGui::PopFont();
}

/// The cuts one after the other, the one at hand large: of what, which cut, to what setting.
void one_cut(State& state, const print::CutBook& book, const DrawnPlan& plan) {
    const Theme& theme = state.theme;
    CuttingState& memory = state.cutting;
    const int count = static_cast<int>(plan.cuts->size());
    const auto go = [&](int to) {
        memory.step = std::clamp(to, -1, count - 1);
        memory.to_step = true;
    };
    const bool typing = ImGui::GetIO().WantTextInput || ImGui::GetIO().KeyCtrl;
    if (!typing && pressed('N')) go(memory.step + 1);
    if (!typing && pressed('P')) go(memory.step - 1);
    if (action(state, "Previous cut", memory.step >= 0)) go(memory.step - 1);
    ImGui::SameLine();
    if (action(state, memory.step < 0 ? "First cut" : "Next cut", memory.step < count - 1))
        go(memory.step + 1);
    ImGui::SameLine();
    if (memory.step < 0) {
        ink(theme, &Palette::quiet,
            std::to_string(count) + " cuts; keys N and P go to the next and the previous one");
        return;
    }
    const print::PlannedCut& cut = (*plan.cuts)[static_cast<std::size_t>(memory.step)];
    ink(theme, &Palette::quiet,
        "Cut " + std::to_string(cut.number) + " of " + std::to_string(count) + ", " +
            (cut.dealer ? "by the dealer" : "in the workshop") +
            (cut.same_setting ? ", as set" : ""));
    const bool trim = cut.kind == contract::CutKind::trim;
    ImGui::PushFont(theme.total);
    ink(theme, &Palette::text, cut.piece + "  " + print::kind_in_words(cut.kind));
    ImGui::SameLine();
    ink(theme, &Palette::link,
        print::bare_length(trim ? cut.setting + cut.kerf : cut.setting, book.length_unit));
    ImGui::PopFont();
    const std::string of =
        "Piece " + cut.piece + " of " +
        print::size_with_unit(cut.blank_length, cut.blank_width, book.length_unit) +
        ", set from its " + (cut.along ? "upper" : "left") + " edge. ";
    ink_wrapped(theme, &Palette::text,
                of + (trim ? "It falls away; what is left is " + cut.rest +
                                 ", with an edge to measure from."
                           : "Comes off: " + cut.first + "; what is left: " + cut.rest + '.'));
}

/// The pieces of a board from its end on, as the saw takes them off.
void list_of_pieces(const Theme& theme, const print::CutBook& book, const DrawnPlan& plan) {
    ImGui::PushFont(theme.small);
    if (ImGui::BeginTable("pieces", 3,
                          ImGuiTableFlags_BordersInnerH | ImGuiTableFlags_SizingStretchProp |
                              ImGuiTableFlags_ScrollY)) {
        ImGui::TableSetupScrollFreeze(0, 1);
        ImGui::TableSetupColumn("Piece", 0, 3);
        ImGui::TableSetupColumn("Cut to", 0, 1.6F);
        ImGui::TableSetupColumn("Begins at", 0, 1.2F);
        headings({"Piece, from the end on", "Cut to", "Begins at"}, {1, 2});
        for (const print::PlacedPart& placed : *plan.placed) {
            const print::BookPart& part = book.parts[placed.part];
            ImGui::TableNextRow();
            ImGui::TableNextColumn();
            ink_wrapped(theme, &Palette::text, part.number + "  " + part.title);
            ImGui::TableNextColumn();
            ink_right(theme, &Palette::text,
                      print::bare_size(placed.length, placed.width, book.length_unit));
            ImGui::TableNextColumn();
            ink_right(theme, &Palette::quiet, print::bare_length(placed.x, book.length_unit));
        }
        ImGui::EndTable();
    }
    ImGui::PopFont();
}

void zoom_buttons(const State& state, CuttingState& memory) {
    const auto times = [&](float factor) {
        const float before = memory.zoom;
        memory.zoom = std::clamp(before * factor, 0.5F, 40.0F);
        memory.offset.x *= memory.zoom / before;
        memory.offset.y *= memory.zoom / before;
    };
    if (action(state, "-")) times(0.8F);
    ImGui::SameLine(0, state.theme.px(4));
    if (action(state, "+")) times(1.25F);
    ImGui::SameLine(0, state.theme.px(4));
    if (action(state, "Fit", memory.zoom != 1 || memory.offset.x != 0 || memory.offset.y != 0)) {
        memory.zoom = 1;
        memory.offset = {0, 0};
    }
}

void one_plan(State& state, Intents& intents, const print::CutBook& book, const DrawnPlan& plan) {
    const Theme& theme = state.theme;
    const ImGuiStyle& style = ImGui::GetStyle();
    const float buttons = ImGui::CalcTextSize("-+Fit").x + 6 * style.FramePadding.x + theme.px(14);
    const float edge = ImGui::GetCursorPosX() + ImGui::GetContentRegionAvail().x;
    section(theme, plan.id + "   " + plan.title);
    ImGui::SameLine();
    ImGui::SetCursorPosX(std::max(ImGui::GetCursorPosX(), edge - buttons));
    zoom_buttons(state, state.cutting);
    ink_wrapped(
        theme, &Palette::quiet,
        print::size_with_unit(plan.length, plan.width, book.length_unit) + ", " + plan.which +
            ", " + plan.source +
            (plan.yield >= 0 ? "; " + print::percent(plan.yield) + " of it becomes parts" : ""));
    const ImVec2 room = ImGui::GetContentRegionAvail();
    const bool has_cuts = plan.board || (plan.cuts != nullptr && !plan.cuts->empty());
    const bool steps = has_cuts && !plan.board;
    const bool beside = steps && room.x > theme.px(700);
    const float cuts = beside ? theme.px(book.length_unit == "in" ? 400 : 310) : room.y * 0.36F;
    const ImVec2 drawing{beside ? -cuts - theme.px(12) : 0,
                         !beside && has_cuts ? room.y - cuts : 0};
    if (ImGui::BeginChild("paper", drawing, false,
                          ImGuiWindowFlags_NoScrollbar | ImGuiWindowFlags_NoScrollWithMouse)) {
        if (steps) one_cut(state, book, plan);
        const float legend = theme.small->FontSize * 2 + theme.px(14);
        if (ImGui::BeginChild("plan", {0, -legend}, false,
                              ImGuiWindowFlags_NoScrollbar | ImGuiWindowFlags_NoScrollWithMouse))
            draw_plan(state, intents, book, plan);
        ImGui::EndChild();
        draw_legend(theme, book, plan);
    }
    ImGui::EndChild();
    if (!has_cuts) return;
    if (beside) ImGui::SameLine(0, theme.px(12));
    if (ImGui::BeginChild("cuts", {0, 0}, false)) {
        if (plan.board)
            list_of_pieces(theme, book, plan);
        else
            list_of_cuts(state, book, plan);
    }
    ImGui::EndChild();
}

} // namespace

void draw_cutting(State& state, Intents& intents) {
    const Theme& theme = state.theme;
    const print::CutBook* book = book_of(state);
    if (book == nullptr) {
        nothing_here(theme, state.cutting.trouble.empty() ? "Nothing is priced yet."
                                                          : state.cutting.trouble);
        return;
    }
    const std::vector<DrawnPlan> plans = drawn_plans(*book);
    if (plans.empty()) {
        nothing_here(theme, "Nothing is cut from sheets or boards in this job.");
        return;
    }
    state.cutting.plan = std::clamp(state.cutting.plan, 0, static_cast<int>(plans.size()) - 1);
    const float left = std::min(theme.px(200), ImGui::GetContentRegionAvail().x * 0.24F);
    if (ImGui::BeginChild("plans", {left, 0}, false)) list_of_plans(state, *book, plans);
    ImGui::EndChild();
    ImGui::SameLine(0, theme.px(12));
    if (ImGui::BeginChild("one plan", {0, 0}, false))
        one_plan(state, intents, *book, plans[static_cast<std::size_t>(state.cutting.plan)]);
    ImGui::EndChild();
}

} // namespace aumbry::gui
