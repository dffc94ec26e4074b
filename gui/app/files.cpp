// Files: opening, saving, exporting, and unsaved edits that a kill left behind.
#include "app/application.hpp"

#include "session/differences.hpp"

#include "aumbry/project.hpp"
#include "aumbry/save_file.hpp"

namespace aumbry::gui {

namespace {

/// Differences told in a question; the rest is counted.
constexpr std::size_t max_told = 6;

std::string told(const std::vector<std::string>& differences) {
    std::string text;
    for (std::size_t i = 0; i < differences.size() && i < max_told; ++i)
        text += "\n-  " + differences[i];
    if (differences.size() > max_told)
        text += "\n-  and " + std::to_string(differences.size() - max_told) + " more";
    return text;
}

/// What the file holds now; none when it is gone or no project any more.
std::optional<std::string> bytes_of_file(const std::filesystem::path& file) {
    try {
        return read_file(file);
    } catch (const FaultError&) {
        return std::nullopt;
    }
}

/// The question that offers unsaved edits back.
std::string question_of(const FoundJournal& found) {
    const Unsaved& unsaved = found.unsaved;
    const std::string name =
        unsaved.file.empty() ? "a project without a file" : unsaved.file.filename().string();
    if (!found.fault.empty())
        return "Unsaved edits of " + found.written +
               " were found, but cannot be read: " + found.fault + ".";
    std::string text = "Unsaved edits of " + found.written + " to " + name + " were found.";
    if (unsaved.file.empty())
        return text + " It is called '" + written(find_at(*unsaved.document, "/title")) + "'.";
    const std::optional<std::string> now = bytes_of_file(unsaved.file);
    if (!now) return text + " The file itself is gone.";
    if (*now != unsaved.base)
        text += " The file was changed by somebody else since: restored, they stand in place of "
                "what it holds now.";
    try {
        text += " Against the file as it is:" +
                told(differences_in_words(parse_json(*now), *unsaved.document));
    } catch (const FaultError&) {
        text += " The file is no project any more.";
    }
    return text;
}

/// A kill between saving and clearing away left a journal of what is in the file.
bool is_saved(const FoundJournal& found) {
    if (!found.fault.empty() || found.unsaved.file.empty()) return false;
    const std::optional<std::string> now = bytes_of_file(found.unsaved.file);
    if (!now) return false;
    try {
        return parse_json(*now).dump() == found.unsaved.document->dump();
    } catch (const FaultError&) {
        return false;
    }
}

} // namespace

void Application::open(const std::filesystem::path& named) {
    const std::filesystem::path file = named; // it may be the document's own, which goes
    try {
        job_.open(file);
    } catch (const std::exception& error) {
        say(error.what());
        return;
    }
    note_recent(options_.settings, file);
    state_.start.shown = false;
    forget_views();
    const std::string read_only = document().read_only();
    if (!read_only.empty()) return say(read_only);
    offer(find_journals(file, options_.state_folder), {});
}

bool Application::offer(std::vector<FoundJournal> found, std::function<void()> next) {
    while (!found.empty() && is_saved(found.front())) {
        found.front().discard();
        found.erase(found.begin());
    }
    if (found.empty()) return false;
    const auto rest = std::make_shared<std::vector<FoundJournal>>(std::move(found));
    const auto go_on = [this, rest, next] {
        rest->erase(rest->begin());
        if (!offer(std::move(*rest), next) && next) next();
    };
    std::vector<Dialogs::Choice> choices;
    if (rest->front().fault.empty())
        choices.push_back({"Restore", [this, rest] { restore(std::move(rest->front())); }});
    choices.push_back({"Discard", [rest, go_on] {
                           rest->front().discard();
                           go_on();
                       }});
    choices.push_back({"Later", go_on});
    dialogs_.ask(question_of(rest->front()), std::move(choices));
    return true;
}

void Application::offer_unsaved() {
    const auto next = [this] { offer_recent(0); };
    if (!offer(find_journals({}, options_.state_folder), next)) next();
}

void Application::offer_recent(std::size_t first) {
    for (std::size_t i = first; i < options_.settings.recent.size(); ++i) {
        if (offer(find_journals(options_.settings.recent[i], options_.state_folder),
                  [this, i] { offer_recent(i + 1); }))
            return;
    }
}

void Application::restore(FoundJournal found) {
    const Unsaved unsaved = found.unsaved;
    if (unsaved.file.empty()) {
        job_.begin();
    } else if (document().file().empty() ||
               std::filesystem::absolute(document().file()).lexically_normal() != unsaved.file) {
        try {
            job_.open(unsaved.file);
            note_recent(options_.settings, unsaved.file);
        } catch (const FaultError&) {
            job_.begin(); // the file is gone: what was in it is not
        }
    }
    journal_.replaces(std::move(found));
    attempt([&] { job_.restore(*unsaved.document, unsaved.alternative); });
    state_.start.shown = false;
    forget_views();
}

void Application::ask_to_open() {
    dialogs_.ask_open(document().file().parent_path(),
                      [this](const std::filesystem::path& file) { drop(file); });
}

void Application::drop(const std::filesystem::path& file) {
    due_.push_back([this, file] {
        unless_unsaved("Open " + file.filename().string() + "?", [this, file] { open(file); });
    });
}

void Application::close() {
    due_.push_back([this] {
        unless_unsaved("Quit?", [this] {
            journal_.clear(); // saved or discarded
            closed_ = true;
        });
    });
}

void Application::unless_unsaved(const std::string& question, std::function<void()> action) {
    if (!document().unsaved()) return action();
    dialogs_.ask(question + " The changes since the last saving would be lost.",
                 {{"Save", [this, action] { save(action); }}, {"Discard", action}, {"Cancel", {}}});
}

void Application::ask_save_as() {
    dialogs_.ask_save("Save as", document().file().parent_path(),
                      document().file().filename().string(), ".aumbry.json",
                      [this](const std::filesystem::path& file) { save_as(file, false, {}); });
}

void Application::save(std::function<void()> then) {
    if (document().file().empty()) {
        const std::string proposed =
            new_id(Json::object(), "", written(find_at(document().json(), "/title"))) +
            ".aumbry.json";
        dialogs_.ask_save(
            "Save the project", ".", proposed, ".aumbry.json",
            [this, then](const std::filesystem::path& file) { save_as(file, false, then); });
        return;
    }
    const auto save_now = [this, then](bool overwrite) {
        job_.save(overwrite);
        if (then) then();
    };
    try {
        save_now(false);
    } catch (const FaultError& error) {
        if (error.faults().front().code != "changed-meanwhile") return say(error.what());
        dialogs_.ask(error.faults().front().sentence() + ".",
                     {{"Overwrite", [this, save_now] { attempt([&] { save_now(true); }); }},
                      {"Reload", [this] { open(document().file()); }},
                      {"Cancel", {}}});
    }
}

void Application::save_as(const std::filesystem::path& file, bool overwrite,
                          std::function<void()> then) {
    std::error_code error;
    if (!overwrite && std::filesystem::exists(file, error)) {
        dialogs_.ask(
            file.filename().string() + " is there already.",
            {{"Overwrite", [this, file, then] { save_as(file, true, then); }}, {"Cancel", {}}});
        return;
    }
    try {
        job_.save_as(file);
    } catch (const FaultError& fault) {
        return say(fault.what());
    }
    note_recent(options_.settings, file);
    load_folders();
    if (then) then();
}

void Application::write_out(const Export& what) {
    const Estimate* estimate = state_.estimate();
    const Comparison* comparison = state_.answer.comparison.get();
    if (estimate == nullptr) return say("There is no estimate to export yet");
    if (what.needs_comparison && comparison == nullptr)
        return say("The alternatives are not compared yet: open that view first");
    attempt([&] {
        const std::string bytes = bytes_of(what, *estimate, comparison);
        const std::filesystem::path name = what.file;
        dialogs_.ask_save("Export", document().file().parent_path(), name.string(),
                          name.extension().string(),
                          [this, bytes](const std::filesystem::path& file) {
                              write_file_out(file, bytes, false);
                          });
    });
}

void Application::write_file_out(const std::filesystem::path& file, const std::string& text,
                                 bool overwrite) {
    std::error_code error;
    if (!overwrite && std::filesystem::exists(file, error)) {
        dialogs_.ask(file.filename().string() + " is there already.",
                     {{"Overwrite", [this, file, text] { write_file_out(file, text, true); }},
                      {"Cancel", {}}});
        return;
    }
    attempt([&] { save_file(file, text); });
}

} // namespace aumbry::gui
