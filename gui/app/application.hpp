// The application: a document, what is computed of it, and the views over both. It knows no
// windowing system: the shell gives it a Dear ImGui context and calls `frame`.
#pragma once

#include "app/state.hpp"
#include "session/document.hpp"
#include "session/exports.hpp"
#include "session/worker.hpp"
#include "shell/settings.hpp"
#include "tabs/tabs.hpp"
#include "widgets/dialogs.hpp"

#include <filesystem>
#include <functional>
#include <string>
#include <vector>

namespace aumbry::gui {

struct ApplicationOptions {
    std::vector<std::string> plugins;  ///< folders; empty: those of this program
    std::vector<std::string> catalogs; ///< folders; empty: the nearest above the project
    Settings settings;
};

class Application {
  public:
    /// `wake` is called from another thread when there is something new to draw.
    Application(ApplicationOptions options, std::function<void()> wake);

    /// Opens a project, or says why not and leaves everything as it is.
    void open(const std::filesystem::path& file);
    /// A file was dropped on the window: asks first when something would be lost.
    void drop(const std::filesystem::path& file);
    /// The person wants to leave: asks first when something would be lost.
    void close();

    /// Does what a view asked for. @throws FaultError when an edit leads nowhere.
    void obey(const Intent& intent);

    /// Draws everything into the current context and does what was asked for.
    void frame();

    [[nodiscard]] bool closed() const { return closed_; }
    /// The type scale has to be built anew: text scale or look changed since last asked.
    [[nodiscard]] bool look_changed();
    /// "harbour-loft.aumbry.json*", for the title bar.
    [[nodiscard]] std::string title() const;
    [[nodiscard]] Settings& settings() { return options_.settings; }
    [[nodiscard]] State& state() { return state_; }
    [[nodiscard]] const Document& document() const { return document_; }
    [[nodiscard]] const Worker& worker() const { return worker_; }

  private:
    void take_news();
    void take_document();
    void begin();
    void load_folders();
    void ask(bool after_edit = false);
    [[nodiscard]] bool command_pressed() const;
    void shortcuts();
    void menu_bar();
    void status_bar();
    void content();
    void new_project();
    /// Saves, asking for a name when there is none; `then` follows when it is saved.
    void save(std::function<void()> then = {});
    void save_as(const std::filesystem::path& file, bool overwrite, std::function<void()> then);
    void write_file_out(const std::filesystem::path& file, const std::string& text, bool overwrite);
    void undo();
    /// Back to the base when the alternative worked on is no more.
    void leave_lost_alternative();
    void redo();
    void set_scale(float scale);
    void write_out(const Export& what);
    /// Runs an action now, or after asking when there are unsaved changes.
    void unless_unsaved(const std::string& question, std::function<void()> action);
    void say(const std::string& sentence);
    void apply(const Edit& edit);
    void keep_as_alternative(const std::string& title);
    void adopt(const std::string& alternative);

    ApplicationOptions options_;
    Document document_;
    State state_;
    Dialogs dialogs_;
    std::vector<std::function<void()>> due_; ///< done when what is being typed is taken
    int seen_ = -1;
    bool asked_compare_ = false;
    bool look_changed_ = true;
    bool closed_ = false;
    std::vector<std::filesystem::path> loaded_catalogs_;
    Worker worker_; ///< last: its thread ends before the rest
};

} // namespace aumbry::gui
