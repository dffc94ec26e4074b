#include "session/text.hpp"
#include "tabs/tabs.hpp"
#include "widgets/drawing.hpp"
#include "widgets/widgets.hpp"

#include "views/text_views.hpp"

#include <algorithm>
#include <imgui_stdlib.h>
#include <set>

namespace aumbry::gui {

namespace {

/// What a person most likely asks for comes first.
int rank_of(const std::string& ref) {
    int rank = 0;
    for (const char* begin : {"total", "piece.", "module.", "order.", "line.", "buy.", "task."}) {
        if (ref.starts_with(begin)) return rank;
        ++rank;
    }
    return rank;
}

/// References whose name or title holds what is being typed.
void find_matches(State& state) {
    ExplainState& memory = state.explain;
    const std::string filter =
        state.explain_entry == state.explained ? "" : lower(state.explain_entry);
    if (memory.of == state.answer.estimate && memory.filter == filter) return;
    memory.of = state.answer.estimate;
    memory.filter = filter;
    memory.matches.clear();
    if (memory.of == nullptr) return;
    for (const auto& [ref, working] : memory.of->workings) {
        if (ref == "totals.total") continue; // the same as "total"
        if (lower(ref).find(filter) != std::string::npos ||
            lower(working.title).find(filter) != std::string::npos)
            memory.matches.push_back(ref);
    }
    std::stable_sort(
        memory.matches.begin(), memory.matches.end(),
        [](const std::string& a, const std::string& b) { return rank_of(a) < rank_of(b); });
}

void suggestions(State& state, Intents& intents) {
    const Theme& theme = state.theme;
    ImGui::PushFont(theme.small);
    ink(theme, &Palette::quiet, "Which figure?");
    ImGui::PopFont();
    ImGui::SetNextItemWidth(-1);
    if (ImGui::InputTextWithHint("##figure", "total, bed_side.length, ...", &state.explain_entry,
                                 ImGuiInputTextFlags_EnterReturnsTrue |
                                     ImGuiInputTextFlags_AutoSelectAll) &&
        !state.explain_entry.empty())
        intents.push_back(ExplainFigure{state.explain_entry});
    state.mark("explain entry");
    find_matches(state);
    const std::vector<std::string>& matches = state.explain.matches;
    if (matches.empty()) {
        ink_wrapped(theme, &Palette::quiet, "No figure is called so.");
        return;
    }
    if (ImGui::BeginChild("figures", {0, 0}, false)) {
        ImGui::PushFont(theme.small);
        ClippedRows rows(static_cast<int>(matches.size()));
        while (rows.clipper.Step()) {
            for (int row = rows.clipper.DisplayStart; row < rows.clipper.DisplayEnd; ++row) {
                const std::string& ref = matches[static_cast<std::size_t>(row)];
                const std::string& title = state.explain.of->workings.at(ref).title;
                const bool chosen = ref == state.explained;
                if (ImGui::Selectable(ref.c_str(), chosen)) intents.push_back(ExplainFigure{ref});
                state.mark("figure " + ref);
                if (title.empty() || title == ref) continue;
                ImGui::SameLine(ImGui::CalcTextSize(ref.c_str()).x + theme.px(12));
                ink(theme, &Palette::quiet, shortened(title, ImGui::GetContentRegionAvail().x));
            }
        }
        ImGui::PopFont();
    }
    ImGui::EndChild();
}

class Unfolding {
  public:
    Unfolding(State& state, Intents& intents) : state_(state), intents_(intents) {}

    void inputs_of(const contract::Working& working) {
        path_.insert(working.ref);
        for (std::size_t i = 0; i < working.inputs.size(); ++i) {
            ImGui::PushID(static_cast<int>(i));
            input(working.inputs[i]);
            ImGui::PopID();
        }
        path_.erase(working.ref);
    }

  private:
    /// A row without a figure: how the one above came about.
    void remark(const std::string& lead, const std::string& text) {
        if (text.empty()) return;
        ImGui::TableNextRow();
        ImGui::TableNextColumn();
        ImGui::Indent();
        ImGui::PushFont(state_.theme.small);
        ink_wrapped(state_.theme, &Palette::quiet, lead + text);
        ImGui::PopFont();
        ImGui::Unindent();
    }

    void input(const contract::Input& input) {
        const Theme& theme = state_.theme;
        const auto& workings = state_.estimate()->workings;
        const auto next = workings.find(input.source);
        const bool follows = next != workings.end() && !path_.contains(input.source);
        ImGui::TableNextRow();
        ImGui::TableNextColumn();
        bool unfolded = false;
        if (follows) {
            unfolded = ImGui::TreeNodeEx(input.name.c_str(), ImGuiTreeNodeFlags_SpanAvailWidth);
            state_.mark("unfold " + input.source);
        } else {
            ImGui::TreeNodeEx(input.name.c_str(), ImGuiTreeNodeFlags_Leaf |
                                                      ImGuiTreeNodeFlags_NoTreePushOnOpen |
                                                      ImGuiTreeNodeFlags_SpanAvailWidth);
        }
        ImGui::TableNextColumn();
        ink_right(theme, &Palette::text, input.value);
        ImGui::TableNextColumn();
        if (next != workings.end()) {
            if (link(state_, next->first, "ask " + next->first))
                intents_.push_back(ExplainFigure{next->first});
        } else if (input.source != input.name) {
            ink_wrapped(theme, &Palette::quiet, input.source);
        }
        if (!unfolded) return;
        remark("= ", next->second.formula);
        remark("", next->second.source);
        inputs_of(next->second);
        ImGui::TreePop();
    }

    State& state_;
    Intents& intents_;
    std::set<std::string> path_; ///< from the figure asked for, so that nothing runs in a circle
};

/// The line that a reference speaks of; empty: none.
std::string line_in(const Estimate& estimate, const std::string& ref) {
    const std::string rest = ref.starts_with("line.") ? ref.substr(5) : ref;
    const std::string id = rest.substr(0, rest.find('.'));
    return line_of(&estimate, id) == nullptr ? "" : id;
}

void told(State& state, Intents& intents) {
    const Theme& theme = state.theme;
    if (state.estimate() == nullptr) {
        nothing_here(theme, "Nothing is priced yet.");
        return;
    }
    if (state.explained.empty()) {
        nothing_here(theme, "Choose a figure to see how it came about.");
        return;
    }
    std::vector<std::string>& trail = state.explain.trail;
    if (trail.empty() || trail.back() != state.explained) trail.push_back(state.explained);
    if (trail.size() > 1) {
        const std::string before = trail[trail.size() - 2];
        if (link(state, "Back to " + before, "explain back")) {
            trail.resize(trail.size() - 2);
            intents.push_back(ExplainFigure{before});
        }
    }
    const Estimate& estimate = *state.estimate();
    const contract::Working* working = views::working_of(estimate, state.explained);
    if (working == nullptr) {
        ink_wrapped(theme, &Palette::problem, state.explanation);
        return;
    }
    ink(theme, &Palette::quiet,
        working->title.empty() || working->title == working->ref
            ? working->ref
            : working->title + "   " + working->ref);
    ImGui::PushFont(theme.total);
    ink(theme, &Palette::text, working->result);
    ImGui::PopFont();
    if (!working->formula.empty()) ink_wrapped(theme, &Palette::text, "= " + working->formula);
    if (!working->source.empty()) ink_wrapped(theme, &Palette::quiet, working->source);
    if (const std::string line = line_in(estimate, working->ref); !line.empty()) {
        if (link(state, "Go to " + line_of(&estimate, line)->title, "explain line"))
            intents.push_back(SelectLine{line, true});
    }
    ImGui::Dummy({0, theme.px(4)});
    if (working->inputs.empty()) return;
    if (ImGui::BeginTable("inputs", 3,
                          ImGuiTableFlags_BordersInnerH | ImGuiTableFlags_SizingStretchProp |
                              ImGuiTableFlags_ScrollY)) {
        ImGui::TableSetupColumn("From", 0, 4);
        ImGui::TableSetupColumn("Figure", 0, 2.2F);
        ImGui::TableSetupColumn("Where it comes from", 0, 3.4F);
        ImGui::TableSetupScrollFreeze(0, 1);
        headings({"From", "Figure", "Where it comes from"}, {1});
        ImGui::PushID(working->ref.c_str());
        Unfolding(state, intents).inputs_of(*working);
        ImGui::PopID();
        ImGui::EndTable();
    }
}

} // namespace

void draw_explain(State& state, Intents& intents) {
    const Theme& theme = state.theme;
    const float room = ImGui::GetContentRegionAvail().x;
    const float left = std::min(theme.px(330), room * 0.36F);
    if (ImGui::BeginChild("asked", {left, 0}, false)) suggestions(state, intents);
    ImGui::EndChild();
    ImGui::SameLine(0, theme.px(24));
    if (ImGui::BeginChild("told", {0, 0}, false)) told(state, intents);
    ImGui::EndChild();
}

} // namespace aumbry::gui
