// The application: a job, what is computed of it, and the views over both. It knows no windowing
// system: the shell gives it a Dear ImGui context and calls `frame`.
#pragma once

#include "app/state.hpp"
#include "session/exports.hpp"
#include "session/job.hpp"
#include "session/journal.hpp"
#include "session/worker.hpp"
#include "shell/settings.hpp"
#include "tabs/tabs.hpp"
#include "widgets/dialogs.hpp"

#include "aumbry/session.hpp"

#include <filesystem>
#include <functional>
#include <string>
#include <vector>

namespace aumbry::gui {

struct ApplicationOptions {
    std::vector<std::string> plugins;   ///< folders; empty: those of this program
    std::vector<std::string> catalogs;  ///< folders; empty: the nearest above the project
    std::filesystem::path state_folder; ///< of journals that cannot stand beside a project
    std::filesystem::path maker_file;   ///< the maker's own answers; empty: none are kept
    std::string today;                  ///< "2027-03-01"; empty: as the clock says
    std::string effort = "normal";      ///< that estimates are refined with; "draft": not at all
    Settings settings;
};

class Application {
  public:
    /// `wake` is called from another thread when there is something new to draw.
    Application(ApplicationOptions options, std::function<void()> wake);

    /// Opens a project, or says why not and leaves everything as it is. Unsaved edits of it that a
    /// kill left behind are offered.
    void open(const std::filesystem::path& file);
    /// Started without a project: unsaved edits that a kill left behind are offered, of projects
    /// without a file and of those last opened.
    void offer_unsaved();
    /// A file was dropped on the window: asks first when something would be lost.
    void drop(const std::filesystem::path& file);
    /// The person wants to leave: asks first when something would be lost.
    void close();

    /// Does what a view asked for. @throws FaultError when it leads nowhere.
    void obey(const Intent& intent);

    /// Draws everything into the current context and does what was asked for. Never throws: what
    /// fails is told in its place.
    void frame();

    [[nodiscard]] bool closed() const { return closed_; }
    /// The type scale has to be built anew: text scale or look changed since last asked.
    [[nodiscard]] bool look_changed();
    /// "harbour-loft.aumbry.json (unsaved) - Aumbry", for the title bar.
    [[nodiscard]] std::string title() const { return job_.name() + " - Aumbry"; }
    [[nodiscard]] Settings& settings() { return options_.settings; }
    [[nodiscard]] State& state() { return state_; }
    [[nodiscard]] const Document& document() const { return job_.document(); }
    [[nodiscard]] const Worker& worker() const { return worker_; }
    [[nodiscard]] Journal& journal() { return journal_; }

  private:
    // application.cpp
    void take_news();
    void keep_up();
    void forget_views();
    void load_folders();
    [[nodiscard]] SessionFolders named_folders() const;
    void try_piece(const TryPiece& piece);
    void ask();
    void view_tabs(Intents& intents);
    void content();
    void attempt(const std::function<void()>& action);
    void say(const std::string& sentence);
    void show(View view);
    void select(const SelectLine& line);

    // menus.cpp
    [[nodiscard]] bool command_pressed() const;
    void shortcuts();
    void menu_bar();
    void project_menu();
    void edit_menu();
    void view_menu();
    void status_bar();
    void set_scale(float scale);

    // start.cpp
    void show_start();
    void begin_job(const BeginJob& begun);

    // files.cpp
    void ask_to_open();
    void restore(FoundJournal found);
    bool offer(std::vector<FoundJournal> found, std::function<void()> next);
    void offer_recent(std::size_t first);
    /// Saves, asking for a name when there is none; `then` follows when it is saved.
    void save(std::function<void()> then = {});
    void save_as(const std::filesystem::path& file, bool overwrite, std::function<void()> then);
    void ask_save_as();
    void write_out(const Export& what);
    void write_file_out(const std::filesystem::path& file, const std::string& text, bool overwrite);
    /// Runs an action now, or after asking when there are unsaved changes.
    void unless_unsaved(const std::string& question, std::function<void()> action);

    ApplicationOptions options_;
    Job job_;
    Journal journal_;
    State state_;
    Dialogs dialogs_;
    std::vector<std::function<void()>> due_; ///< done when what is being typed is taken
    int seen_ = -1;
    int shown_ = -1;             ///< edition of the job that the state shows
    bool journal_noted_ = false; ///< there is something in the journal
    bool asked_compare_ = false;
    bool look_changed_ = true;
    bool closed_ = false;
    std::vector<std::filesystem::path> loaded_catalogs_;
    std::vector<std::filesystem::path> loaded_pieces_;
    Worker worker_; ///< last: its thread ends before the rest
};

/// The views in the order of their tabs.
inline constexpr View views_in_order[] = {View::bill,         View::parameters, View::cutting,
                                          View::alternatives, View::dates,      View::lift,
                                          View::findings,     View::explain,    View::lists};
/// A view of something that not every job has is there only when the job has it.
[[nodiscard]] bool is_there(View view, const State& state);

} // namespace aumbry::gui
