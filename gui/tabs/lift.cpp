#include "drawings/lift_drawing.hpp"
#include "tabs/tabs.hpp"
#include "widgets/drawing.hpp"
#include "widgets/widgets.hpp"

#include "print/cut_book.hpp"

#include "aumbry/reader_measures.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>
#include <cmath>

namespace aumbry::gui {

using contract::LiftForces;

namespace {

/// "push 40 N", "hold back 12 N": what the hand does, never by a sign alone.
std::string hand(float force, const std::string& unit) {
    if (std::abs(force) < 0.5F) return "nothing";
    const std::string amount = force_in_words(std::abs(force), unit);
    return (force > 0 ? "push " : "hold back ") + amount;
}

void forces(const Theme& theme, const contract::LiftPlan& plan, int step, const std::string& unit) {
    const auto hand_at = [&](LiftFigure figure) {
        return hand(figure_at(plan, step, figure), unit);
    };
    if (!ImGui::BeginTable("forces", 4,
                           ImGuiTableFlags_BordersInnerH | ImGuiTableFlags_SizingStretchProp))
        return;
    ImGui::TableSetupColumn("The hand", 0, 1.2F);
    ImGui::TableSetupColumn("With mattress and bedding", 0, 1.9F);
    ImGui::TableSetupColumn("Lid alone", 0, 1.3F);
    ImGui::TableSetupColumn("Range", 0, 3);
    headings(
        {"The hand", "With mattress and bedding", "Lid alone", "Springs cold to warm, new to aged"},
        {1, 2, 3});
    for (const bool opening : {true, false}) {
        ImGui::TableNextRow();
        ImGui::TableNextColumn();
        ink(theme, &Palette::quiet, opening ? "to open" : "to close");
        ImGui::TableNextColumn();
        ink_right(theme, &Palette::text, hand_at(opening ? &LiftForces::open : &LiftForces::close));
        ImGui::TableNextColumn();
        ink_right(theme, &Palette::text,
                  hand_at(opening ? &LiftForces::bare_open : &LiftForces::bare_close));
        ImGui::TableNextColumn();
        ink_right(theme, &Palette::text,
                  hand_at(opening ? &LiftForces::least_open : &LiftForces::least_close) + " to " +
                      hand_at(opening ? &LiftForces::most_open : &LiftForces::most_close));
    }
    ImGui::EndTable();
}

/// "260 mm along, 100 mm below the hinge".
std::string place(double along, double up, const std::string& of, const std::string& unit) {
    return print::length_with_unit(along, unit) + " along, " +
           print::length_with_unit(std::abs(up), unit) + (up < 0 ? " below the " : " above the ") +
           of;
}

void springs(const Theme& theme, const contract::LiftPlan& plan, const std::string& unit) {
    section(theme, "Springs");
    if (plan.springs.empty()) ink(theme, &Palette::quiet, "There are none.");
    for (const contract::LiftSpring& spring : plan.springs) {
        ink(theme, &Palette::text,
            std::to_string(spring.count) + " x " + spring.model + ", " +
                force_in_words(static_cast<float>(spring.force), unit) + " each");
        ink_wrapped(theme, &Palette::quiet,
                    "mounted " + spring.mounting + ": on the frame " +
                        place(spring.fixed.x, spring.fixed.y, "hinge", unit) + "; on the panel " +
                        place(spring.moving_along, spring.moving_across, "hinge's line", unit));
    }
    ink(theme, plan.within_limits ? &Palette::fine : &Palette::problem,
        plan.within_limits ? "Within the limits of the hand."
                           : "Not within the limits of the hand.");
    ink_wrapped(theme, &Palette::text, measures_for_reader(plan.why, unit));
}

void masses(State& state, Intents& intents, const contract::LiftPlan& plan) {
    const Theme& theme = state.theme;
    section(theme, "What moves");
    const float width = std::min(ImGui::GetContentRegionAvail().x, theme.px(420));
    for (const contract::LiftMass& mass : plan.masses) {
        const std::string& name = mass.name;
        const EstimateLine* line = line_of(state.estimate(), name);
        const float start = ImGui::GetCursorPosX();
        if (line == nullptr) {
            ink(theme, &Palette::quiet, name);
        } else if (link(state, line->title, "moves " + name)) {
            intents.push_back(SelectLine{name, true});
        }
        const std::string kg = mass_text(mass.mass, state.estimate()->length_unit);
        ImGui::SameLine(start + width - ImGui::CalcTextSize(kg.c_str()).x);
        ink(theme, &Palette::text, kg);
    }
}

void cautions(State& state, const contract::LiftPlan& plan) {
    const Theme& theme = state.theme;
    section(theme, "Before springs are ordered");
    severity_sign(theme, contract::Severity::caution);
    ink_wrapped(theme, &Palette::text,
                "Weigh the finished panel with everything that moves with it. The kit maker's "
                "instructions come first, then local codes; these figures only help to ask.");
    const auto module =
        std::find_if(state.estimate()->lines.begin(), state.estimate()->lines.end(),
                     [&](const EstimateLine& each) { return each.id == plan.line; });
    for (const EstimateFinding& finding : state.estimate()->findings) {
        const bool of_module = module != state.estimate()->lines.end() &&
                               finding.module == module->module && finding.line.empty();
        if (finding.line != plan.line && !of_module) continue;
        severity_sign(theme, finding.severity);
        ink_wrapped(theme, &Palette::text, finding.text);
    }
}

void choose_plan(State& state, const std::vector<contract::LiftPlan>& plans) {
    if (plans.size() < 2) return;
    for (std::size_t i = 0; i < plans.size(); ++i) {
        if (i > 0) ImGui::SameLine();
        if (ImGui::RadioButton((plans[i].title + "##" + std::to_string(i)).c_str(),
                               &state.lift.plan, static_cast<int>(i)))
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
    entry("with mattress and bedding",
          [&](ImVec2 a, ImVec2 b) { list.AddLine(a, b, packed(theme.palette.link), theme.px(3)); });
    entry("lid alone", [&](ImVec2 a, ImVec2 b) {
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
    if (state.estimate() == nullptr || state.estimate()->lift_plans.empty()) {
        nothing_here(theme, "Nothing in this job swings on a hinge.");
        return;
    }
    const std::vector<contract::LiftPlan>& plans = state.estimate()->lift_plans;
    choose_plan(state, plans);
    LiftState& memory = state.lift;
    memory.plan = std::clamp(memory.plan, 0, static_cast<int>(plans.size()) - 1);
    const contract::LiftPlan& plan = plans[static_cast<std::size_t>(memory.plan)];
    const int steps = steps_of(plan);
    memory.step = std::clamp(memory.step, 0, std::max(0, steps - 1));

    const ImVec2 room = ImGui::GetContentRegionAvail();
    const bool wide = room.x > theme.px(820);
    const float half = wide ? room.x * 0.46F : room.x;
    const float height = std::max(theme.px(250), room.y * 0.56F);
    ImGui::BeginGroup();
    const std::string angle =
        format_number(static_cast<double>(figure_at(plan, memory.step, &LiftForces::angle)), 0) +
        " degrees";
    section(theme, plan.title, "at " + angle);
    ImGui::SetNextItemWidth(half);
    ImGui::SliderInt("##angle", &memory.step, 0, std::max(0, steps - 1), "");
    state.mark("lift angle");
    draw_side_view(state, plan, memory.step, {half, height});
    ImGui::EndGroup();
    if (wide) ImGui::SameLine(0, theme.px(24));
    ImGui::BeginGroup();
    section(theme, "Force of the hand", "at the handle");
    const bool beside = ImGui::GetContentRegionAvail().x > theme.px(720);
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
    forces(theme, plan, memory.step, state.estimate()->length_unit);
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
