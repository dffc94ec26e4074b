#include "tabs/tabs.hpp"
#include "widgets/widgets.hpp"

#include "views/text_views.hpp"

#include <algorithm>

namespace aumbry::gui {

namespace {

const Figure* figure_of(const std::vector<Figure>& figures, const std::string& name) {
    const auto found = std::find_if(figures.begin(), figures.end(),
                                    [&](const Figure& figure) { return figure.name == name; });
    return found == figures.end() ? nullptr : &*found;
}

/// How a figure changed, and its colour.
struct Told {
    std::string text;
    Colour Palette::*colour = &Palette::quiet;
};

/// A figure of the estimate with its title below and its change since the last edit.
void answer_block(const State& state, const std::string& title, const std::string& value,
                  const Told& change, ImFont* font) {
    const Theme& theme = state.theme;
    ImGui::BeginGroup();
    ink(theme, &Palette::quiet, title);
    ImGui::PushFont(font);
    ink(theme, state.answer.stale ? &Palette::quiet : &Palette::text, value);
    ImGui::PopFont();
    ink(theme, change.colour, change.text.empty() ? " " : change.text);
    ImGui::EndGroup();
}

/// Why the document as it is has no price, in one line; a click goes to the line at fault.
void draw_fault(const State& state, Intents& intents) {
    const Fault& fault = state.answer.faults.front();
    const std::string more =
        state.answer.faults.size() > 1
            ? " (and " + std::to_string(state.answer.faults.size() - 1) + " more)"
            : "";
    const std::string place =
        fault.place.pointer.empty()
            ? std::string()
            : ", " + place_in_words(state.document, state.knowledge.get(), fault.place.pointer);
    const std::string text = "Not priced as it stands" + place + ": " + plain(fault) + more;
    const float room = ImGui::GetContentRegionAvail().x;
    ink(state.theme, &Palette::problem, shortened(text, room));
    state.mark("fault");
    if (ImGui::IsItemHovered()) {
        ImGui::BeginTooltip();
        ImGui::PushTextWrapPos(state.theme.px(600));
        for (const Fault& each : state.answer.faults)
            ImGui::TextUnformatted(each.sentence().c_str());
        ImGui::PopTextWrapPos();
        ImGui::EndTooltip();
    }
    if (!ImGui::IsItemClicked()) return;
    constexpr std::string_view lines = "/lines/";
    if (fault.place.pointer.starts_with(lines)) {
        const std::string rest = fault.place.pointer.substr(lines.size());
        intents.push_back(SelectLine{rest.substr(0, rest.find('/')), true});
    } else {
        intents.push_back(ShowView{View::parameters});
    }
}

} // namespace

void draw_answer(State& state, Intents& intents) {
    const Theme& theme = state.theme;
    const Estimate* estimate = state.estimate();
    ImGui::PushFont(theme.small);
    if (estimate == nullptr) {
        ImGui::PushFont(theme.figure);
        ink(theme, &Palette::quiet,
            state.answer.faults.empty() ? "Nothing priced yet" : "Not priced");
        ImGui::PopFont();
        if (!state.answer.faults.empty()) draw_fault(state, intents);
        ImGui::PopFont();
        return;
    }
    const std::vector<Figure>& figures = state.answer.figures;
    const auto change = [&](const std::string& name) {
        Told told;
        if (!state.answer.faults.empty()) return told;
        const auto add = [&](const std::vector<Figure>& changed, const char* against) {
            const Figure* figure = figure_of(changed, name);
            if (figure == nullptr) return;
            const std::string words = change_in_words(*figure);
            if (words.empty()) return;
            if (told.text.empty()) told.colour = colour_of_difference(*figure);
            told.text += (told.text.empty() ? "" : ", ") + words + against;
        };
        add(state.answer.since_edit, " by the last edit");
        add(state.answer.against_base, " against the base");
        return told;
    };
    const auto value = [&](const std::string& name) {
        const Figure* figure = figure_of(figures, name);
        return figure == nullptr || figure->value.index() == 0 ? std::string("-")
                                                               : views::text_of(*figure).value;
    };
    std::vector<const char*> names{"total", "ready", "sheets", "problems"};
    if (ImGui::GetContentRegionAvail().x > theme.px(900))
        names.insert(names.end() - 1, {"yield", "mass"});
    if (ImGui::BeginTable("answer", static_cast<int>(names.size()),
                          ImGuiTableFlags_SizingStretchProp)) {
        for (const char* name : names)
            ImGui::TableSetupColumn(name, 0, std::string_view(name) == "total" ? 2.2F : 1.3F);
        ImGui::TableNextRow();
        for (const char* name : names) {
            ImGui::TableNextColumn();
            const bool total = std::string_view(name) == "total";
            const Figure* figure = figure_of(figures, name);
            const std::string title = total ? "Total, " + std::string(estimate->currency.code)
                                            : (figure == nullptr ? name : figure->title);
            answer_block(state, title, value(name), change(name),
                         total ? theme.total : theme.figure);
            if (ImGui::IsItemHovered() && total) {
                ImGui::SetMouseCursor(ImGuiMouseCursor_Hand);
                if (!estimate->not_counted.empty())
                    ImGui::SetTooltip("%s", views::not_counted_text(*estimate).c_str());
            }
            if (ImGui::IsItemClicked()) {
                if (total) intents.push_back(ExplainFigure{"total"});
                if (std::string_view(name) == "ready") intents.push_back(ShowView{View::dates});
                if (std::string_view(name) == "sheets") intents.push_back(ShowView{View::cutting});
                if (std::string_view(name) == "problems")
                    intents.push_back(ShowView{View::findings});
            }
            state.mark(std::string("answer ") + name);
        }
        ImGui::EndTable();
    }
    // In the line of the changes, which says nothing then: nothing below moves.
    if (!state.answer.faults.empty()) {
        ImGui::SetCursorPosY(ImGui::GetCursorPosY() - ImGui::GetTextLineHeightWithSpacing());
        draw_fault(state, intents);
    }
    ImGui::PopFont();
}

} // namespace aumbry::gui
