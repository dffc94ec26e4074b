// The menus, their keys, and the line at the bottom.
#include "app/application.hpp"

#include "widgets/keys.hpp"
#include "widgets/net.hpp"
#include "widgets/widgets.hpp"

#include <algorithm>

namespace aumbry::gui {

namespace {

constexpr float scale_step = 0.125F;

} // namespace

void Application::set_scale(float scale) {
    options_.settings.text_scale = std::clamp(scale, 0.75F, 3.0F);
    look_changed_ = true;
}

bool Application::command_pressed() const {
    if (dialogs_.open()) return false;
    const std::string keys = "SONQ=-012345678";
    return std::any_of(keys.begin(), keys.end(),
                       [](char key) { return pressed_with_control(key); });
}

void Application::shortcuts() {
    if (dialogs_.open()) return;
    const float scale = options_.settings.text_scale;
    if (pressed_with_control('S')) save();
    if (pressed_with_control('O')) ask_to_open();
    if (pressed_with_control('N')) show_start();
    if (pressed_with_control('Q')) close();
    if (pressed_with_control('=')) set_scale(scale + scale_step);
    if (pressed_with_control('-')) set_scale(scale - scale_step);
    if (pressed_with_control('0')) set_scale(1);
    for (int i = 0; i < view_count; ++i) {
        if (is_there(views_in_order[i], state_) && pressed_with_control(static_cast<char>('1' + i)))
            show(views_in_order[i]);
    }
    // While a text is being typed, undo is that field's own.
    if (ImGui::GetIO().WantTextInput) return;
    if (pressed_with_control('Z')) job_.undo();
    if (pressed_with_control('Y') || pressed_with_control('Z', true)) job_.redo();
}

void Application::project_menu() {
    const bool editable = document().read_only().empty();
    if (ImGui::MenuItem("New job, and the start page", "Ctrl+N")) show_start();
    if (ImGui::MenuItem("Open...", "Ctrl+O")) ask_to_open();
    if (ImGui::BeginMenu("Open recent", !options_.settings.recent.empty())) {
        const std::vector<std::string> recent = options_.settings.recent;
        for (const std::string& file : recent) {
            if (ImGui::MenuItem(file.c_str())) drop(file);
        }
        ImGui::EndMenu();
    }
    ImGui::Separator();
    if (ImGui::MenuItem("Save", "Ctrl+S", false, editable)) save();
    const bool elsewhere = ImGui::MenuItem("Save as...", nullptr, false, editable);
    state_.mark("item Save as");
    if (elsewhere) ask_save_as();
    const bool writing = ImGui::BeginMenu("Export");
    state_.mark("menu Export");
    if (writing) {
        for (const Export& what : exports()) {
            const bool wanted = ImGui::MenuItem((std::string(what.title) + "...").c_str());
            state_.mark(std::string("item ") + what.title);
            if (wanted) write_out(what);
        }
        ImGui::EndMenu();
    }
    ImGui::Separator();
    if (ImGui::MenuItem("Quit", "Ctrl+Q")) close();
}

void Application::edit_menu() {
    const bool undo = document().can_undo();
    const bool redo = document().can_redo();
    const std::string undo_title = undo ? "Undo: " + document().undo_label() : "Undo";
    const std::string redo_title = redo ? "Redo: " + document().redo_label() : "Redo";
    if (ImGui::MenuItem((undo_title + "###undo").c_str(), "Ctrl+Z", false, undo))
        attempt([&] { job_.undo(); });
    if (ImGui::MenuItem((redo_title + "###redo").c_str(), "Ctrl+Y", false, redo))
        attempt([&] { job_.redo(); });
}

void Application::view_menu() {
    for (int i = 0; i < view_count; ++i) {
        const std::string key = "Ctrl+" + std::to_string(i + 1);
        const View view = views_in_order[i];
        if (ImGui::MenuItem(title_of(view), key.c_str(), state_.view == view,
                            is_there(view, state_)))
            show(view);
    }
    ImGui::Separator();
    const float scale = options_.settings.text_scale;
    if (ImGui::MenuItem("Larger text", "Ctrl+=")) set_scale(scale + scale_step);
    if (ImGui::MenuItem("Smaller text", "Ctrl+-")) set_scale(scale - scale_step);
    if (ImGui::MenuItem("Text as it was", "Ctrl+0")) set_scale(1);
    if (ImGui::MenuItem("Dark", nullptr, options_.settings.dark)) {
        options_.settings.dark = !options_.settings.dark;
        look_changed_ = true;
    }
}

void Application::menu_bar() {
    if (!ImGui::BeginMenuBar()) return;
    const auto menu = [&](const char* title, const std::function<void()>& content) {
        const std::string reason = drawn_or_reason([&] {
            const bool open = ImGui::BeginMenu(title);
            if (!open) {
                state_.mark(std::string("menu ") + title);
                return;
            }
            content();
            ImGui::EndMenu();
            state_.mark(std::string("menu ") + title);
        });
        if (!reason.empty()) say(reason);
    };
    menu("Project", [&] { project_menu(); });
    menu("Edit", [&] { edit_menu(); });
    menu("View", [&] { view_menu(); });
    // What is worked on, always in sight.
    const std::string working = job_.title();
    const float width = ImGui::CalcTextSize(working.c_str()).x + state_.theme.px(14);
    ImGui::SetCursorPosX(
        std::max(ImGui::GetCursorPosX() + state_.theme.px(20), ImGui::GetWindowWidth() - width));
    ink(state_.theme, &Palette::quiet, working);
    ImGui::EndMenuBar();
}

void Application::status_bar() {
    const Theme& theme = state_.theme;
    const std::string lost = document().unsaved() ? journal_.trouble() : "";
    ImGui::PushFont(theme.small);
    if (!state_.trouble.empty()) {
        ink_wrapped(theme, &Palette::problem, state_.trouble);
    } else if (!lost.empty()) {
        ink(theme, &Palette::problem, lost);
    } else if (!state_.doing.empty()) {
        ink(theme, &Palette::quiet, state_.doing + "...");
        ImGui::SameLine();
        if (link(state_, "Stop", "stop working")) worker_.cancel();
    } else if (!state_.read_only.empty()) {
        ink(theme, &Palette::quiet, "Read only: " + state_.read_only);
    } else if (state_.estimate() != nullptr && state_.answered) {
        const Estimate& estimate = *state_.estimate();
        std::string text =
            "Priced for " + format_date(estimate.priced_on) + ", effort " + estimate.effort;
        if (estimate.purchase_proven)
            text += "; proven cheapest";
        else if (estimate.purchase_not_bounded.empty())
            text += "; at most " + (estimate.purchase_cost - estimate.purchase_bound).grouped() +
                    " of what is bought could be saved";
        ink(theme, &Palette::quiet, text);
    } else {
        ink(theme, &Palette::quiet, document().file().string());
    }
    ImGui::PopFont();
}

} // namespace aumbry::gui
