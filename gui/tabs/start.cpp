// The start page: a new job from a few answers, jobs to go on with, the demonstrations.
#include "tabs/tabs.hpp"
#include "widgets/drawing.hpp"
#include "widgets/offers.hpp"
#include "widgets/widgets.hpp"

#include "aumbry/project.hpp"

#include <algorithm>
#include <array>
#include <imgui_stdlib.h>
#include <set>

namespace aumbry::gui {

namespace {

/// One question: where its answer is kept, and where new_project() says what is wrong with it.
struct Question {
    std::string NewProject::*answer;
    const char* place;
    const char* label;
    const char* help;
    const char* hint;        ///< in a job in millimetres
    const char* hint_inches; ///< in one in inches
};

/// Those that a maker answers once.
constexpr std::array kept_questions{
    Question{&NewProject::currency, "currency", "Currency",
             "in which you reckon; suppliers who sell in another are left out", "as EUR", "as USD"},
    Question{&NewProject::length_unit, "unit", "Sizes in", "mm or inches", "mm", "in"},
    Question{&NewProject::rate, "rate", "Your hour",
             "what an hour of your work costs; empty: not reckoned", "as 46.00", "as 55.00"},
    Question{&NewProject::helper, "helper", "A helper's hour",
             "a second pair of hands for what one cannot carry; empty: as yours", "", ""},
    Question{&NewProject::tax, "tax", "Tax, per cent", "what the client is charged on top", "as 21",
             "as 0"},
    Question{&NewProject::kerf, "kerf", "Saw cut", "the width of wood that your saw takes",
             "3.2 mm if empty", "1/8 in if empty"},
    Question{&NewProject::vehicle, "vehicle", "Your vehicle",
             "length x width of what lies in it; dealers cut what does not fit; empty: anything",
             "as 1900 mm x 1050 mm", "as 6 ft x 3 ft 6 in"},
};

/// Those of each job.
constexpr std::array job_questions{
    Question{&NewProject::title, "title", "The job", "what it is called on paper",
             "as Bookcase in the study", "as Bookcase in the study"},
    Question{&NewProject::wall, "wall", "The wall",
             "what it is made of decides how the piece is fixed: find out before anything is "
             "ordered",
             "", ""},
    Question{&NewProject::priced_on, "priced_on", "Prices of",
             "the day whose prices hold: today, or the day of the price lists that you have", "",
             ""},
    Question{&NewProject::start, "start", "Work begins",
             "the first day of work, as 2027-03-01; empty: two weeks after that day", "", ""},
};

/// The answers as they are when nothing more is said.
NewProject as_answered(const StartState& start) {
    NewProject answers = start.answers;
    if (answers.title.empty()) answers.title = "New job";
    return answers;
}

/// Tries the answers as a project, once for each of their states.
void judge(StartState& start) {
    NewProject answers = as_answered(start);
    std::string now = start.catalogs;
    for (const auto& each : kept_questions) now += '\n' + answers.*each.answer;
    for (const auto& each : job_questions) now += '\n' + answers.*each.answer;
    if (now == start.judged) return;
    start.judged = now;
    start.faults.clear();
    const bool own_start = !answers.start.empty();
    try {
        use_usual(answers);
    } catch (const FaultError&) {
        // The day of the prices is no date: said below, with all else.
    }
    try {
        (void)new_project(answers);
    } catch (const FaultError& error) {
        for (const Fault& fault : error.faults()) {
            const std::string& place = fault.place.pointer;
            if (place == "start" && !own_start) continue; // it follows from that day
            start.faults.emplace(place.substr(0, place.find('/')), plain(fault));
        }
    }
    std::error_code error;
    if (!start.catalogs.empty() && !std::filesystem::is_directory(start.catalogs, error))
        start.faults["catalogs"] = "there is no such folder; name one that is there";
}

void wall_entry(State& state, std::string& answer) {
    const contract::Field& field = *find_field(workshop_fields(), "wall");
    if (ImGui::BeginCombo("##wall", answer.c_str())) {
        for (const std::string& each : field.choices) {
            if (ImGui::Selectable(each.c_str(), each == answer)) answer = each;
            state.mark("wall " + each);
        }
        ImGui::EndCombo();
    }
}

void unit_entry(State& state, StartState& start) {
    for (const char* unit : {"mm", "in"}) {
        if (ImGui::RadioButton(unit, start.answers.length_unit == unit))
            start.answers.length_unit = unit;
        state.mark(std::string("unit ") + unit);
        ImGui::SameLine(0, state.theme.px(18));
    }
    ImGui::NewLine();
}

/// Currencies that suppliers here sell in.
std::vector<Offer> currencies(const State& state, const std::string& written_so_far) {
    std::set<std::string> codes;
    if (state.knowledge != nullptr) {
        for (const Supplier& supplier : state.knowledge->catalog.suppliers())
            codes.emplace(supplier.currency.code);
    }
    return offers_among({codes.begin(), codes.end()}, written_so_far);
}

void label_and_room(const State& state, const char* label) {
    ImGui::TableNextRow();
    ImGui::TableNextColumn();
    ImGui::AlignTextToFramePadding();
    ImGui::PushTextWrapPos(0);
    ink(state.theme, &Palette::text, label);
    ImGui::PopTextWrapPos();
    ImGui::TableNextColumn();
    ImGui::SetNextItemWidth(-1);
}

/// Beside the entry, or under it where the page is narrow: what is asked, or what is wrong.
void note_of_answer(const State& state, const std::string& place, const char* help, bool beside) {
    if (beside) {
        ImGui::TableNextColumn();
        ImGui::AlignTextToFramePadding();
    }
    ImGui::PushFont(state.theme.small);
    const auto fault = state.start.faults.find(place);
    if (fault != state.start.faults.end()) {
        ink_wrapped(state.theme, &Palette::problem, "! " + fault->second);
    } else {
        ink_wrapped(state.theme, &Palette::quiet, help);
    }
    ImGui::PopFont();
}

/// Says, in place of the help, when the price lists have no price of that day, and which day is the
/// nearest that has; false: they have, or it is not known.
bool note_of_prices(State& state, bool beside) {
    StartState& start = state.start;
    if (state.knowledge == nullptr || start.faults.contains("priced_on")) return false;
    const std::string nearest = nearest_priced_day(*state.knowledge, start.answers.priced_on);
    if (nearest.empty() || nearest == start.answers.priced_on) return false;
    if (beside) {
        ImGui::TableNextColumn();
        ImGui::AlignTextToFramePadding();
    }
    ImGui::PushFont(state.theme.small);
    // In place of the help, so that the rows below stay where they are, or nearly.
    ink(state.theme, &Palette::caution, "No price here holds then.");
    ImGui::SameLine();
    if (link(state, "Take " + nearest, "take the nearest day")) start.answers.priced_on = nearest;
    ImGui::PopFont();
    return true;
}

void ask_question(State& state, const Question& question, bool beside) {
    StartState& start = state.start;
    const bool inches = start.answers.length_unit == "in";
    const std::string place = question.place;
    std::string& answer = start.answers.*question.answer;
    ImGui::PushID(question.place);
    label_and_room(state, question.label);
    if (place == "wall") {
        wall_entry(state, answer);
    } else if (place == "unit") {
        unit_entry(state, start);
    } else {
        Offers offers;
        if (place == "currency")
            offers.find = [&](const std::string& text) { return currencies(state, text); };
        input_with_offers(state, "##answer", answer, offers,
                          {inches ? question.hint_inches : question.hint});
        if (ImGui::IsItemDeactivated() && place == "kerf")
            answer = with_unit(answer, start.answers.length_unit);
        if (ImGui::IsItemDeactivated() && (place == "rate" || place == "helper" || place == "tax"))
            answer = with_unit(answer, "");
    }
    state.mark("answer " + place);
    const bool told = place == "priced_on" && note_of_prices(state, beside);
    if (!told) note_of_answer(state, place, question.help, beside);
    ImGui::PopID();
}

/// "EUR, sizes in mm, 46.00 an hour": what is kept from the last job.
std::string kept_in_words(const NewProject& kept) {
    std::string text = kept.currency + ", sizes in " + kept.length_unit;
    const auto add = [&](const std::string& answer, const std::string& before,
                         const std::string& after) {
        if (!answer.empty()) text += ", " + before + answer + after;
    };
    add(kept.rate, "", " an hour");
    add(kept.helper, "a helper ", "");
    add(kept.tax, "tax ", " %");
    add(kept.kerf, "saw cut ", "");
    add(kept.vehicle, "vehicle ", "");
    return text;
}

/// A word over the questions that follow.
void over_questions(const State& state, const char* words) {
    ImGui::TableNextRow();
    ImGui::TableNextColumn();
    ImGui::Dummy({0, state.theme.px(4)});
    ImGui::PushFont(state.theme.small);
    ink(state.theme, &Palette::quiet, words);
    ImGui::PopFont();
}

void questions(State& state, bool beside) {
    StartState& start = state.start;
    if (!ImGui::BeginTable("questions", beside ? 3 : 2, ImGuiTableFlags_SizingStretchProp)) return;
    ImGui::TableSetupColumn("label", 0, 1);
    ImGui::TableSetupColumn("entry", 0, beside ? 1.6F : 2.4F);
    if (beside) ImGui::TableSetupColumn("help", 0, 2);
    for (const Question& question : job_questions) ask_question(state, question, beside);
    if (!start.known || start.unfold) {
        over_questions(state, start.known ? "AS KEPT" : "ASKED ONCE");
        for (const Question& question : kept_questions) ask_question(state, question, beside);
        label_and_room(state, "Price lists");
        ImGui::InputTextWithHint("##catalogs", "a folder", &start.catalogs);
        state.mark("answer catalogs");
        note_of_answer(state, "catalogs",
                       "the folder that holds suppliers/ of your own; empty: those that are found",
                       beside);
    }
    ImGui::EndTable();
}

void new_job_form(State& state, Intents& intents) {
    const Theme& theme = state.theme;
    StartState& start = state.start;
    section(theme, "A new job");
    if (!start.maker_fault.empty()) ink_wrapped(theme, &Palette::caution, start.maker_fault);
    questions(state, ImGui::GetContentRegionAvail().x >= theme.px(600));
    judge(start);
    if (start.known) {
        ImGui::PushFont(theme.small);
        if (!start.unfold)
            ink_wrapped(theme, &Palette::quiet,
                        "As in your last job: " + kept_in_words(start.answers));
        if (link(state, start.unfold ? "Only the questions of this job" : "Change these",
                 "unfold kept"))
            start.unfold = !start.unfold;
        ImGui::PopFont();
    }
    if (!start.known || start.unfold) {
        ImGui::Checkbox("Keep these answers for the next job", &start.keep);
        state.mark("keep answers");
    }
    ImGui::Spacing();
    const bool reading = state.knowledge == nullptr;
    if (main_action(state, "Begin, and choose a first piece", start.faults.empty() && !reading))
        intents.push_back(BeginJob{as_answered(start),
                                   start.catalogs.empty()
                                       ? std::vector<std::string>{}
                                       : std::vector<std::string>{start.catalogs},
                                   start.keep});
    if (reading || !start.faults.empty()) {
        ImGui::SameLine();
        ImGui::AlignTextToFramePadding();
        ink(theme, reading ? &Palette::quiet : &Palette::problem,
            reading ? "Price lists are being read..." : "Mend what is marked first.");
    }
}

void entry_to_open(State& state, Intents& intents, const StartEntry& entry, const char* what,
                   bool with_folder) {
    const Theme& theme = state.theme;
    const std::string name = entry.file.filename().string();
    const std::string title = entry.title.empty() ? name : entry.title;
    const float room = ImGui::GetContentRegionAvail().x;
    if (link(state, shortened(title, room), std::string(what) + ' ' + name))
        intents.push_back(OpenProject{entry.file});
    ImGui::PushFont(theme.small);
    const std::string where = with_folder ? ", " + entry.file.parent_path().string() : "";
    ink(theme, entry.title.empty() ? &Palette::problem : &Palette::quiet,
        shortened((entry.title.empty() ? "cannot be read: " : "") + name + where, room));
    ImGui::PopFont();
    if (ImGui::IsItemHovered()) ImGui::SetTooltip("%s", entry.file.c_str());
    ImGui::Dummy({0, theme.px(2)});
}

void jobs_to_open(State& state, Intents& intents) {
    const Theme& theme = state.theme;
    section(theme, "Go on with");
    if (state.start.recent.empty())
        ink_wrapped(theme, &Palette::quiet, "Jobs that you have opened will stand here.");
    for (const StartEntry& entry : state.start.recent)
        entry_to_open(state, intents, entry, "recent", true);
    if (action(state, "Open a file...")) intents.push_back(OpenProject{});
    ImGui::Dummy({0, theme.px(10)});
    section(theme, "Look around in");
    ink_wrapped(theme, &Palette::quiet,
                "Two whole jobs to look at and to try things in; suppliers and prices are "
                "invented.");
    ImGui::Dummy({0, theme.px(2)});
    for (const StartEntry& entry : state.start.demonstrations)
        entry_to_open(state, intents, entry, "demonstration", false);
}

/// A cupboard in a wall, in section: what the program is called after.
void emblem(const Theme& theme, ImVec2 corner, float height) {
    ImDrawList& list = *ImGui::GetWindowDrawList();
    const Palette& palette = theme.palette;
    const float width = height * 1.5F;
    const ImVec2 end{corner.x + width, corner.y + height};
    list.AddRectFilled(corner, end, packed(palette.waste));
    hatch(list, corner, end, packed(palette.rule), theme.px(7));
    const float edge = height * 0.2F;
    const ImVec2 niche{corner.x + edge, corner.y + edge * 0.6F};
    const ImVec2 niche_end{end.x - edge, end.y};
    list.AddRectFilled(niche, niche_end, packed(palette.sheet));
    const float board = std::max(2.0F, height * 0.045F);
    const ImU32 wood = packed(palette.wood);
    const ImU32 outline = packed(palette.wood_edge);
    const auto plank = [&](float x0, float y0, float x1, float y1) {
        list.AddRectFilled({x0, y0}, {x1, y1}, wood);
        list.AddRect({x0, y0}, {x1, y1}, outline);
    };
    const float gap = theme.px(2);
    const float left = niche.x + gap;
    const float right = niche_end.x - gap;
    const float top = niche.y + gap;
    plank(left, top, left + board, end.y);
    plank(right - board, top, right, end.y);
    for (const float share : {0.0F, 0.3F, 0.62F, 0.94F}) {
        const float y = top + (end.y - top) * share;
        plank(left + board, y, right - board, y + board);
    }
}

void start_head(State& state, Intents& intents) {
    const Theme& theme = state.theme;
    const ImVec2 corner = ImGui::GetCursorScreenPos();
    const float height = theme.px(64);
    emblem(theme, corner, height);
    ImGui::Dummy({height * 1.5F, height});
    ImGui::SameLine(0, theme.px(18));
    ImGui::BeginGroup();
    ImGui::Dummy({0, theme.px(3)});
    ImGui::PushFont(theme.total);
    ink(theme, &Palette::text, "Aumbry");
    ImGui::PopFont();
    ink(theme, &Palette::quiet, "What it takes, what it costs, when it stands.");
    ImGui::EndGroup();
    if (state.document.value("lines", Json::object()).empty() &&
        written(find_at(state.document, "/priced_on")).empty())
        return;
    const std::string title = "Back to " + written(find_at(state.document, "/title"));
    ImGui::SameLine();
    push_right(title);
    if (link(state, title, "back to the job")) intents.push_back(ShowStart{false});
}

} // namespace

void draw_start(State& state, Intents& intents) {
    const Theme& theme = state.theme;
    ImGui::PushStyleColor(ImGuiCol_ChildBg, vec(theme.palette.ground));
    if (ImGui::BeginChild("start", {0, 0}, false, ImGuiWindowFlags_AlwaysUseWindowPadding)) {
        start_head(state, intents);
        ImGui::Dummy({0, theme.px(10)});
        const ImVec2 room = ImGui::GetContentRegionAvail();
        const bool beside = room.x >= theme.px(860);
        const float others = beside ? std::max(theme.px(300), room.x * 0.32F) : 0;
        const float gap = theme.px(24);
        ImGui::PushStyleColor(ImGuiCol_ChildBg, vec(theme.palette.sheet));
        if (beside) {
            if (ImGui::BeginChild("new job", {room.x - others - gap, room.y}, false,
                                  ImGuiWindowFlags_AlwaysUseWindowPadding))
                new_job_form(state, intents);
            ImGui::EndChild();
            ImGui::SameLine(0, gap);
            if (ImGui::BeginChild("jobs", {0, room.y}, false,
                                  ImGuiWindowFlags_AlwaysUseWindowPadding))
                jobs_to_open(state, intents);
            ImGui::EndChild();
        } else {
            new_job_form(state, intents);
            ImGui::Dummy({0, theme.px(14)});
            jobs_to_open(state, intents);
        }
        ImGui::PopStyleColor();
    }
    ImGui::EndChild();
    ImGui::PopStyleColor();
}

} // namespace aumbry::gui
