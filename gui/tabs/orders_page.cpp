#include "drawings/schedule_chart.hpp"
#include "widgets/drawing.hpp"
#include "widgets/widgets.hpp"

#include "aumbry/reader_measures.hpp"

#include "views/text_views.hpp"

#include <algorithm>

namespace aumbry::gui {

namespace {

bool belongs(const EstimatePurchase& purchase, const EstimateOrder& order) {
    return purchase.supplier == order.supplier && !purchase.owned &&
           purchase.state == Progress::planned;
}

void list_of_orders(State& state, const Estimate& estimate) {
    const Theme& theme = state.theme;
    const float line = theme.text->FontSize + theme.small->FontSize + theme.px(10);
    for (const EstimateOrder& order : estimate.orders) {
        const ImVec2 corner = ImGui::GetCursorScreenPos();
        const float width = ImGui::GetContentRegionAvail().x;
        if (ImGui::Selectable(("##" + order.supplier).c_str(), state.dates.order == order.supplier,
                              0, {0, line}))
            state.dates.order = order.supplier;
        state.mark("order " + order.supplier);
        const ImVec2 below = ImGui::GetCursorPos();
        const std::string total = order.total.grouped();
        const float figure = ImGui::CalcTextSize(total.c_str()).x;
        ImGui::SetCursorScreenPos({corner.x + theme.px(6), corner.y + theme.px(3)});
        ink(theme, &Palette::text, shortened(order.name, width - figure - theme.px(20)));
        ImGui::SetCursorScreenPos(
            {corner.x + width - figure - theme.px(6), corner.y + theme.px(3)});
        ink(theme, &Palette::text, total);
        ImGui::SetCursorScreenPos(
            {corner.x + theme.px(6), corner.y + theme.text->FontSize + theme.px(6)});
        ImGui::PushFont(theme.small);
        ink(theme, &Palette::quiet,
            order.order_by ? "order by " + views::day(*order.order_by) : "no date to order by");
        ImGui::PopFont();
        ImGui::SetCursorPos(below);
    }
}

void positions(State& state, Intents& intents, const Estimate& estimate,
               const EstimateOrder& order) {
    const Theme& theme = state.theme;
    if (!ImGui::BeginTable("positions", 5,
                           ImGuiTableFlags_BordersInnerH | ImGuiTableFlags_SizingStretchProp))
        return;
    ImGui::TableSetupColumn("Count", 0, 1.1F);
    ImGui::TableSetupColumn("What", 0, 4.6F);
    ImGui::TableSetupColumn("Each", 0, 1);
    ImGui::TableSetupColumn("Amount", 0, 1.2F);
    ImGui::TableSetupColumn("Order by", 0, 1.7F);
    headings({"Count", "What", "Each", "Amount", "Order by"}, {0, 2, 3, 4});
    for (const EstimatePurchase& purchase : estimate.purchases) {
        if (!belongs(purchase, order)) continue;
        ImGui::TableNextRow();
        ImGui::TableNextColumn();
        ink_right(theme, &Palette::text,
                  views::count_with_unit(purchase.count, purchase.measure, purchase.price_unit));
        ImGui::TableNextColumn();
        ink_wrapped(theme, &Palette::text, purchase.description);
        ImGui::PushFont(theme.small);
        std::string more = purchase.sku + "   " + purchase.price_row;
        if (!purchase.returnable) more += "   cannot be returned";
        if (purchase.count > purchase.needed)
            more += "   " + std::to_string(purchase.needed) + " needed";
        ink_wrapped(theme, &Palette::quiet, more);
        ImGui::PopFont();
        ImGui::TableNextColumn();
        ink_right(theme, &Palette::quiet,
                  Money::round(purchase.unit_price, estimate.currency).grouped());
        ImGui::TableNextColumn();
        const std::string amount = purchase.amount.grouped();
        push_right(amount);
        if (link(state, amount, "explain buy." + purchase.offer))
            intents.push_back(ExplainFigure{"buy." + purchase.offer});
        ImGui::TableNextColumn();
        if (purchase.order_by) ink_right(theme, &Palette::text, format_date(*purchase.order_by));
        ImGui::PushFont(theme.small);
        ink_right(theme, &Palette::quiet, "in hand " + format_date(purchase.arrives).substr(5));
        ImGui::PopFont();
    }
    ImGui::EndTable();
}

void charges(State& state, Intents& intents, const Estimate& estimate, const EstimateOrder& order) {
    const Theme& theme = state.theme;
    const float width = std::min(ImGui::GetContentRegionAvail().x, theme.px(420));
    const auto line = [&](const std::string& name, const Money& amount) {
        if (!amount.is_zero()) named_figure(theme, name, amount.grouped(), width);
    };
    line("Goods", order.goods);
    line("Services", order.services);
    line(std::to_string(order.cut_count) + " cuts by the dealer", order.cuts);
    line(order.collected ? "Collecting" : "Delivery", order.delivery);
    line("Small order", order.small_order);
    for (const TaxAtRate& tax : order.taxes)
        line("Tax " + tax.percent.str() + " % of " + tax.taxable.grouped(), tax.tax);
    ImGui::PushFont(theme.figure);
    named_figure(theme, "Total, " + std::string(estimate.currency.code), order.total.grouped(),
                 width);
    ImGui::PopFont();
    if (link(state, "How this came about", "explain order." + order.supplier))
        intents.push_back(ExplainFigure{"order." + order.supplier});
}

} // namespace

void draw_orders(State& state, Intents& intents) {
    const Theme& theme = state.theme;
    const Estimate& estimate = *state.estimate();
    if (estimate.orders.empty()) {
        nothing_here(theme, "Nothing has to be ordered.");
        return;
    }
    const auto chosen = [&] {
        return std::find_if(
            estimate.orders.begin(), estimate.orders.end(),
            [&](const EstimateOrder& order) { return order.supplier == state.dates.order; });
    };
    if (chosen() == estimate.orders.end()) state.dates.order = estimate.orders.front().supplier;
    const float left = std::min(theme.px(310), ImGui::GetContentRegionAvail().x * 0.34F);
    if (ImGui::BeginChild("orders", {left, 0}, false)) list_of_orders(state, estimate);
    ImGui::EndChild();
    ImGui::SameLine(0, theme.px(22));
    if (ImGui::BeginChild("order", {0, 0}, false)) {
        const EstimateOrder& order = *chosen();
        section(theme, order.name, order.invented ? "invented, for demonstration only" : "");
        std::string when = (order.collected ? "Can be collected " : "Arrives ") +
                           views::day(order.arrives) + ", ordered on " +
                           (order.after.empty() ? "the first day" : views::day(order.goes_out));
        if (order.order_by) when += "; order by " + views::day(*order.order_by);
        if (order.mass > 0) when += "; about " + mass_text(order.mass, estimate.length_unit, 0);
        ink_wrapped(theme, &Palette::quiet, when);
        ImGui::Dummy({0, theme.px(4)});
        positions(state, intents, estimate, order);
        ImGui::Dummy({0, theme.px(8)});
        charges(state, intents, estimate, order);
    }
    ImGui::EndChild();
}

} // namespace aumbry::gui
