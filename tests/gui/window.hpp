// The window without a window: a Dear ImGui context without a graphics card, clicks and typing
// through its io, and what it shows as text.
#pragma once

#include "app/application.hpp"

#include <filesystem>
#include <map>
#include <memory>
#include <string>

namespace aumbry::gui::test {

/// A folder that goes with the test.
class Folder {
  public:
    Folder();
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    ~Folder();
    [[nodiscard]] const std::filesystem::path& path() const { return path_; }
    /// A copy of a demonstration project in the folder.
    [[nodiscard]] std::filesystem::path copy_of(const std::string& project) const;

  private:
    std::filesystem::path path_;
};

/// Where the tests run as root, a user without rights for a while.
class Nobody {
  public:
    Nobody();
    Nobody(const Nobody&) = delete;
    Nobody& operator=(const Nobody&) = delete;
    ~Nobody();

  private:
    bool root_;
};

void write_text(const std::filesystem::path& file, const std::string& text);

class Window {
  public:
    /// `catalogs`: the folder that holds the suppliers; `journals`: where those stand that cannot
    /// stand beside their project; empty: a folder that goes with the window. What a click does
    /// shows in drafts as well; `effort` asks for more.
    explicit Window(ImVec2 size = {1280, 800}, const std::string& catalogs = AUMBRY_CATALOGS,
                    std::filesystem::path journals = {}, std::string effort = "draft");
    Window(const Window&) = delete;
    Window& operator=(const Window&) = delete;
    ~Window();

    [[nodiscard]] Application& application() { return *application_; }
    [[nodiscard]] State& state() { return application_->state(); }
    /// The total as it stands in the answer.
    [[nodiscard]] std::string total();

    /// Draws that many frames.
    void frames(int count = 1);
    /// Waits until the estimate of the document as it is has been refined, or the document is found
    /// at fault; draws when there is something new, as the shell does. Fails the test after a
    /// minute.
    void wait();
    /// Waits until the piece that is chosen in the library has been tried in the job as the form
    /// says.
    void wait_for_trial();
    /// Takes what a field holds away and types something else.
    void write_over(const std::string& place, const std::string& text);
    [[nodiscard]] const std::string& clipboard() const { return clipboard_; }
    void set_clipboard(std::string text) { clipboard_ = std::move(text); }
    /// Waits until the alternatives of the document as it is stand side by side.
    void wait_for_comparison();
    void open(const std::filesystem::path& file);
    /// It ends without being asked, as by a kill; what it had noted is on the disk.
    void kill() { application_.reset(); }

    /// Whether something of that name is in sight, as the views mark it.
    [[nodiscard]] bool shows(const std::string& place);
    /// Clicks in the middle of what has that name.
    void click(const std::string& place, bool control = false, bool shift = false);
    void double_click(const std::string& place);
    void press(ImGuiKey key, bool control = false, bool shift = false);
    void press(char key, bool control = false, bool shift = false);
    void type(const std::string& text);

    /// Everything shown, as text, with what is scrolled out of sight.
    [[nodiscard]] std::string text();

  private:
    void begin();
    void set_modifiers(bool control, bool shift);
    void key_down(int key, bool down);

    Folder journals_;
    std::map<std::string, ImVec4> places_;
    std::string clipboard_;
    std::unique_ptr<Application> application_;
};

/// Compares a text with the one kept under tests/gui/expected. With the environment variable
/// UPDATE_EXPECTED=1 the kept one is written anew instead.
void expect_kept(const std::string& name, const std::string& text);

} // namespace aumbry::gui::test
