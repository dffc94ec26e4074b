// Questions that wait for an answer: a file to open or to write, what to do with unsaved changes, a
// sentence to take note of.
#pragma once

#include "app/state.hpp"

#include <deque>
#include <filesystem>
#include <functional>
#include <string>
#include <vector>

namespace aumbry::gui {

class Dialogs {
  public:
    struct Choice {
        std::string label;
        std::function<void()> action; ///< may be empty: nothing happens
    };

    /// Asks for a file that is there.
    void ask_open(const std::filesystem::path& folder,
                  std::function<void(const std::filesystem::path&)> then);
    /// Asks for a file that is there, of any ending or of one.
    void ask_file(const std::string& title, const std::filesystem::path& folder,
                  const std::string& ending,
                  std::function<void(const std::filesystem::path&)> then);
    /// Asks for a file to write; `name` is proposed, and `ending` is shown in the list.
    void ask_save(const std::string& title, const std::filesystem::path& folder,
                  const std::string& name, const std::string& ending,
                  std::function<void(const std::filesystem::path&)> then);
    /// Asks a question, after what is asked already. The last choice is taken with Escape.
    void ask(const std::string& question, std::vector<Choice> choices);

    [[nodiscard]] bool open() const { return kind_ != Kind::none; }
    /// Draws what is asked, if anything.
    void draw(State& state);
    /// Gives up what is asked; the next question comes.
    void end();

  private:
    enum class Kind { none, file, question };
    void draw_file(State& state);
    void draw_question(State& state);
    void list_folder();
    /// Does what was chosen; what goes wrong with it is told.
    void act(const std::function<void()>& action);
    struct Question {
        std::string text;
        std::vector<Choice> choices;
    };

    Kind kind_ = Kind::none;
    bool begun_ = false;
    // A file:
    bool writing_ = false;
    std::string title_;
    std::string ending_;
    std::filesystem::path folder_;
    std::string name_;
    std::string complaint_;
    std::vector<std::string> folders_;
    std::vector<std::string> files_;
    std::function<void(const std::filesystem::path&)> then_;
    // A question:
    Question question_;
    std::deque<Question> waiting_;
};

} // namespace aumbry::gui
