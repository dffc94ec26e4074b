#include "drawings/lift_drawing.hpp"
#include "tabs/tabs.hpp"
#include "widgets/drawing.hpp"
#include "widgets/widgets.hpp"

#include "print/cut_book.hpp"

#include "aumbry/rounding.hpp"

#include <algorithm>
#include <cmath>

namespace aumbry::gui {

namespace {

double number_of(const Json* object, const char* name) {
    const Json* value = member_of(object, name);
    return value != nullptr && value->is_number() ? value->get<double>() : 0;
}

/// "push 40 N", "hold back 12 N": what the hand does, never by a sign alone.
std::string hand(float force) {
    const std::string amount = format_number(std::abs(static_cast<double>(force)), 0) + " N";
    if (amount == "0 N") return "nothing";
    return (force > 0 ? "push " : "hold back ") + amount;
}

void forces(const Theme& theme, const Json& plan, int step) {
    if (!ImGui::BeginTable("forces", 4,
                           ImGuiTableFlags_BordersInnerH | ImGuiTableFlags_SizingStretchProp))
        return;
    ImGui::TableSetupColumn("The hand", 0, 1.2F);
    ImGui::TableSetupColumn("All aboard", 0, 1.6F);
    ImGui::TableSetupColumn("Bare panel", 0, 1.6F);
    ImGui::TableSetupColumn("Range", 0, 3);
    headings({"The hand", "All aboard", "Bare panel", "Springs cold to warm, new to aged"},
             {1, 2, 3});
    for (const bool opening : {true, false}) {
        ImGui::TableNextRow();
        ImGui::TableNextColumn();
        ink(theme, &Palette::quiet, opening ? "to open" : "to close");
        ImGui::TableNextColumn();
        ink_right(theme, &Palette::text, hand(figure_at(plan, step, opening ? "open" : "close")));
        ImGui::TableNextColumn();
        ink_right(theme, &Palette::text,
                  hand(figure_at(plan, step, opening ? "bare_open" : "bare_close")));
        ImGui::TableNextColumn();
        ink_right(theme, &Palette::text,
                  hand(figure_at(plan, step, opening ? "least_open" : "least_close")) + " to " +
                      hand(figure_at(plan, step, opening ? "most_open" : "most_close")));
    }
    ImGui::EndTable();
}

/// "260 mm along, 100 mm below the hinge".
std::string place(double along, double up, const std::string& of, const std::string& unit) {
    return print::length_with_unit(along, unit) + " along, " +
           print::length_with_unit(std::abs(up), unit) + (up < 0 ? " below the " : " above the ") +
           of;
}

void springs(const Theme& theme, const Json& plan, const std::string& unit) {
    section(theme, "Springs");
    const Json* all = member_of(&plan, "springs");
    if (all == nullptr || all->empty()) ink(theme, &Palette::quiet, "There are none.");
    if (all != nullptr) {
        for (const Json& spring : *all) {
            ink(theme, &Palette::text,
                written(member_of(&spring, "count")) + " x " +
                    written(member_of(&spring, "model")) + ", " +
                    format_number(number_of(&spring, "force"), 0) + " N each");
            const Json* fixed = member_of(&spring, "fixed");
            ink_wrapped(theme, &Palette::quiet,
                        "mounted " + written(member_of(&spring, "mounting")) + ": on the frame " +
                            place(number_of(fixed, "x"), number_of(fixed, "y"), "hinge", unit) +
                            "; on the panel " +
                            place(number_of(&spring, "moving_along"),
                                  number_of(&spring, "moving_across"), "hinge's line", unit));
        }
    }
    const Json* within = member_of(&plan, "within_limits");
    if (within != nullptr && within->is_boolean()) {
        const bool fine = within->get<bool>();
        ink(theme, fine ? &Palette::fine : &Palette::problem,
            fine ? "Within the limits of the hand." : "Not within the limits of the hand.");
    }
    ink_wrapped(theme, &Palette::text, written(member_of(&plan, "why")));
}

void masses(State& state, Intents& intents, const Json& plan) {
    const Theme& theme = state.theme;
    section(theme, "What moves");
    const Json* all = member_of(&plan, "masses");
    if (all == nullptr) return;
    const float width = std::min(ImGui::GetContentRegionAvail().x, theme.px(420));
    for (const Json& mass : *all) {
        const std::string name = written(member_of(&mass, "name"));
        const EstimateLine* line = line_of(state.estimate(), name);
        const float start = ImGui::GetCursorPosX();
        if (line == nullptr) {
            ink(theme, &Palette::quiet, name);
        } else if (link(state, line->title, "moves " + name)) {
            intents.push_back(SelectLine{name, true});
        }
        const std::string kg = format_number(number_of(&mass, "mass"), 1) + " kg";
        ImGui::SameLine(start + width - ImGui::CalcTextSize(kg.c_str()).x);
        ink(theme, &Palette::text, kg);
    }
}

void cautions(State& state, const Json& plan) {
    const Theme& theme = state.theme;
    section(theme, "Before springs are ordered");
    severity_sign(theme, contract::Severity::caution);
    ink_wrapped(theme, &Palette::text,
                "Weigh the finished panel with everything that moves with it. The kit maker's "
                "instructions come first, then local codes; these figures only help to ask.");
    const std::string line = written(member_of(&plan, "line"));
    const auto module = std::find_if(state.estimate()->lines.begin(), state.estimate()->lines.end(),
                                     [&](const EstimateLine& each) { return each.id == line; });
    for (const EstimateFinding& finding : state.estimate()->findings) {
        const bool of_module = module != state.estimate()->lines.end() &&
                               finding.module == module->module && finding.line.empty();
        if (finding.line != line && !of_module) continue;
        severity_sign(theme, finding.severity);
        ink_wrapped(theme, &Palette::text, finding.text);
    }
}

void choose_plan(State& state, const std::vector<const Json*>& plans) {
    if (plans.size() < 2) return;
    for (std::size_t i = 0; i < plans.size(); ++i) {
        if (i > 0) ImGui::SameLine();
        const std::string title = written(member_of(plans[i], "title"));
        if (ImGui::RadioButton((title + "##" + std::to_string(i)).c_str(), &state.lift.plan,
                               static_cast<int>(i)))
            state.lift.step = 0;
        state.mark("lift " + std::to_string(i));
    }
}

void choose_direction(State& state) {
    int closing = state.lift.closing ? 1 : 0;
    ImGui::RadioButton("Opening", &closing, 0);
    state.mark("lift opening");
    ImGui::SameLine();
    ImGui::RadioButton("Closing", &closing, 1);
    state.mark("lift closing");
    state.lift.closing = closing == 1;
}

void key_of_curves(const Theme& theme) {
    ImGui::PushFont(theme.small);
    const float height = ImGui::GetTextLineHeight();
    ImDrawList& list = *ImGui::GetWindowDrawList();
    const auto entry = [&](const char* word, auto&& draw) {
        const ImVec2 corner = ImGui::GetCursorScreenPos();
        draw(ImVec2{corner.x, corner.y + height / 2},
             ImVec2{corner.x + theme.px(26), corner.y + height / 2});
        ImGui::Dummy({theme.px(26), height});
        ImGui::SameLine(0, theme.px(6));
        ink(theme, &Palette::quiet, word);
        ImGui::SameLine(0, theme.px(16));
    };
    entry("all aboard",
          [&](ImVec2 a, ImVec2 b) { list.AddLine(a, b, packed(theme.palette.link), theme.px(3)); });
    entry("bare panel", [&](ImVec2 a, ImVec2 b) {
        broken_line(list, a, b, packed(theme.palette.quiet), theme.px(2), theme.px(8));
    });
    entry("range: springs and masses", [&](ImVec2 a, ImVec2 b) {
        list.AddRectFilled({a.x, a.y - height * 0.4F}, {b.x, b.y + height * 0.4F},
                           packed(theme.palette.link, 0.2F));
    });
    ImGui::NewLine();
    ImGui::PopFont();
}

} // namespace

void draw_lift(State& state, Intents& intents) {
    const Theme& theme = state.theme;
    const std::vector<const Json*> plans = plans_of_type(state.estimate(), "lift");
    if (plans.empty()) {
        nothing_here(theme, "Nothing in this job swings on a hinge.");
        return;
    }
    choose_plan(state, plans);
    LiftState& memory = state.lift;
    memory.plan = std::clamp(memory.plan, 0, static_cast<int>(plans.size()) - 1);
    const Json& plan = *plans[static_cast<std::size_t>(memory.plan)];
    const int steps = steps_of(plan);
    memory.step = std::clamp(memory.step, 0, std::max(0, steps - 1));

    const ImVec2 room = ImGui::GetContentRegionAvail();
    const bool wide = room.x > theme.px(820);
    const float half = wide ? room.x * 0.46F : room.x;
    const float height = std::max(theme.px(250), room.y * 0.56F);
    ImGui::BeginGroup();
    const std::string angle =
        format_number(static_cast<double>(figure_at(plan, memory.step, "angle")), 0) + " degrees";
    section(theme, written(member_of(&plan, "title")), "at " + angle);
    ImGui::SetNextItemWidth(half);
    ImGui::SliderInt("##angle", &memory.step, 0, std::max(0, steps - 1), "");
    state.mark("lift angle");
    draw_side_view(state, plan, memory.step, {half, height});
    ImGui::EndGroup();
    if (wide) ImGui::SameLine(0, theme.px(24));
    ImGui::BeginGroup();
    section(theme, "Force of the hand", "at the handle");
    const bool beside = ImGui::GetContentRegionAvail().x > theme.px(600);
    choose_direction(state);
    if (beside) ImGui::SameLine(0, theme.px(24));
    ImGui::BeginGroup();
    ImGui::Dummy({0, theme.px(2)});
    key_of_curves(theme);
    ImGui::EndGroup();
    draw_hand_force(state, plan, !memory.closing, memory.step,
                    {ImGui::GetContentRegionAvail().x, height});
    ImGui::EndGroup();

    section(theme, "At " + angle);
    forces(theme, plan, memory.step);
    ImGui::Dummy({0, theme.px(6)});
    if (ImGui::BeginTable("below", wide ? 2 : 1, ImGuiTableFlags_SizingStretchSame, {0, 0})) {
        ImGui::TableNextColumn();
        springs(theme, plan, state.estimate()->length_unit);
        ImGui::Dummy({0, theme.px(6)});
        masses(state, intents, plan);
        ImGui::TableNextColumn();
        cautions(state, plan);
        ImGui::EndTable();
    }
}

} // namespace aumbry::gui
