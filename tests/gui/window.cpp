#include "window.hpp"

#include "shell/fonts.hpp"

#include "aumbry/project.hpp"

#include <chrono>
#include <cstdlib>
#include <fstream>
#include <gtest/gtest.h>
#include <thread>
#include <unistd.h>

namespace aumbry::gui::test {

namespace {

/// Keys that are not letters, numbered as the window's backend numbers them on old versions.
constexpr int first_named_key = 256;

} // namespace

Folder::Folder() {
    std::string name = (std::filesystem::temp_directory_path() / "aumbry-gui-XXXXXX").string();
    if (::mkdtemp(name.data()) == nullptr) throw std::runtime_error("no folder for the test");
    path_ = name;
}

Folder::~Folder() {
    std::error_code error;
    std::filesystem::remove_all(path_, error);
}

std::filesystem::path Folder::copy_of(const std::string& project) const {
    const std::filesystem::path file = path_ / (project + ".aumbry.json");
    std::filesystem::copy_file(
        std::filesystem::path(AUMBRY_CATALOGS) / "projects" / (project + ".aumbry.json"), file);
    return file;
}

Nobody::Nobody() : root_(::getuid() == 0) {
    if (root_ && ::setresuid(65534, 65534, 0) != 0) throw std::runtime_error("cannot change user");
}

Nobody::~Nobody() {
    if (root_ && ::setresuid(0, 0, 0) != 0) std::abort();
}

void write_text(const std::filesystem::path& file, const std::string& text) {
    std::ofstream out(file, std::ios::binary | std::ios::trunc);
    out << text;
    if (!out.flush()) throw std::runtime_error("cannot write " + file.string());
}

Window::Window(ImVec2 size, const std::string& catalogs, std::filesystem::path journals,
               std::string effort) {
    ImGui::CreateContext();
    ImGuiIO& io = ImGui::GetIO();
    io.IniFilename = nullptr;
    io.LogFilename = nullptr;
    io.DisplaySize = size;
    io.DeltaTime = 1.0F / 60.0F;
    io.ConfigFlags |= ImGuiConfigFlags_NavEnableKeyboard;
    io.ClipboardUserData = this;
    io.SetClipboardTextFn = [](void* user, const char* text) {
        static_cast<Window*>(user)->clipboard_ = text;
    };
    io.GetClipboardTextFn = [](void* user) {
        return static_cast<Window*>(user)->clipboard_.c_str();
    };
#if IMGUI_VERSION_NUM < 18700
    for (int key = 0; key < ImGuiKey_COUNT; ++key) io.KeyMap[key] = first_named_key + key;
    const std::map<int, char> letters{{ImGuiKey_A, 'A'},    {ImGuiKey_C, 'C'}, {ImGuiKey_V, 'V'},
                                      {ImGuiKey_X, 'X'},    {ImGuiKey_Y, 'Y'}, {ImGuiKey_Z, 'Z'},
                                      {ImGuiKey_Space, ' '}};
    for (const auto& [key, letter] : letters) io.KeyMap[key] = letter;
#endif
    ApplicationOptions options;
    options.plugins = {AUMBRY_PLUGINS};
    options.catalogs = {catalogs};
    options.effort = std::move(effort);
    options.today = "2027-02-10";
    options.state_folder = journals.empty() ? journals_.path() : std::move(journals);
    options.maker_file = options.state_folder / "maker.json";
    application_ = std::make_unique<Application>(std::move(options), [] {});
    // Letters that are the same everywhere.
    load_fonts(state().theme, "");
    set_style(state().theme);
    unsigned char* pixels = nullptr;
    int width = 0;
    int height = 0;
    io.Fonts->GetTexDataAsAlpha8(&pixels, &width, &height);
    static_cast<void>(application_->look_changed());
    state().places = &places_;
    frames(3);
}

Window::~Window() {
    application_.reset();
    ImGui::DestroyContext();
}

void Window::begin() {
    places_.clear();
    ImGui::NewFrame();
}

void Window::frames(int count) {
    for (int i = 0; i < count; ++i) {
        begin();
        application_->frame();
        ImGui::Render();
    }
}

void Window::wait() {
    using Clock = std::chrono::steady_clock;
    const auto last = Clock::now() + std::chrono::seconds(60);
    int seen = -1;
    for (int pause = 0;; ++pause) {
        const int news = application().worker().news();
        if (news == seen && pause % 50 != 0) {
            std::this_thread::sleep_for(std::chrono::milliseconds(1));
            continue;
        }
        frames(1);
        seen = news;
        const Answer& answer = state().answer;
        const bool done = state().answered && (answer.refined || !answer.faults.empty());
        if (done && state().doing.empty() && application().worker().doing().empty()) break;
        if (!state().trouble.empty() && state().doing.empty()) break;
        if (Clock::now() > last) {
            ADD_FAILURE() << "no answer within a minute; it was " << state().doing;
            break;
        }
    }
    frames(3);
}

void Window::wait_for_comparison() {
    using Clock = std::chrono::steady_clock;
    const auto last = Clock::now() + std::chrono::seconds(60);
    while (state().answer.comparison == nullptr ||
           state().answer.comparison_revision != state().edition) {
        if (Clock::now() > last) {
            ADD_FAILURE() << "nothing is compared within a minute";
            break;
        }
        std::this_thread::sleep_for(std::chrono::milliseconds(5));
        frames(1);
    }
    frames(2);
}

void Window::wait_for_trial() {
    using Clock = std::chrono::steady_clock;
    const auto last = Clock::now() + std::chrono::seconds(60);
    frames(2);
    while (state().trial == nullptr || state().trial->number != state().library.number) {
        if (Clock::now() > last) {
            ADD_FAILURE() << "no piece was tried within a minute";
            break;
        }
        std::this_thread::sleep_for(std::chrono::milliseconds(2));
        frames(1);
    }
    frames(2);
}

void Window::write_over(const std::string& place, const std::string& text) {
    click(place);
    press('A', true);
    type(text);
}

void Window::open(const std::filesystem::path& file) {
    application_->open(file);
    wait();
}

std::string Window::total() {
    return state().estimate() == nullptr ? "" : state().estimate()->totals.total.str();
}

bool Window::shows(const std::string& place) {
    return places_.contains(place);
}

void Window::set_modifiers(bool control, bool shift) {
    ImGuiIO& io = ImGui::GetIO();
#if IMGUI_VERSION_NUM < 18700
    io.KeyCtrl = control;
    io.KeyShift = shift;
#else
    io.AddKeyEvent(ImGuiMod_Ctrl, control);
    io.AddKeyEvent(ImGuiMod_Shift, shift);
#endif
}

void Window::click(const std::string& place, bool control, bool shift) {
    ASSERT_TRUE(places_.contains(place)) << "nothing called '" << place << "' is in sight";
    const ImVec4 box = places_.at(place);
    ImGuiIO& io = ImGui::GetIO();
    io.MousePos = {(box.x + box.z) / 2, (box.y + box.w) / 2};
    // Far enough from the last click to be no double click.
    io.DeltaTime = 1;
    frames(1);
    io.DeltaTime = 1.0F / 60.0F;
    set_modifiers(control, shift);
    io.MouseDown[0] = true;
    frames(1);
    io.MouseDown[0] = false;
    frames(1);
    set_modifiers(false, false);
    frames(2);
}

void Window::double_click(const std::string& place) {
    click(place);
    ImGuiIO& io = ImGui::GetIO();
    io.MouseDown[0] = true;
    frames(1);
    io.MouseDown[0] = false;
    frames(3);
}

void Window::key_down(int key, bool down) {
    ImGuiIO& io = ImGui::GetIO();
#if IMGUI_VERSION_NUM < 18700
    io.KeysDown[key] = down;
#else
    io.AddKeyEvent(static_cast<ImGuiKey>(key), down);
#endif
}

void Window::press(ImGuiKey key, bool control, bool shift) {
#if IMGUI_VERSION_NUM < 18700
    const int code = ImGui::GetIO().KeyMap[key];
#else
    const int code = key;
#endif
    set_modifiers(control, shift);
    key_down(code, true);
    frames(1);
    key_down(code, false);
    set_modifiers(false, false);
    frames(3);
}

void Window::press(char key, bool control, bool shift) {
#if IMGUI_VERSION_NUM < 18700
    const int code = key;
#else
    const int code = key >= '0' && key <= '9' ? ImGuiKey_0 + (key - '0') : ImGuiKey_A + (key - 'A');
#endif
    set_modifiers(control, shift);
    key_down(code, true);
    frames(1);
    key_down(code, false);
    set_modifiers(false, false);
    frames(3);
}

void Window::type(const std::string& text) {
    ImGui::GetIO().AddInputCharactersUTF8(text.c_str());
    frames(4);
}

std::string Window::text() {
    begin();
    ImGui::LogToClipboard(0);
    application_->frame();
    ImGui::LogFinish();
    ImGui::Render();
    return clipboard_;
}

void expect_kept(const std::string& name, const std::string& text) {
    const std::filesystem::path file = std::filesystem::path(AUMBRY_EXPECTED) / (name + ".txt");
    const char* update = std::getenv("UPDATE_EXPECTED");
    if (update != nullptr && std::string(update) == "1") {
        write_text(file, text);
        return;
    }
    ASSERT_TRUE(std::filesystem::exists(file)) << file << " is missing";
    EXPECT_EQ(text, read_file(file))
        << "kept in " << file << "; UPDATE_EXPECTED=1 writes what is shown now";
}

} // namespace aumbry::gui::test
