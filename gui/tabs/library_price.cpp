#include "tabs/library_price.hpp"

#include "widgets/drawing.hpp"
#include "widgets/widgets.hpp"

#include "aumbry/date.hpp"

#include <algorithm>

namespace aumbry::gui {

const TrialAnswer* trial_of(const State& state) {
    return state.trial != nullptr && state.trial->number == state.library.number ? state.trial.get()
                                                                                 : nullptr;
}

bool is_of_size(const State& state, const Fault& fault, const std::string& name) {
    return fault.place.file == "--set " + name ||
           fault.place.pointer.ends_with("/parameters/" + state.library.id + '_' + name);
}

namespace {

/// What the estimate with the piece leaves out, and left in before.
std::vector<std::string> left_out(const TrialAnswer& answer) {
    std::vector<std::string> sentences;
    for (const std::string& each : answer.with->not_included) {
        const auto known = [&](const std::string& other) { return other == each; };
        if (answer.without == nullptr || std::none_of(answer.without->not_included.begin(),
                                                      answer.without->not_included.end(), known))
            sentences.push_back(each);
    }
    return sentences;
}

/// Whether the job cost nothing without the piece, as far as is known.
bool is_first_in_job(const TrialAnswer& answer) {
    return answer.without == nullptr || answer.without->totals.total.is_zero();
}

/// What the job costs more with the piece in it.
Money price_in_job(const TrialAnswer& answer) {
    const Money with = answer.with->totals.total;
    return is_first_in_job(answer) ? with : with - answer.without->totals.total;
}

void price_of_trial(const State& state, const TrialAnswer& answer) {
    const Theme& theme = state.theme;
    const Estimate& with = *answer.with;
    const bool first = is_first_in_job(answer);
    const Money price = price_in_job(answer);
    const std::vector<std::string> missing = left_out(answer);
    ImGui::PushFont(theme.total);
    ink(theme, missing.empty() ? &Palette::text : &Palette::quiet, price.grouped());
    ImGui::PopFont();
    state.mark("piece price");
    ImGui::PushFont(theme.small);
    const std::string code(with.currency.code);
    if (!missing.empty())
        ink_wrapped(theme, &Palette::problem, "Not all of it: what is missing stands below.");
    ink_wrapped(theme, &Palette::quiet,
                first ? code + ", the job with it; a draft, refined once it is added"
                      : code + " more: the job comes to " + with.totals.total.grouped() +
                            "; a draft, refined once it is added");
    ImGui::PopFont();
}

void figures_of_trial(const State& state, const TrialAnswer& answer) {
    const Theme& theme = state.theme;
    const Estimate& with = *answer.with;
    for (const Part& part : with.by_piece) {
        if (part.id != state.library.id) continue;
        for (const auto& [name, amount] :
             {std::pair{"Goods", part.totals.goods},
              std::pair{"Services, delivery", part.totals.services + part.totals.delivery},
              std::pair{"Labour", part.totals.labour},
              std::pair{"Risk and profit", part.totals.contingency + part.totals.markup},
              std::pair{"Tax", part.totals.tax}})
            named_figure(theme, name, amount.grouped());
    }
    named_figure(theme, "Ready with it", format_date(with.schedule.ready));
}

/// What is wrong with the job once the piece is in it, and was not before.
void findings_of_trial(const State& state, const TrialAnswer& answer) {
    const Theme& theme = state.theme;
    if (answer.with == nullptr) {
        for (const std::string& sentence : answer.added.does_not_hold) {
            severity_sign(theme, contract::Severity::problem);
            ink_wrapped(theme, &Palette::text, sentence);
        }
        return;
    }
    for (const std::string& sentence : left_out(answer)) {
        severity_sign(theme, contract::Severity::problem);
        ink_wrapped(theme, &Palette::text, sentence);
    }
    for (const EstimateFinding& finding : answer.with->findings) {
        if (finding.severity != contract::Severity::problem) continue;
        const auto same = [&](const EstimateFinding& each) { return each.text == finding.text; };
        if (answer.without != nullptr &&
            std::any_of(answer.without->findings.begin(), answer.without->findings.end(), same))
            continue;
        severity_sign(theme, finding.severity);
        ink_wrapped(theme, &Palette::text, finding.text);
    }
}

void add_to_job(State& state, Intents& intents, const PieceFile& piece, const TrialAnswer& answer) {
    Json document = parse_json(answer.added.with.text);
    // Tried in the job alone: what stands beside it stays.
    if (const Json* alternatives = member_of(&state.document, "alternatives"))
        document["alternatives"] = *alternatives;
    const std::string title = state.library.title.empty() ? piece.title : state.library.title;
    intents.push_back(PutDocument{std::move(document), "Add " + title});
    state.bill.piece = state.library.id;
    state.library = {};
    state.bill.take_focus = true;
}

/// What it costs, or why that is not known.
void headline_of_trial(const State& state, const PieceFile& piece, const TrialAnswer* answer) {
    const Theme& theme = state.theme;
    if (answer == nullptr) {
        ImGui::PushFont(theme.total);
        ink(theme, &Palette::quiet, "...");
        ImGui::PopFont();
        ink(theme, &Palette::quiet, "being reckoned");
        return;
    }
    if (answer->faults.empty() && answer->with != nullptr) return price_of_trial(state, *answer);
    ImGui::PushFont(theme.figure);
    ink(theme, &Palette::quiet, answer->faults.empty() ? "Not priced" : "Not in these sizes");
    ImGui::PopFont();
    for (const Fault& fault : answer->not_priced)
        ink_wrapped(theme, &Palette::problem, fault.sentence());
    const std::vector<PieceSize> sizes = sizes_of(piece, unit_of_lengths(state));
    for (const Fault& fault : answer->faults) {
        // Those of a size stand beside it.
        if (std::any_of(sizes.begin(), sizes.end(),
                        [&](const PieceSize& size) { return is_of_size(state, fault, size.name); }))
            continue;
        severity_sign(theme, contract::Severity::problem);
        ink_wrapped(theme, &Palette::problem, plain(fault));
    }
}

/// The button that adds it; true when it was pressed.
bool button_to_add(State& state, Intents& intents, const PieceFile& piece) {
    const TrialAnswer* answer = trial_of(state);
    const bool ready = answer != nullptr && answer->faults.empty() && state.read_only.empty();
    if (!main_action(state, "Add it to the job", ready)) return false;
    add_to_job(state, intents, piece, *answer);
    return true;
}

} // namespace

void details_of_trial(const State& state, const TrialAnswer& answer) {
    ImGui::PushFont(state.theme.small);
    ink_wrapped(state.theme, &Palette::quiet,
                "It becomes plain lines and sizes, to be edited like any other; one undo takes it "
                "out again.");
    ImGui::PopFont();
    ImGui::Spacing();
    if (answer.with != nullptr) figures_of_trial(state, answer);
    ImGui::Spacing();
    findings_of_trial(state, answer);
}

void price_of_piece(State& state, Intents& intents, const PieceFile& piece) {
    const TrialAnswer* answer = trial_of(state);
    ink(state.theme, &Palette::quiet, "In this job");
    headline_of_trial(state, piece, answer);
    ImGui::Spacing();
    if (button_to_add(state, intents, piece)) return;
    if (answer != nullptr) details_of_trial(state, *answer);
}

void price_bar(State& state, Intents& intents, const PieceFile& piece) {
    const TrialAnswer* answer = trial_of(state);
    if (button_to_add(state, intents, piece)) return;
    ImGui::SameLine();
    ImGui::AlignTextToFramePadding();
    if (answer == nullptr) {
        ink(state.theme, &Palette::quiet, "being reckoned...");
    } else if (!answer->faults.empty()) {
        ink(state.theme, &Palette::problem, "Not in these sizes");
    } else if (answer->with == nullptr) {
        ink(state.theme, &Palette::problem, "Not priced");
    } else {
        const Money price = price_in_job(*answer);
        ink(state.theme, left_out(*answer).empty() ? &Palette::text : &Palette::problem,
            price.grouped() + ' ' + std::string(price.currency().code) +
                (left_out(*answer).empty() ? "" : ", not all of it"));
        state.mark("piece price");
    }
}

} // namespace aumbry::gui
