#include "app/application.hpp"

#include "views/text_views.hpp"
#include "widgets/net.hpp"
#include "widgets/widgets.hpp"

#include "aumbry/project.hpp"

#include <algorithm>
#include <imgui_internal.h>

namespace aumbry::gui {

namespace {

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

/// The title of a tab, with how much it holds that matters.
std::string tab_title(View view, const State& state) {
    std::string title = title_of(view);
    if (view == View::findings && state.estimate() != nullptr) {
        const auto& findings = state.estimate()->findings;
        const auto problems =
            std::count_if(findings.begin(), findings.end(), [](const EstimateFinding& finding) {
                return finding.severity == contract::Severity::problem;
            });
        if (problems > 0) title += " (" + std::to_string(problems) + ")";
    }
    return title + "###" + title_of(view);
}

} // namespace

bool is_there(View view, const State& state) {
    return view != View::lift ||
           (state.estimate() != nullptr && !state.estimate()->lift_plans.empty());
}

Application::Application(ApplicationOptions options, std::function<void()> wake)
    : options_(std::move(options)), journal_(options_.state_folder),
      worker_(wake, options_.effort) {
    state_.wake = std::move(wake);
    forget_views();
    show_start();
}

void Application::attempt(const std::function<void()>& action) {
    try {
        action();
    } catch (const std::exception& error) {
        say(error.what());
    }
}

void Application::say(const std::string& sentence) {
    dialogs_.ask(sentence, {{"OK", {}}});
}

/// Another document: what the views remember of the one before means nothing to it.
void Application::forget_views() {
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
    state_.library = {};
    state_.new_material = {};
    state_.what_if = {};
    state_.typing.clear();
    load_folders();
    keep_up();
}

SessionFolders Application::named_folders() const {
    return {{options_.plugins.begin(), options_.plugins.end()},
            {options_.catalogs.begin(), options_.catalogs.end()}};
}

void Application::load_folders() {
    const SessionFolders named = named_folders();
    const std::filesystem::path file =
        document().file().empty() ? std::filesystem::path("project") : document().file();
    SessionFolders folders;
    std::vector<std::filesystem::path> pieces;
    try {
        folders = find_folders(file, named);
        pieces = piece_folders(file, named);
    } catch (const FaultError& error) {
        // A new project somewhere: reference tables alone, and prices once it is saved near some.
        folders = program_folders();
        pieces = folders.catalogs;
        if (!named.plugins.empty()) folders.plugins = named.plugins;
        if (!document().file().empty()) say(error.what());
    }
    if (folders.catalogs == loaded_catalogs_ && pieces == loaded_pieces_) return;
    loaded_catalogs_ = folders.catalogs;
    loaded_pieces_ = pieces;
    state_.catalog_folders = folders.catalogs;
    worker_.load(std::move(folders), std::move(pieces));
}

/// The job became another since it was last looked at: it is shown and priced. What is unsaved is
/// kept in the journal.
void Application::keep_up() {
    const bool changed = shown_ != job_.edition();
    if (document().unsaved() && changed) {
        std::error_code error;
        std::filesystem::path file = document().file();
        if (!file.empty()) file = std::filesystem::absolute(file, error).lexically_normal();
        journal_.note({std::move(file), document().bytes_on_disk(), job_.alternative(),
                       document().snapshot()});
        journal_noted_ = true;
    } else if (!document().unsaved() && journal_noted_) {
        journal_.clear();
        journal_noted_ = false;
    }
    if (!changed) return;
    shown_ = job_.edition();
    state_.edition = job_.edition();
    state_.document = job_.worked();
    state_.alternative = job_.alternative();
    state_.read_only = document().read_only();
    ask();
}

void Application::ask() {
    Request request;
    request.revision = state_.edition;
    request.after_edit = job_.after_edit();
    request.text = document().bytes();
    request.file = document().file().string();
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
    state_.trial = worker_.trial();
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

bool Application::look_changed() {
    return std::exchange(look_changed_, false);
}

void Application::show(View view) {
    state_.start.shown = false;
    state_.view = view;
    state_.view_changed = true;
}

void Application::select(const SelectLine& line) {
    state_.selected = line.line;
    if (!line.go_there) return;
    show(View::bill);
    state_.bill.cursor.line = line.line;
    state_.bill.follow_cursor = true;
}

void Application::obey(const Intent& intent) {
    if (const auto* edit = std::get_if<ApplyEdit>(&intent)) {
        if (!document().read_only().empty()) return say(document().read_only());
        job_.apply(edit->edit);
    } else if (const auto* line = std::get_if<SelectLine>(&intent)) {
        select(*line);
    } else if (const auto* figure = std::get_if<ExplainFigure>(&intent)) {
        state_.explained = figure->reference;
        state_.explain_entry = figure->reference;
        show(View::explain);
        seen_ = -1; // the text is made anew
    } else if (const auto* work = std::get_if<WorkOn>(&intent)) {
        job_.work_on(work->alternative);
    } else if (const auto* keep = std::get_if<KeepAsAlternative>(&intent)) {
        job_.keep_as_alternative(keep->title);
    } else if (const auto* taken = std::get_if<AdoptAlternative>(&intent)) {
        job_.adopt(taken->alternative);
    } else if (const auto* view = std::get_if<ShowView>(&intent)) {
        show(view->view);
    } else if (const auto* file = std::get_if<AskForFile>(&intent)) {
        const std::filesystem::path folder = document().file().parent_path();
        if (file->writing) {
            dialogs_.ask_save(file->title, folder, file->name, file->ending, file->then);
        } else {
            dialogs_.ask_file(file->title, folder, file->ending, file->then);
        }
    } else if (std::holds_alternative<ReadListsAnew>(intent)) {
        loaded_catalogs_.clear();
        load_folders();
        ask();
    } else if (const auto* made = std::get_if<MakeAlternative>(&intent)) {
        job_.make_alternative(made->title, made->edit);
    } else if (const auto* begun = std::get_if<BeginJob>(&intent)) {
        begin_job(*begun);
    } else if (const auto* start = std::get_if<ShowStart>(&intent)) {
        if (start->shown) {
            show_start();
        } else {
            state_.start.shown = false;
        }
    } else if (const auto* project = std::get_if<OpenProject>(&intent)) {
        if (project->file.empty()) {
            ask_to_open();
        } else {
            drop(project->file);
        }
    } else if (const auto* told = std::get_if<Tell>(&intent)) {
        say(told->sentence);
    } else if (const auto* piece = std::get_if<TryPiece>(&intent)) {
        try_piece(*piece);
    } else if (const auto* whole = std::get_if<PutDocument>(&intent)) {
        if (!document().read_only().empty()) return say(document().read_only());
        job_.become(whole->document, whole->label);
    }
}

void Application::try_piece(const TryPiece& piece) {
    if (state_.knowledge == nullptr) return;
    Trial trial;
    trial.number = piece.number;
    Json worked = job_.worked();
    worked.erase("alternatives"); // a draft of the job alone
    trial.text = pretty(worked);
    trial.file = document().file().string();
    trial.piece = state_.knowledge->library.find(piece.name);
    trial.wanted = piece.wanted;
    worker_.ask(std::move(trial));
}

void Application::view_tabs(Intents& intents) {
    if (!ImGui::BeginTabBar("views", ImGuiTabBarFlags_FittingPolicyScroll)) return;
    const Theme& theme = state_.theme;
    const float status = theme.small != nullptr ? theme.small->FontSize + theme.px(14) : 28;
    const View before = state_.view;
    const bool asked_for = state_.view_changed;
    for (const View view : views_in_order) {
        if (!is_there(view, state_)) continue;
        const bool forward = state_.view_changed && state_.view == view;
        const bool shown =
            ImGui::BeginTabItem(tab_title(view, state_).c_str(), nullptr,
                                forward ? ImGuiTabItemFlags_SetSelected : ImGuiTabItemFlags_None);
        state_.mark(std::string("tab ") + title_of(view));
        if (!shown) continue;
        if (!state_.view_changed) state_.view = view;
        if (ImGui::BeginChild(title_of(view), {0, -status}, false,
                              ImGuiWindowFlags_AlwaysUseWindowPadding))
            draw_over_net(state_, title_of(view), [&] { draw_view(view, state_, intents); });
        ImGui::EndChild();
        ImGui::EndTabItem();
    }
    ImGui::EndTabBar();
    state_.view_changed = false;
    // Looked at anew, a view is tried anew.
    if (state_.view != before || asked_for) state_.failures.clear();
}

void Application::content() {
    Intents intents;
    state_.help = nullptr;
    if (state_.start.shown) {
        draw_over_net(state_, "The start page", [&] { draw_start(state_, intents); });
        for (const Intent& intent : intents) attempt([&] { obey(intent); });
        return;
    }
    draw_over_net(state_, "The answer", [&] { draw_answer(state_, intents); });
    const std::string reason = drawn_or_reason([&] { view_tabs(intents); });
    if (!reason.empty()) say(reason);
    draw_over_net(state_, "The status", [&] { status_bar(); });
    for (const Intent& intent : intents) attempt([&] { obey(intent); });
    if (state_.view == View::alternatives && !asked_compare_) ask();
}

void Application::frame() {
    attempt([&] { take_news(); });
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
    attempt([&] { shortcuts(); });
    std::vector<std::function<void()>> due;
    due.swap(due_);
    for (const auto& action : due) attempt(action);
    attempt([&] { keep_up(); });
    const std::string reason = drawn_or_reason([&] { dialogs_.draw(state_); });
    if (!reason.empty()) {
        dialogs_.end();
        say(reason);
    }
    ImGui::End();
}

} // namespace aumbry::gui
