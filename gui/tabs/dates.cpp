#include "drawings/schedule_chart.hpp"
#include "tabs/tabs.hpp"
#include "widgets/drawing.hpp"
#include "widgets/widgets.hpp"

#include <algorithm>

namespace aumbry::gui {

void draw_dates(State& state, Intents& intents) {
    const Theme& theme = state.theme;
    if (state.estimate() == nullptr) {
        nothing_here(theme, "Nothing is priced yet.");
        return;
    }
    DatesState& memory = state.dates;
    int orders = memory.orders ? 1 : 0;
    ImGui::RadioButton("Calendar", &orders, 0);
    state.mark("dates calendar");
    ImGui::SameLine();
    ImGui::RadioButton("Orders by supplier", &orders, 1);
    state.mark("dates orders");
    memory.orders = orders == 1;
    if (memory.orders) {
        ImGui::Dummy({0, theme.px(4)});
        draw_orders(state, intents);
        return;
    }
    constexpr float usual = 26; ///< pixels a day when it is changed for the first time
    const auto wider = [&](float factor) {
        memory.day = std::clamp((memory.day > 0 ? memory.day : usual) * factor, 8.0F, 90.0F);
    };
    ImGui::SameLine(0, theme.px(24));
    if (action(state, "-")) wider(0.8F);
    ImGui::SameLine(0, theme.px(4));
    if (action(state, "+")) wider(1.25F);
    ImGui::SameLine(0, theme.px(4));
    if (action(state, "Fit", memory.day > 0)) memory.day = 0;
    ImGui::BeginGroup();
    ImGui::Dummy({0, 0});
    draw_schedule_legend(theme);
    ImGui::EndGroup();
    draw_schedule_chart(state, intents);
}

} // namespace aumbry::gui
