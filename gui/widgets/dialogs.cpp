#include "widgets/dialogs.hpp"

#include "widgets/keys.hpp"
#include "widgets/widgets.hpp"

#include <algorithm>
#include <imgui_stdlib.h>

namespace aumbry::gui {

namespace {

constexpr const char* popup = "###question";

} // namespace

void Dialogs::ask_open(const std::filesystem::path& folder,
                       std::function<void(const std::filesystem::path&)> then) {
    ask_file("Open a project", folder, ".aumbry.json", std::move(then));
}

void Dialogs::ask_file(const std::string& title, const std::filesystem::path& folder,
                       const std::string& ending,
                       std::function<void(const std::filesystem::path&)> then) {
    ask_save(title, folder, "", ending, std::move(then));
    writing_ = false;
}

void Dialogs::ask_save(const std::string& title, const std::filesystem::path& folder,
                       const std::string& name, const std::string& ending,
                       std::function<void(const std::filesystem::path&)> then) {
    // What is asked already comes again afterwards.
    if (kind_ == Kind::question) waiting_.push_front(std::move(question_));
    kind_ = Kind::file;
    begun_ = false;
    complaint_.clear();
    writing_ = true;
    title_ = title;
    ending_ = ending;
    std::error_code error;
    folder_ = std::filesystem::absolute(folder.empty() ? "." : folder, error).lexically_normal();
    if (!folder_.has_filename()) folder_ = folder_.parent_path(); // "a/b/" is "a/b"
    name_ = name;
    then_ = std::move(then);
    list_folder();
}

void Dialogs::ask(const std::string& text, std::vector<Choice> choices) {
    const auto same = [&](const Question& each) { return each.text == text; };
    if (kind_ == Kind::none) {
        kind_ = Kind::question;
        question_ = {text, std::move(choices)};
    } else if (!(kind_ == Kind::question && same(question_)) &&
               std::none_of(waiting_.begin(), waiting_.end(), same)) {
        waiting_.push_back({text, std::move(choices)});
    }
}

void Dialogs::end() {
    kind_ = Kind::none;
    begun_ = false;
    complaint_.clear();
    if (waiting_.empty()) return;
    kind_ = Kind::question;
    question_ = std::move(waiting_.front());
    waiting_.pop_front();
}

void Dialogs::list_folder() {
    folders_.clear();
    files_.clear();
    std::error_code error;
    for (std::filesystem::directory_iterator at(folder_, error), last; !error && at != last;
         at.increment(error)) {
        const std::string name = at->path().filename().string();
        if (name.starts_with(".")) continue;
        std::error_code unknown;
        if (at->is_directory(unknown)) {
            folders_.push_back(name);
        } else if (ending_.empty() || name.ends_with(ending_)) {
            files_.push_back(name);
        }
    }
    complaint_ = error ? "This folder cannot be read: " + error.message() : "";
    std::sort(folders_.begin(), folders_.end());
    std::sort(files_.begin(), files_.end());
}

void Dialogs::draw(State& state) {
    if (kind_ == Kind::none) return;
    if (!begun_) {
        ImGui::OpenPopup(popup);
        begun_ = true;
    }
    const ImVec2 middle = ImGui::GetMainViewport()->GetCenter();
    ImGui::SetNextWindowPos(middle, ImGuiCond_Always, {0.5F, 0.5F});
    const float width = std::min(state.theme.px(620), ImGui::GetMainViewport()->Size.x * 0.92F);
    ImGui::SetNextWindowSize({width, 0}, ImGuiCond_Always);
    const std::string name = (kind_ == Kind::file ? title_ : "Aumbry") + popup;
    if (!ImGui::BeginPopupModal(name.c_str(), nullptr,
                                ImGuiWindowFlags_NoResize | ImGuiWindowFlags_NoMove |
                                    ImGuiWindowFlags_AlwaysAutoResize |
                                    ImGuiWindowFlags_NoSavedSettings))
        return;
    if (kind_ == Kind::file) {
        draw_file(state);
    } else {
        draw_question(state);
    }
    if (kind_ == Kind::none) ImGui::CloseCurrentPopup();
    ImGui::EndPopup();
}

void Dialogs::draw_file(State& state) {
    const Theme& theme = state.theme;
    ink_wrapped(theme, &Palette::quiet, folder_.string());
    std::filesystem::path go_to;
    bool take = false;
    const float height = std::min(theme.px(300), ImGui::GetMainViewport()->Size.y - theme.px(300));
    if (ImGui::BeginChild("list", {0, std::max(height, theme.px(90))}, true)) {
        if (folder_.has_relative_path() && ImGui::Selectable("Up one folder"))
            go_to = folder_.parent_path();
        for (const std::string& each : folders_) {
            if (ImGui::Selectable((each + "/").c_str())) go_to = folder_ / each;
            state.mark("folder " + each);
        }
        for (const std::string& each : files_) {
            if (ImGui::Selectable(each.c_str(), each == name_,
                                  ImGuiSelectableFlags_AllowDoubleClick)) {
                name_ = each;
                take = ImGui::IsMouseDoubleClicked(ImGuiMouseButton_Left);
            }
            state.mark("file " + each);
        }
        if (folders_.empty() && files_.empty())
            ink(theme, &Palette::quiet, "Nothing here ends in " + ending_);
    }
    ImGui::EndChild();
    if (!go_to.empty()) {
        folder_ = go_to;
        list_folder();
    }
    ImGui::TextUnformatted("File");
    ImGui::SameLine();
    if (ImGui::IsWindowAppearing()) ImGui::SetKeyboardFocusHere();
    ImGui::SetNextItemWidth(-1);
    take = ImGui::InputText("##file", &name_, ImGuiInputTextFlags_EnterReturnsTrue) || take;
    state.mark("dialog file");
    if (!complaint_.empty()) ink_wrapped(theme, &Palette::problem, complaint_);
    take = ImGui::Button(writing_ ? "Save" : "Open") || take;
    state.mark("dialog take");
    ImGui::SameLine();
    const bool leave = ImGui::Button("Cancel") || pressed(ImGuiKey_Escape);
    state.mark("dialog leave");
    if (leave) {
        end();
        return;
    }
    if (!take || name_.empty()) return;
    std::error_code error;
    std::filesystem::path chosen =
        std::filesystem::path(name_).is_absolute() ? std::filesystem::path(name_) : folder_ / name_;
    if (std::filesystem::is_directory(chosen, error)) {
        folder_ = chosen.lexically_normal();
        name_.clear();
        list_folder();
        return;
    }
    if (writing_ && chosen.extension().empty()) chosen += ending_;
    if (!writing_ && !std::filesystem::exists(chosen, error)) {
        complaint_ = "There is no such file: " + chosen.string();
        return;
    }
    const auto then = then_; // it may ask the next question
    end();
    act([&] { then(chosen); });
}

void Dialogs::draw_question(State& state) {
    ImGui::PushTextWrapPos(0);
    ImGui::TextUnformatted(question_.text.c_str());
    ImGui::PopTextWrapPos();
    ImGui::Spacing();
    std::function<void()> action;
    bool chosen = false;
    for (std::size_t i = 0; i < question_.choices.size(); ++i) {
        if (i > 0) ImGui::SameLine();
        if (ImGui::IsWindowAppearing() && i == 0) ImGui::SetKeyboardFocusHere();
        const bool last = i + 1 == question_.choices.size();
        if (ImGui::Button(question_.choices[i].label.c_str()) ||
            (last && pressed(ImGuiKey_Escape))) {
            action = question_.choices[i].action;
            chosen = true;
        }
        state.mark("choice " + question_.choices[i].label);
    }
    if (!chosen) return;
    end();
    if (action) act(action);
}

void Dialogs::act(const std::function<void()>& action) {
    try {
        action();
    } catch (const std::exception& error) {
        ask(error.what(), {{"OK", {}}});
    }
}

} // namespace aumbry::gui
