#include "tabs/tabs.hpp"
#include "widgets/drawing.hpp"
#include "widgets/widgets.hpp"

#include <algorithm>

namespace aumbry::gui {

namespace {

constexpr float reading_width = 760; ///< of a sentence, at text scale 1

const char* plural_of(contract::Severity severity) {
    switch (severity) {
    case contract::Severity::problem:
        return "problems";
    case contract::Severity::warning:
        return "warnings";
    case contract::Severity::caution:
        return "cautions";
    case contract::Severity::note:
        return "notes";
    }
    return "";
}

const char* meaning_of(contract::Severity severity) {
    switch (severity) {
    case contract::Severity::problem:
        return "settle these before anything is ordered";
    case contract::Severity::warning:
        return "these could kill or maim: settle them before work begins";
    case contract::Severity::caution:
        return "watch out for these while ordering and making";
    case contract::Severity::note:
        return "good to know";
    }
    return "";
}

std::string title_of_module(const Estimate& estimate, const std::string& id) {
    for (const EstimateModule& module : estimate.modules) {
        if (module.id == id) return module.title;
    }
    return id;
}

/// A sentence that breaks at the reading width.
void sentence(const Theme& theme, const std::string& text) {
    const float room = std::min(ImGui::GetContentRegionAvail().x, theme.px(reading_width));
    ImGui::PushTextWrapPos(ImGui::GetCursorPosX() + room);
    ink(theme, &Palette::text, text);
    ImGui::PopTextWrapPos();
}

/// The step at which a finding matters, by its title; empty when it matters at none.
std::string title_of_step(const Estimate& estimate, const std::string& id) {
    for (const EstimateTask& task : estimate.schedule.tasks) {
        if (task.id == id) return "at the step: " + task.title;
    }
    return "";
}

/// The line as a link, and where the sentence comes from.
void belongs_to(const State& state, Intents& intents, const std::string& line,
                const std::string& from, const std::string& id) {
    const Theme& theme = state.theme;
    ImGui::PushFont(theme.small);
    if (const EstimateLine* known = line_of(state.estimate(), line)) {
        if (link(state, known->title.empty() ? line : known->title, id))
            intents.push_back(SelectLine{line, true});
        if (!from.empty()) {
            ImGui::SameLine();
            ink(theme, &Palette::quiet, from);
        }
    } else if (!from.empty()) {
        ink(theme, &Palette::quiet, from);
    }
    ImGui::PopFont();
}

void group(State& state, Intents& intents, contract::Severity severity) {
    const Theme& theme = state.theme;
    const Estimate& estimate = *state.estimate();
    const auto count =
        std::count_if(estimate.findings.begin(), estimate.findings.end(),
                      [&](const EstimateFinding& finding) { return finding.severity == severity; });
    if (count == 0) return;
    const std::string name = count == 1 ? word_of(severity) : plural_of(severity);
    section(theme, std::to_string(count) + ' ' + name, meaning_of(severity));
    ImGui::Separator();
    for (std::size_t i = 0; i < estimate.findings.size(); ++i) {
        const EstimateFinding& finding = estimate.findings[i];
        if (finding.severity != severity) continue;
        severity_sign(theme, severity);
        ImGui::BeginGroup();
        sentence(theme, finding.text);
        if (const std::string step = title_of_step(estimate, finding.step); !step.empty()) {
            ImGui::PushFont(theme.small);
            ink(theme, &Palette::quiet, step);
            ImGui::PopFont();
        }
        belongs_to(state, intents, finding.line,
                   finding.module.empty() ? "the estimate itself"
                                          : title_of_module(estimate, finding.module),
                   "finding " + finding.code + ' ' + finding.line + ' ' + std::to_string(i));
        ImGui::EndGroup();
        ImGui::Dummy({0, theme.px(4)});
    }
    ImGui::Dummy({0, theme.px(10)});
}

/// Sentences under a heading, each with the same sign.
void sentences(const Theme& theme, const std::string& title, const std::string& remark,
               contract::Severity severity, const std::vector<std::string>& all) {
    if (all.empty()) return;
    section(theme, title, remark);
    ImGui::Separator();
    for (const std::string& each : all) {
        severity_sign(theme, severity);
        sentence(theme, each);
        ImGui::Dummy({0, theme.px(2)});
    }
    ImGui::Dummy({0, theme.px(10)});
}

/// The line that a place in the document belongs to; empty: none.
std::string line_at(const std::string& pointer) {
    constexpr std::string_view lines = "/lines/";
    if (!pointer.starts_with(lines)) return "";
    const std::string rest = pointer.substr(lines.size());
    return rest.substr(0, rest.find('/'));
}

void faults(State& state, Intents& intents) {
    if (state.answer.faults.empty()) return;
    const Theme& theme = state.theme;
    section(theme, "Not priced as it stands",
            state.estimate() == nullptr ? "" : "what is shown is the last answer before");
    ImGui::Separator();
    for (std::size_t i = 0; i < state.answer.faults.size(); ++i) {
        const Fault& fault = state.answer.faults[i];
        severity_sign(theme, contract::Severity::problem);
        ImGui::BeginGroup();
        sentence(theme, plain(fault));
        belongs_to(state, intents, line_at(fault.place.pointer), fault.place.pointer,
                   "fault " + std::to_string(i));
        ImGui::EndGroup();
        ImGui::Dummy({0, theme.px(4)});
    }
    ImGui::Dummy({0, theme.px(10)});
}

} // namespace

void draw_findings(State& state, Intents& intents) {
    const Estimate* estimate = state.estimate();
    const Knowledge* knowledge = state.knowledge.get();
    const bool refused = knowledge != nullptr && !knowledge->refused.empty();
    const bool bad_rows = knowledge != nullptr && !knowledge->catalog_faults.empty();
    if (state.answer.faults.empty() && !refused && !bad_rows &&
        (estimate == nullptr || (estimate->findings.empty() && estimate->not_included.empty()))) {
        nothing_here(
            state.theme,
            estimate == nullptr
                ? "Nothing is priced yet."
                : "Nothing to watch out for: no problem, no warning, no caution, no note.");
        return;
    }
    faults(state, intents);
    if (estimate != nullptr) {
        group(state, intents, contract::Severity::warning);
        group(state, intents, contract::Severity::problem);
        sentences(state.theme, "Not in the total", "", contract::Severity::problem,
                  estimate->not_included);
        sentences(state.theme, "Work that is not counted in the total", "",
                  contract::Severity::note, estimate->not_counted);
    }
    if (refused) {
        std::vector<std::string> all;
        for (const RefusedModule& module : knowledge->refused)
            all.push_back(module.file + ' ' + module.reason);
        sentences(state.theme, "Modules that are not used", "", contract::Severity::caution, all);
    }
    if (bad_rows) {
        sentences(state.theme, "Rows of price lists that are left out", "",
                  contract::Severity::caution, knowledge->catalog_faults);
    }
    if (estimate != nullptr) {
        group(state, intents, contract::Severity::caution);
        group(state, intents, contract::Severity::note);
    }
}

} // namespace aumbry::gui
