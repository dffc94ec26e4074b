#include "app/application.hpp"

#include "views/text_views.hpp"
#include "widgets/keys.hpp"
#include "widgets/widgets.hpp"

#include "aumbry/project.hpp"
#include "aumbry/save_file.hpp"
#include "aumbry/session.hpp"

#include <algorithm>
#include <imgui_internal.h>

namespace aumbry::gui {

namespace {

constexpr View views_in_order[] = {View::bill,         View::parameters, View::cutting,
                                   View::alternatives, View::dates,      View::lift,
                                   View::findings,     View::explain,    View::lists};

/// A view of something that not every job has is there only when the job has it.
bool is_there(View view, const State& state) {
    return view != View::lift ||
           (state.estimate() != nullptr && !state.estimate()->lift_plans.empty());
}

void draw_view(View view, State& state, Intents& intents) {
    switch (view) {
    case View::bill:
        return draw_bill(state, intents);
    case View::parameters:
        return draw_parameters(state, intents);
    case View::cutting:
        return draw_cutting(state, intents);
    case View::alternatives:
        return draw_alternatives(state, intents);
    case View::dates:
        return draw_dates(state, intents);
    case View::lift:
        return draw_lift(state, intents);
    case View::findings:
        return draw_findings(state, intents);
    case View::explain:
        return draw_explain(state, intents);
    case View::lists:
        return draw_lists(state, intents);
    }
}

} // namespace

Application::Application(ApplicationOptions options, std::function<void()> wake)
    : options_(std::move(options)), worker_(wake) {
    state_.wake = std::move(wake);
    take_document();
    load_folders();
    ask();
}

void Application::take_document() {
    ++state_.edition;
    const Json& base = document_.json();
    state_.read_only = document_.read_only();
    if (!state_.alternative.empty()) {
        try {
            Project project;
            project.document = base;
            state_.document = with_alternative(project, state_.alternative).document;
            return;
        } catch (const FaultError& error) {
            say(error.what());
            state_.alternative.clear();
        }
    }
    state_.document = base;
}

void Application::load_folders() {
    const SessionFolders named{{options_.plugins.begin(), options_.plugins.end()},
                               {options_.catalogs.begin(), options_.catalogs.end()}};
    const std::filesystem::path file =
        document_.file().empty() ? std::filesystem::path("project") : document_.file();
    SessionFolders folders;
    try {
        folders = find_folders(file, named);
    } catch (const FaultError& error) {
        // A new project somewhere: reference tables alone, and prices once it is saved near some.
        folders = program_folders();
        if (!named.plugins.empty()) folders.plugins = named.plugins;
        if (!document_.file().empty()) say(error.what());
    }
    if (folders.catalogs == loaded_catalogs_) return;
    loaded_catalogs_ = folders.catalogs;
    state_.catalog_folders = folders.catalogs;
    worker_.load({folders.plugins, folders.catalogs});
}

void Application::ask(bool after_edit) {
    Request request;
    request.revision = state_.edition;
    request.after_edit = after_edit;
    request.text = document_.bytes();
    request.file = document_.file().string();
    request.alternative = state_.alternative;
    request.compare = state_.view == View::alternatives;
    asked_compare_ = request.compare;
    state_.answered = state_.answered && state_.answer.revision == request.revision;
    worker_.ask(std::move(request));
}

void Application::take_news() {
    const int news = worker_.news();
    if (news == seen_) return;
    seen_ = news;
    state_.answer = worker_.answer();
    state_.knowledge = worker_.knowledge();
    state_.doing = worker_.doing();
    state_.trouble = worker_.trouble();
    state_.answered = state_.answer.revision == state_.edition;
    state_.explanation.clear();
    if (state_.explained.empty() || state_.estimate() == nullptr ||
        views::working_of(*state_.estimate(), state_.explained) != nullptr)
        return;
    try {
        (void)views::explanation(*state_.estimate(), state_.explained);
    } catch (const FaultError& error) {
        state_.explanation = error.what();
    }
}

void Application::open(const std::filesystem::path& named) {
    const std::filesystem::path file = named; // it may be the document's own, which goes
    try {
        document_ = Document::open(file);
    } catch (const FaultError& error) {
        say(error.what());
        return;
    }
    note_recent(options_.settings, file);
    begin();
    if (!document_.read_only().empty()) say(document_.read_only());
}

/// Another document: what the views remember of the one before means nothing to it.
void Application::begin() {
    state_.alternative.clear();
    state_.selected.clear();
    state_.explained.clear();
    state_.explanation.clear();
    state_.bill = {};
    state_.parameters = {};
    state_.cutting = {};
    state_.alternatives = {};
    state_.dates = {};
    state_.lift = {};
    state_.explain = {};
    state_.typing.clear();
    take_document();
    load_folders();
    ask();
}

void Application::new_project() {
    document_ = Document();
    begin();
}

void Application::drop(const std::filesystem::path& file) {
    due_.push_back([this, file] {
        unless_unsaved("Open " + file.filename().string() + "?", [this, file] { open(file); });
    });
}

void Application::close() {
    due_.push_back([this] { unless_unsaved("Leave?", [this] { closed_ = true; }); });
}

void Application::unless_unsaved(const std::string& question, std::function<void()> action) {
    if (!document_.unsaved()) {
        action();
        return;
    }
    dialogs_.ask(question + " The changes since the last saving would be lost.",
                 {{"Save first", [this, action] { save(action); }},
                  {"Lose them", action},
                  {"Stay here", {}}});
}

void Application::say(const std::string& sentence) {
    dialogs_.ask(sentence, {{"Understood", {}}});
}

void Application::save(std::function<void()> then) {
    if (document_.file().empty()) {
        const std::string proposed =
            new_id(Json::object(), "", written(find_at(document_.json(), "/title"))) +
            ".aumbry.json";
        dialogs_.ask_save(
            "Save the project", ".", proposed, ".aumbry.json",
            [this, then](const std::filesystem::path& file) { save_as(file, false, then); });
        return;
    }
    const auto save_now = [this, then](bool overwrite) {
        document_.save(overwrite);
        if (then) then();
    };
    try {
        save_now(false);
    } catch (const FaultError& error) {
        if (error.faults().front().code != "changed-meanwhile") {
            say(error.what());
            return;
        }
        dialogs_.ask(error.faults().front().sentence() + ".",
                     {{"Overwrite",
                       [this, save_now] {
                           try {
                               save_now(true);
                           } catch (const FaultError& again) {
                               say(again.what());
                           }
                       }},
                      {"Read it anew", [this] { open(document_.file()); }},
                      {"Leave it", {}}});
    }
}

void Application::save_as(const std::filesystem::path& file, bool overwrite,
                          std::function<void()> then) {
    std::error_code error;
    if (!overwrite && std::filesystem::exists(file, error)) {
        dialogs_.ask(
            file.filename().string() + " is there already.",
            {{"Overwrite", [this, file, then] { save_as(file, true, then); }}, {"Leave it", {}}});
        return;
    }
    try {
        document_.save_as(file);
    } catch (const FaultError& fault) {
        say(fault.what());
        return;
    }
    note_recent(options_.settings, file);
    take_document(); // other price lists may be near
    load_folders();
    ask();
    if (then) then();
}

void Application::leave_lost_alternative() {
    if (find_at(document_.json(), pointer_to("/alternatives", state_.alternative)) == nullptr)
        state_.alternative.clear();
}

void Application::undo() {
    document_.undo();
    leave_lost_alternative();
    take_document();
    ask(true);
}

void Application::redo() {
    document_.redo();
    leave_lost_alternative();
    take_document();
    ask(true);
}

void Application::set_scale(float scale) {
    options_.settings.text_scale = std::clamp(scale, 0.75F, 3.0F);
    look_changed_ = true;
}

bool Application::look_changed() {
    const bool changed = look_changed_;
    look_changed_ = false;
    return changed;
}

std::string Application::title() const {
    const std::string name =
        document_.file().empty() ? "New project" : document_.file().filename().string();
    return name + (document_.unsaved() ? " (unsaved)" : "") + " - Aumbry";
}

void Application::apply(const Edit& edit) {
    if (!document_.read_only().empty()) {
        say(document_.read_only());
        return;
    }
    if (state_.alternative.empty()) {
        document_.apply(edit);
    } else {
        // What is worked on is the base with changes: the edit becomes a further change.
        const Json difference = merge_difference(state_.document, edited(state_.document, edit));
        if (difference.is_null()) return;
        const std::string pointer = pointer_to("/alternatives", state_.alternative) + "/changes";
        const Json* before = find_at(document_.json(), pointer);
        document_.apply(
            {edit.label,
             {{pointer,
               changed_further(document_.json(), before ? *before : Json::object(), difference),
               ""}}});
    }
    take_document();
    ask(true);
}

void Application::keep_as_alternative(const std::string& title) {
    // The edits since the last saving become an alternative; the base goes back to what is saved.
    if (document_.file().empty()) {
        say("Save the project first: an alternative is what differs from the project as saved");
        return;
    }
    const Json difference = merge_difference(document_.saved(), document_.json());
    if (!state_.alternative.empty() || difference.is_null()) {
        say("There is no unsaved edit of the base to keep: change something first, or work on an "
            "alternative");
        return;
    }
    for (const char* fixed : {"aumbry", "currency", "alternatives"}) {
        if (difference.contains(fixed)) {
            say(std::string("An alternative cannot change '") + fixed +
                "': save or undo that edit first");
            return;
        }
    }
    const std::string id = new_id(document_.json(), "alternatives", title);
    Json json = document_.saved();
    Json& alternatives = json["alternatives"];
    if (alternatives.is_null()) alternatives = Json::object();
    alternatives[id] = Json{{"title", title}, {"changes", difference}};
    document_.replace(std::move(json), "Keep as alternative " + title);
    state_.alternative = id;
    take_document();
    ask();
}

void Application::adopt(const std::string& alternative) {
    try {
        Project project;
        project.document = document_.json();
        Json json = with_alternative(project, alternative).document;
        const std::string title =
            written(find_at(json, pointer_to("/alternatives", alternative) + "/title"));
        json["alternatives"].erase(alternative);
        if (json["alternatives"].empty()) json.erase("alternatives");
        state_.alternative.clear();
        document_.replace(std::move(json), "Adopt " + (title.empty() ? alternative : title));
    } catch (const FaultError& error) {
        say(error.what());
    }
    take_document();
    ask();
}

void Application::obey(const Intent& intent) {
    if (const auto* edit = std::get_if<ApplyEdit>(&intent)) {
        apply(edit->edit);
    } else if (const auto* line = std::get_if<SelectLine>(&intent)) {
        state_.selected = line->line;
        if (line->go_there) {
            state_.view = View::bill;
            state_.view_changed = true;
            state_.bill.cursor.line = line->line;
            state_.bill.follow_cursor = true;
        }
    } else if (const auto* figure = std::get_if<ExplainFigure>(&intent)) {
        state_.explained = figure->reference;
        state_.explain_entry = figure->reference;
        state_.view = View::explain;
        state_.view_changed = true;
        seen_ = -1; // the text is made anew
    } else if (const auto* work = std::get_if<WorkOn>(&intent)) {
        state_.alternative = work->alternative;
        take_document();
        ask();
    } else if (const auto* keep = std::get_if<KeepAsAlternative>(&intent)) {
        keep_as_alternative(keep->title);
    } else if (const auto* taken = std::get_if<AdoptAlternative>(&intent)) {
        adopt(taken->alternative);
    } else if (const auto* show = std::get_if<ShowView>(&intent)) {
        state_.view = show->view;
        state_.view_changed = true;
    } else if (const auto* file = std::get_if<AskForFile>(&intent)) {
        const std::filesystem::path folder = document_.file().parent_path();
        if (file->writing) {
            dialogs_.ask_save(file->title, folder, file->name, file->ending, file->then);
        } else {
            dialogs_.ask_file(file->title, folder, file->ending, file->then);
        }
    } else if (std::holds_alternative<ReadListsAnew>(intent)) {
        loaded_catalogs_.clear();
        load_folders();
        ask();
    }
}

void Application::write_out(const Export& what) {
    const Estimate* estimate = state_.estimate();
    const Comparison* comparison = state_.answer.comparison.get();
    if (estimate == nullptr) {
        say("There is no estimate to write out yet");
        return;
    }
    if (what.needs_comparison && comparison == nullptr) {
        say("The alternatives are not compared yet: open that view first");
        return;
    }
    try {
        const std::string bytes = bytes_of(what, *estimate, comparison);
        const std::filesystem::path name = what.file;
        dialogs_.ask_save("Write out", document_.file().parent_path(), name.string(),
                          name.extension().string(),
                          [this, bytes](const std::filesystem::path& file) {
                              write_file_out(file, bytes, false);
                          });
    } catch (const FaultError& fault) {
        say(fault.what());
    }
}

void Application::write_file_out(const std::filesystem::path& file, const std::string& text,
                                 bool overwrite) {
    std::error_code error;
    if (!overwrite && std::filesystem::exists(file, error)) {
        dialogs_.ask(file.filename().string() + " is there already.",
                     {{"Overwrite", [this, file, text] { write_file_out(file, text, true); }},
                      {"Leave it", {}}});
        return;
    }
    try {
        save_file(file, text);
    } catch (const FaultError& fault) {
        say(fault.what());
    }
}

bool Application::command_pressed() const {
    if (dialogs_.open()) return false;
    const std::string keys = "SONQ=-012345678";
    return std::any_of(keys.begin(), keys.end(),
                       [](char key) { return pressed_with_control(key); });
}

void Application::shortcuts() {
    if (dialogs_.open()) return;
    if (pressed_with_control('S')) save();
    if (pressed_with_control('O')) {
        dialogs_.ask_open(document_.file().parent_path(),
                          [this](const std::filesystem::path& file) { drop(file); });
    }
    if (pressed_with_control('N'))
        unless_unsaved("Begin a new project?", [this] { new_project(); });
    if (pressed_with_control('Q')) close();
    if (pressed_with_control('=')) set_scale(options_.settings.text_scale + 0.125F);
    if (pressed_with_control('-')) set_scale(options_.settings.text_scale - 0.125F);
    if (pressed_with_control('0')) set_scale(1);
    for (int i = 0; i < view_count; ++i) {
        if (is_there(views_in_order[i], state_) &&
            pressed_with_control(static_cast<char>('1' + i))) {
            state_.view = views_in_order[i];
            state_.view_changed = true;
        }
    }
    // While a text is being typed, undo is that field's own.
    if (ImGui::GetIO().WantTextInput) return;
    if (pressed_with_control('Z')) undo();
    if (pressed_with_control('Y') || pressed_with_control('Z', true)) redo();
}

void Application::menu_bar() {
    if (!ImGui::BeginMenuBar()) return;
    if (ImGui::BeginMenu("Project")) {
        if (ImGui::MenuItem("New", "Ctrl+N"))
            unless_unsaved("Begin a new project?", [this] { new_project(); });
        if (ImGui::MenuItem("Open...", "Ctrl+O")) {
            dialogs_.ask_open(document_.file().parent_path(),
                              [this](const std::filesystem::path& file) { drop(file); });
        }
        if (ImGui::BeginMenu("Open again", !options_.settings.recent.empty())) {
            const std::vector<std::string> recent = options_.settings.recent;
            for (const std::string& file : recent) {
                if (ImGui::MenuItem(file.c_str())) drop(file);
            }
            ImGui::EndMenu();
        }
        ImGui::Separator();
        if (ImGui::MenuItem("Save", "Ctrl+S", false, document_.read_only().empty())) save();
        const bool elsewhere = ImGui::MenuItem("Save under another name...", nullptr, false,
                                               document_.read_only().empty());
        state_.mark("item Save under another name");
        if (elsewhere) {
            dialogs_.ask_save(
                "Save under another name", document_.file().parent_path(),
                document_.file().filename().string(), ".aumbry.json",
                [this](const std::filesystem::path& file) { save_as(file, false, {}); });
        }
        const bool writing = ImGui::BeginMenu("Write out");
        state_.mark("menu Write out");
        if (writing) {
            for (const Export& what : exports()) {
                if (ImGui::MenuItem((std::string(what.title) + "...").c_str())) write_out(what);
                state_.mark(std::string("item ") + what.title);
            }
            ImGui::EndMenu();
        }
        ImGui::Separator();
        if (ImGui::MenuItem("Leave", "Ctrl+Q")) close();
        ImGui::EndMenu();
    }
    state_.mark("menu Project");
    if (ImGui::BeginMenu("Change")) {
        const std::string undo_title =
            document_.can_undo() ? "Undo: " + document_.undo_label() : "Undo";
        const std::string redo_title =
            document_.can_redo() ? "Redo: " + document_.redo_label() : "Redo";
        if (ImGui::MenuItem((undo_title + "###undo").c_str(), "Ctrl+Z", false,
                            document_.can_undo()))
            undo();
        if (ImGui::MenuItem((redo_title + "###redo").c_str(), "Ctrl+Y", false,
                            document_.can_redo()))
            redo();
        ImGui::EndMenu();
    }
    state_.mark("menu Change");
    if (ImGui::BeginMenu("Show")) {
        for (int i = 0; i < view_count; ++i) {
            const std::string key = "Ctrl+" + std::to_string(i + 1);
            if (ImGui::MenuItem(title_of(views_in_order[i]), key.c_str(),
                                state_.view == views_in_order[i],
                                is_there(views_in_order[i], state_))) {
                state_.view = views_in_order[i];
                state_.view_changed = true;
            }
        }
        ImGui::Separator();
        if (ImGui::MenuItem("Larger text", "Ctrl+="))
            set_scale(options_.settings.text_scale + 0.125F);
        if (ImGui::MenuItem("Smaller text", "Ctrl+-"))
            set_scale(options_.settings.text_scale - 0.125F);
        if (ImGui::MenuItem("Text as it was", "Ctrl+0")) set_scale(1);
        if (ImGui::MenuItem("Dark", nullptr, options_.settings.dark)) {
            options_.settings.dark = !options_.settings.dark;
            look_changed_ = true;
        }
        ImGui::EndMenu();
    }
    state_.mark("menu Show");
    // What is worked on, always in sight.
    const std::string name = written(find_at(document_.json(), "/title"));
    std::string working = name + (document_.unsaved() ? "  (unsaved)" : "");
    if (!state_.alternative.empty()) {
        working += "  |  working on: " +
                   written(find_at(document_.json(),
                                   pointer_to("/alternatives", state_.alternative) + "/title"));
    }
    const float width = ImGui::CalcTextSize(working.c_str()).x + state_.theme.px(14);
    ImGui::SetCursorPosX(
        std::max(ImGui::GetCursorPosX() + state_.theme.px(20), ImGui::GetWindowWidth() - width));
    ink(state_.theme, &Palette::quiet, working);
    ImGui::EndMenuBar();
}

void Application::status_bar() {
    const Theme& theme = state_.theme;
    ImGui::PushFont(theme.small);
    if (!state_.trouble.empty()) {
        ink_wrapped(theme, &Palette::problem, state_.trouble);
    } else if (!state_.doing.empty()) {
        ink(theme, &Palette::quiet, state_.doing + "...");
        ImGui::SameLine();
        if (link(state_, "Stop", "stop working")) worker_.cancel();
    } else if (state_.estimate() != nullptr && state_.answered) {
        const Estimate& estimate = *state_.estimate();
        std::string text =
            "Priced for " + format_date(estimate.priced_on) + ", effort " + estimate.effort;
        if (estimate.purchase_proven) text += "; no cheaper purchase exists among the prices known";
        if (!document_.read_only().empty()) text = "Read only: " + document_.read_only();
        ink(theme, &Palette::quiet, text);
    } else {
        ink(theme, &Palette::quiet, document_.file().string());
    }
    ImGui::PopFont();
}

void Application::content() {
    const Theme& theme = state_.theme;
    Intents intents;
    state_.help = nullptr;
    draw_answer(state_, intents);
    const float status = theme.small != nullptr ? theme.small->FontSize + theme.px(14) : 28;
    if (ImGui::BeginTabBar("views", ImGuiTabBarFlags_FittingPolicyScroll)) {
        for (const View view : views_in_order) {
            if (!is_there(view, state_)) continue;
            std::string title = title_of(view);
            if (view == View::findings && state_.estimate() != nullptr) {
                const auto problems = std::count_if(
                    state_.estimate()->findings.begin(), state_.estimate()->findings.end(),
                    [](const EstimateFinding& finding) {
                        return finding.severity == contract::Severity::problem;
                    });
                if (problems > 0) title += " (" + std::to_string(problems) + ")";
            }
            title += std::string("###") + title_of(view);
            const ImGuiTabItemFlags flags = state_.view_changed && state_.view == view
                                                ? ImGuiTabItemFlags_SetSelected
                                                : ImGuiTabItemFlags_None;
            const bool shown = ImGui::BeginTabItem(title.c_str(), nullptr, flags);
            state_.mark(std::string("tab ") + title_of(view));
            if (!shown) continue;
            if (!state_.view_changed) state_.view = view;
            if (ImGui::BeginChild(title_of(view), {0, -status}, false,
                                  ImGuiWindowFlags_AlwaysUseWindowPadding)) {
                draw_view(view, state_, intents);
            }
            ImGui::EndChild();
            ImGui::EndTabItem();
        }
        ImGui::EndTabBar();
        state_.view_changed = false;
    }
    status_bar();
    for (const Intent& intent : intents) {
        try {
            obey(intent);
        } catch (const FaultError& error) {
            say(error.what());
        }
    }
    if (state_.view == View::alternatives && !asked_compare_) ask();
}

void Application::frame() {
    take_news();
    // A command comes after what is being typed: the field is left, and takes its text.
    const bool leave_field = command_pressed() || !due_.empty();
    if (leave_field) ImGui::ClearActiveID();
    const ImGuiViewport& viewport = *ImGui::GetMainViewport();
    ImGui::SetNextWindowPos(viewport.Pos);
    ImGui::SetNextWindowSize(viewport.Size);
    ImGui::Begin("Aumbry", nullptr,
                 ImGuiWindowFlags_NoDecoration | ImGuiWindowFlags_NoMove |
                     ImGuiWindowFlags_NoSavedSettings | ImGuiWindowFlags_MenuBar |
                     ImGuiWindowFlags_NoBringToFrontOnFocus);
    menu_bar();
    content();
    shortcuts();
    std::vector<std::function<void()>> due;
    due.swap(due_);
    for (const auto& action : due) action();
    dialogs_.draw(state_);
    ImGui::End();
}

} // namespace aumbry::gui
