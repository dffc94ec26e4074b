#include "shell/shell.hpp"

#include "shell/fonts.hpp"

#include "aumbry/fault.hpp"

#include <algorithm>
#include <backends/imgui_impl_glfw.h>
#include <backends/imgui_impl_opengl3.h>
#include <cmath>
#define GLFW_INCLUDE_NONE
#include <GL/gl.h>
#include <GLFW/glfw3.h>
#include <vector>

namespace aumbry::gui {

namespace {

/// Frames drawn after something happened: layout settles and the cursor stops blinking meanwhile.
constexpr int settling_frames = 4;

/// A key that went down.
struct KeyPress {
    int key = 0;
    bool control = false;
    bool shift = false;
};

struct Shell {
    Application* application = nullptr;
    int frames_due = settling_frames;
    std::vector<KeyPress> presses = {}; ///< since the last frame
    std::vector<int> kept_down = {};    ///< keys that are up again but were not seen yet
};

#if IMGUI_VERSION_NUM < 18700
/// A key that went down and up between two frames is down for one frame: quick fingers lose
/// nothing. Newer versions of Dear ImGui queue what happens themselves.
void keep_short_presses(Shell& shell) {
    ImGuiIO& io = ImGui::GetIO();
    for (const int key : shell.kept_down) io.KeysDown[key] = false;
    if (!shell.kept_down.empty()) {
        io.KeyCtrl = io.KeysDown[GLFW_KEY_LEFT_CONTROL] || io.KeysDown[GLFW_KEY_RIGHT_CONTROL];
        io.KeyShift = io.KeysDown[GLFW_KEY_LEFT_SHIFT] || io.KeysDown[GLFW_KEY_RIGHT_SHIFT];
        shell.kept_down.clear();
    }
    for (const KeyPress& press : shell.presses) {
        if (io.KeysDown[press.key]) continue;
        io.KeysDown[press.key] = true;
        io.KeyCtrl = io.KeyCtrl || press.control;
        io.KeyShift = io.KeyShift || press.shift;
        shell.kept_down.push_back(press.key);
    }
    shell.presses.clear();
}
#else
void keep_short_presses(Shell& shell) {
    shell.presses.clear();
}
#endif

Shell& shell_of(GLFWwindow* window) {
    return *static_cast<Shell*>(glfwGetWindowUserPointer(window));
}

/// GLFW and what it has made, undone in the right order whatever happens.
struct Glfw {
    GLFWwindow* window = nullptr;
    bool backend = false;
    bool renderer = false;
    Glfw() = default;
    Glfw(const Glfw&) = delete;
    Glfw& operator=(const Glfw&) = delete;
    ~Glfw() {
        if (renderer) ImGui_ImplOpenGL3_Shutdown();
        if (backend) ImGui_ImplGlfw_Shutdown();
        if (ImGui::GetCurrentContext() != nullptr) ImGui::DestroyContext();
        if (window != nullptr) glfwDestroyWindow(window);
        glfwTerminate();
    }
};

const char* instead() {
    return "use the command aumbry, which prints everything that the window shows";
}

void wake_up() {
    glfwPostEmptyEvent();
}

void build_look(Application& application, float display_scale, const std::string& font) {
    Theme& theme = application.state().theme;
    const Settings& settings = application.settings();
    theme.palette = settings.dark ? dark_palette() : light_palette();
    theme.scale = display_scale * settings.text_scale;
    load_fonts(theme, font);
    set_style(theme);
}

void open_window(Glfw& glfw, const Settings& settings) {
    glfwWindowHint(GLFW_CONTEXT_VERSION_MAJOR, 3);
    glfwWindowHint(GLFW_CONTEXT_VERSION_MINOR, 2);
    glfwWindowHint(GLFW_OPENGL_PROFILE, GLFW_OPENGL_CORE_PROFILE);
    glfwWindowHint(GLFW_OPENGL_FORWARD_COMPAT, GLFW_TRUE);
    glfw.window = glfwCreateWindow(settings.width, settings.height, "Aumbry", nullptr, nullptr);
    if (glfw.window == nullptr)
        fail("no-opengl", {}, "this display offers no OpenGL 3.2", instead());
    glfwMakeContextCurrent(glfw.window);
    glfwSwapInterval(1);
    ImGui::CreateContext();
    ImGuiIO& io = ImGui::GetIO();
    io.IniFilename = nullptr;
    io.ConfigFlags |= ImGuiConfigFlags_NavEnableKeyboard;
}

/// Our callbacks first: the backend calls those that were there before.
void listen(Glfw& glfw, Shell& shell) {
    glfwSetWindowUserPointer(glfw.window, &shell);
    glfwSetDropCallback(glfw.window, [](GLFWwindow* window, int count, const char** names) {
        if (count > 0) shell_of(window).application->drop(names[0]);
        shell_of(window).frames_due = settling_frames;
    });
    glfwSetWindowCloseCallback(glfw.window, [](GLFWwindow* window) {
        glfwSetWindowShouldClose(window, GLFW_FALSE);
        shell_of(window).application->close();
        shell_of(window).frames_due = settling_frames;
    });
    glfwSetWindowRefreshCallback(
        glfw.window, [](GLFWwindow* window) { shell_of(window).frames_due = settling_frames; });
    glfwSetKeyCallback(
        glfw.window, [](GLFWwindow* window, int key, int, int action, int modifiers) {
            if (action == GLFW_PRESS && key >= 0)
                shell_of(window).presses.push_back(
                    {key, (modifiers & GLFW_MOD_CONTROL) != 0, (modifiers & GLFW_MOD_SHIFT) != 0});
        });
    glfw.backend = ImGui_ImplGlfw_InitForOpenGL(glfw.window, true);
    glfw.renderer = ImGui_ImplOpenGL3_Init("#version 150");
    if (!glfw.renderer) fail("no-opengl", {}, "this display offers no OpenGL 3.2", instead());
}

/// Waits for something to happen when nothing is left to draw.
void wait_for_events(Shell& shell, int& news) {
    const Worker& worker = shell.application->worker();
    if (shell.frames_due > 0) {
        --shell.frames_due;
        glfwPollEvents();
    } else {
        // Nothing changes: sleep until something happens; a blinking cursor needs some frames.
        const bool typing = ImGui::GetIO().WantTextInput;
        if (typing) {
            glfwWaitEventsTimeout(0.5);
        } else {
            glfwWaitEvents();
        }
        shell.frames_due = typing && news == worker.news() ? 1 : settling_frames;
    }
    keep_short_presses(shell);
    if (news != worker.news()) {
        news = worker.news();
        shell.frames_due = settling_frames;
    }
}

void draw_frame(Glfw& glfw, Application& application) {
    ImGui_ImplOpenGL3_NewFrame();
    ImGui_ImplGlfw_NewFrame();
    ImGui::NewFrame();
    application.frame();
    ImGui::Render();
    int width = 0;
    int height = 0;
    glfwGetFramebufferSize(glfw.window, &width, &height);
    const ImVec4 ground = vec(application.state().theme.palette.ground);
    glViewport(0, 0, width, height);
    glClearColor(ground.x, ground.y, ground.z, 1);
    glClear(GL_COLOR_BUFFER_BIT);
    ImGui_ImplOpenGL3_RenderDrawData(ImGui::GetDrawData());
    glfwSwapBuffers(glfw.window);
}

/// What the application begins with: a project, or what a kill left behind.
void begin(Application& application, const ShellOptions& options) {
    if (options.project.empty()) {
        application.offer_unsaved();
    } else {
        application.open(options.project);
    }
    if (!options.view) return;
    application.state().view = *options.view;
    application.state().view_changed = true;
}

} // namespace

void run_window(ShellOptions options) {
    glfwSetErrorCallback([](int, const char*) {});
    if (glfwInit() == GLFW_FALSE)
        fail("no-display", {}, "there is no display to open a window on", instead());
    Glfw glfw;
    open_window(glfw, options.application.settings);
    Application application(std::move(options.application), wake_up);
    Shell shell{&application};
    listen(glfw, shell);

    float scale_x = 1;
    float scale_y = 1;
    glfwGetWindowContentScale(glfw.window, &scale_x, &scale_y);
    const float display_scale = std::clamp(scale_x, 0.5F, 4.0F);
    const std::string font = find_font();
    begin(application, options);
    int news = -1;
    std::string title;
    std::vector<std::string> recent = application.settings().recent;
    while (!application.closed()) {
        wait_for_events(shell, news);
        if (application.look_changed()) {
            build_look(application, display_scale, font);
            ImGui_ImplOpenGL3_DestroyFontsTexture();
            ImGui_ImplOpenGL3_CreateFontsTexture();
            shell.frames_due = settling_frames;
        }
        draw_frame(glfw, application);
        if (application.title() != title) {
            title = application.title();
            glfwSetWindowTitle(glfw.window, title.c_str());
        }
        // A kill must not take with it which projects have to be looked through at the next start.
        if (recent != application.settings().recent) {
            recent = application.settings().recent;
            write_settings(application.settings(), options.settings_file);
        }
    }
    glfwGetWindowSize(glfw.window, &application.settings().width, &application.settings().height);
    write_settings(application.settings(), options.settings_file);
}

} // namespace aumbry::gui
