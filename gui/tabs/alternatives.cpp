#include "tabs/tabs.hpp"
#include "widgets/drawing.hpp"
#include "widgets/widgets.hpp"

#include "views/text_views.hpp"

#include <algorithm>
#include <imgui_stdlib.h>

namespace aumbry::gui {

namespace {

/// "12.00 less (29.1 %)".
std::string with_share(const Figure& figure) {
    const std::string share = unsigned_text(views::text_of(figure).percent);
    return change_in_words(figure) +
           (share.empty() || figure.name != "total" ? "" : " (" + share + ')');
}

/// What a row belongs to: "By piece", "By module"; empty: the whole job.
const char* group_of(const std::string& name) {
    if (name.starts_with("piece.")) return "By piece";
    if (name.starts_with("module.")) return "By module";
    return "";
}

void keep_edit(State& state, Intents& intents) {
    const Theme& theme = state.theme;
    if (state.alternative.empty()) {
        ImGui::SetNextItemWidth(theme.px(240));
        const bool entered = ImGui::InputTextWithHint("##title", "Title of a new alternative",
                                                      &state.alternative_title,
                                                      ImGuiInputTextFlags_EnterReturnsTrue);
        state.mark("alternative title");
        ImGui::SameLine();
        const bool ready = !state.alternative_title.empty() && state.read_only.empty();
        if ((action(state, "Keep the unsaved edits as an alternative", ready) || entered) &&
            ready) {
            intents.push_back(KeepAsAlternative{state.alternative_title});
            state.alternative_title.clear();
        }
    } else {
        if (action(state, "Back to the base")) intents.push_back(WorkOn{""});
        ImGui::SameLine();
        ink_wrapped(theme, &Palette::quiet,
                    "Edits now change this alternative; the base stays as it is.");
    }
}

void choose_column(const State& state, const Comparison& comparison, AlternativesState& memory) {
    const auto known = [&](const std::string& id) {
        return std::any_of(comparison.columns.begin(), comparison.columns.end(),
                           [&](const Column& column) { return column.id == id; });
    };
    if (!memory.chosen.empty() && known(memory.chosen)) return;
    memory.chosen = state.alternative;
    if (memory.chosen.empty() && comparison.columns.size() > 1)
        memory.chosen = comparison.columns[1].id;
}

void head(State& state, Intents& intents, const Column& column) {
    const Theme& theme = state.theme;
    ImGui::PushID(column.id.c_str());
    const bool current = column.id == state.alternative;
    const std::string title = column.title.empty() ? column.id : column.title;
    const std::string fitted = shortened(title, ImGui::GetContentRegionAvail().x);
    push_right(fitted);
    if (column.id.empty() || column.id == state.alternatives.chosen) {
        ink(theme, &Palette::text, fitted);
    } else if (link(state, fitted, "tell of " + column.id)) {
        state.alternatives.chosen = column.id;
    }
    if (fitted != title && ImGui::IsItemHovered()) ImGui::SetTooltip("%s", title.c_str());
    ImGui::PushFont(theme.small);
    const std::string work = current ? "being edited" : "Edit this one";
    const bool adoptable = !column.id.empty() && column.estimate && state.read_only.empty();
    push_right(work);
    if (current) {
        ink(theme, &Palette::quiet, work);
    } else if (link(state, work, "edit " + column.id)) {
        intents.push_back(WorkOn{column.id});
    }
    if (adoptable) {
        push_right("Make this the job");
        if (link(state, "Make this the job", "make the job " + column.id))
            intents.push_back(AdoptAlternative{column.id});
        if (ImGui::IsItemHovered())
            ImGui::SetTooltip("Its changes become the base's. It can be undone.");
    }
    ImGui::PopFont();
    ImGui::PopID();
}

void cell(const State& state, const Column& column, std::size_t row) {
    const Theme& theme = state.theme;
    if (!column.estimate) {
        if (row == 0) ink_right(theme, &Palette::problem, "cannot be priced");
        return;
    }
    const Figure& figure = column.figures[row];
    ink_right(theme, &Palette::text, views::text_of(figure).value);
    const std::string difference = with_share(figure);
    if (difference.empty()) return;
    ImGui::PushFont(theme.small);
    ink_right(theme, colour_of_difference(figure), difference);
    ImGui::PopFont();
}

void side_by_side(State& state, Intents& intents, const Comparison& comparison, float height) {
    const Theme& theme = state.theme;
    const int columns = static_cast<int>(comparison.columns.size()) + 1;
    const float room = ImGui::GetContentRegionAvail().x;
    const float names = std::min(theme.px(210), room * 0.3F);
    const float each = std::clamp((room - names) / static_cast<float>(columns - 1) - theme.px(18),
                                  theme.px(165), theme.px(250));
    if (!ImGui::BeginTable("figures", columns,
                           ImGuiTableFlags_ScrollX | ImGuiTableFlags_ScrollY |
                               ImGuiTableFlags_BordersInnerH | ImGuiTableFlags_SizingFixedFit,
                           {0, height}))
        return;
    ImGui::TableSetupScrollFreeze(1, 1);
    ImGui::TableSetupColumn("", ImGuiTableColumnFlags_WidthFixed, names);
    for (const Column& column : comparison.columns)
        ImGui::TableSetupColumn(column.id.c_str(), ImGuiTableColumnFlags_WidthFixed, each);
    ImGui::TableNextRow();
    ImGui::TableNextColumn();
    ImGui::PushFont(theme.small);
    ink_wrapped(theme, &Palette::quiet,
                "Amounts in " + std::string(comparison.currency.code) + ", against the base");
    ImGui::PopFont();
    for (const Column& column : comparison.columns) {
        ImGui::TableNextColumn();
        head(state, intents, column);
    }
    const std::vector<Figure>& rows = comparison.columns.front().figures;
    const char* group = "";
    for (std::size_t row = 0; row < rows.size(); ++row) {
        const char* belongs = group_of(rows[row].name);
        if (std::string_view(belongs) != group) {
            group = belongs;
            if (*group != '\0') {
                ImGui::TableNextRow();
                ImGui::TableNextColumn();
                ImGui::PushFont(theme.small);
                ink(theme, &Palette::quiet, group);
                ImGui::PopFont();
            }
        }
        ImGui::TableNextRow();
        ImGui::TableNextColumn();
        if (*group != '\0') ImGui::Indent(theme.px(12));
        ImGui::PushFont(rows[row].name == "total" ? theme.figure : theme.text);
        ink(theme, &Palette::text, shortened(rows[row].title, ImGui::GetContentRegionAvail().x));
        if (*group != '\0') ImGui::Unindent(theme.px(12));
        for (const Column& column : comparison.columns) {
            ImGui::TableNextColumn();
            if (column.id == state.alternatives.chosen && !column.id.empty()) {
                ImGui::TableSetBgColor(ImGuiTableBgTarget_CellBg, packed(theme.palette.chosen));
            }
            cell(state, column, row);
        }
        ImGui::PopFont();
    }
    ImGui::EndTable();
}

void problems(const Theme& theme, const std::vector<EstimateFinding>& findings, const char* word) {
    for (const EstimateFinding& finding : findings) {
        severity_sign(theme, finding.severity);
        ink_wrapped(theme, &Palette::text, std::string(word) + ": " + finding.text);
    }
}

std::string values_of(const Comparison& comparison, const Column& column,
                      const LineDifference& line, std::size_t max) {
    std::string text;
    const std::vector<views::DifferenceText> values =
        views::differences_of(comparison, column, line);
    for (std::size_t i = 0; i < std::min(max, values.size()); ++i)
        text += (text.empty() ? "" : "\n") + values[i].name + ": " + values[i].before +
                " \xe2\x86\x92 " + values[i].after;
    if (values.size() > max) text += "\nand " + std::to_string(values.size() - max) + " more";
    return text;
}

void differing(State& state, Intents& intents, const Comparison& comparison, const Column& column) {
    const Theme& theme = state.theme;
    if (!ImGui::BeginTable("lines", 5,
                           ImGuiTableFlags_BordersInnerH | ImGuiTableFlags_SizingStretchProp))
        return;
    ImGui::TableSetupColumn("Line", 0, 2.4F);
    ImGui::TableSetupColumn("What differs", 0, 4);
    ImGui::TableSetupColumn("Cost", 0, 1.2F);
    ImGui::TableSetupColumn("Difference", 0, 1.6F);
    ImGui::TableSetupColumn("Reason", 0, 2.6F);
    headings({"Line", "What differs", "Cost", "Difference", "Reason"}, {2, 3});
    for (const LineDifference& line : column.lines) {
        ImGui::TableNextRow();
        ImGui::TableNextColumn();
        const std::string title = shortened(line.title.empty() ? line.line : line.title,
                                            ImGui::GetContentRegionAvail().x);
        if (line_of(state.estimate(), line.line) == nullptr) {
            ink(theme, &Palette::text, title);
        } else if (link(state, title, "differing " + line.line)) {
            intents.push_back(SelectLine{line.line, true});
        }
        ImGui::TableNextColumn();
        if (line.kind == LineDifference::Kind::added) {
            ink(theme, &Palette::text, "added");
        } else if (line.kind == LineDifference::Kind::removed) {
            ink(theme, &Palette::text, "removed");
        } else {
            ink_wrapped(theme, &Palette::text, values_of(comparison, column, line, 3));
            if (ImGui::IsItemHovered() && line.values.size() > 3)
                ImGui::SetTooltip("%s", values_of(comparison, column, line, 40).c_str());
        }
        ImGui::TableNextColumn();
        ink_right(theme, &Palette::text, line.cost_after.grouped());
        ImGui::TableNextColumn();
        const Money difference = line.cost_after - line.cost_before;
        if (difference.is_zero()) {
            ink_right(theme, &Palette::quiet, "same");
        } else {
            const bool less = difference.is_negative();
            ink_right(theme, less ? &Palette::fine : &Palette::caution,
                      unsigned_text(difference.grouped()) + (less ? " less" : " more"));
        }
        ImGui::TableNextColumn();
        ink_wrapped(theme, &Palette::quiet, line.why);
    }
    ImGui::EndTable();
}

void told(State& state, Intents& intents, const Comparison& comparison) {
    const Theme& theme = state.theme;
    for (const Column& column : comparison.columns) {
        if (column.id.empty() || column.id != state.alternatives.chosen) continue;
        section(theme, column.title.empty() ? column.id : column.title,
                column.estimate ? (column.lines.size() == 1
                                       ? "1 line differs"
                                       : std::to_string(column.lines.size()) + " lines differ")
                                : "cannot be priced");
        for (const Fault& fault : column.faults) {
            severity_sign(theme, contract::Severity::problem);
            ink_wrapped(theme, &Palette::problem, fault.sentence());
        }
        problems(theme, column.problems_gained, "Problem gained");
        problems(theme, column.problems_lost, "Problem no longer there");
        if (!column.lines.empty()) differing(state, intents, comparison, column);
    }
}

} // namespace

void draw_alternatives(State& state, Intents& intents) {
    const Theme& theme = state.theme;
    if (state.alternative.empty()) draw_what_if(state, intents);
    keep_edit(state, intents);
    for (const Fault& fault : state.answer.comparison_faults) {
        severity_sign(theme, contract::Severity::problem);
        ink_wrapped(theme, &Palette::problem, "Nothing to compare: " + fault.sentence());
    }
    if (state.answer.comparison == nullptr) {
        nothing_here(theme, state.doing.empty() ? "Nothing is compared yet." : "Comparing...");
        return;
    }
    const Comparison& comparison = *state.answer.comparison;
    if (comparison.columns.size() < 2) {
        nothing_here(theme,
                     "There is no alternative yet. Ask above what would be if a material or a size "
                     "were another; or change whatever you like, then come here and keep the edits "
                     "as an alternative. It stands beside the base with what it costs, when it is "
                     "ready and what it gains or loses.");
        return;
    }
    if (state.answer.comparison_revision != state.answer.revision)
        ink(theme, &Palette::quiet, "From before the last edit; being compared anew.");
    choose_column(state, comparison, state.alternatives);
    const float room = ImGui::GetContentRegionAvail().y;
    side_by_side(state, intents, comparison, std::max(theme.px(160), room * 0.58F));
    ImGui::Dummy({0, theme.px(2)});
    if (ImGui::BeginChild("differences", {0, 0}, false)) told(state, intents, comparison);
    ImGui::EndChild();
}

} // namespace aumbry::gui
