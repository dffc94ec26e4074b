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
struct Stroke {
    int key = 0;
    bool control = false;
    bool shift = false;
};

struct Shell {
    Application* application = nullptr;
    int frames_due = settling_frames;
    std::vector<Stroke> strokes; ///< since the last frame
    std::vector<int> kept_down;  ///< keys that are up again but were not seen yet
};

#if IMGUI_VERSION_NUM < 18700
/// A key that went down and up between two frames is down for one frame: quick fingers lose
/// nothing. Newer versions of Dear ImGui queue what happens themselves.
void keep_short_strokes(Shell& shell) {
    ImGuiIO& io = ImGui::GetIO();
    for (const int key : shell.kept_down) io.KeysDown[key] = false;
    if (!shell.kept_down.empty()) {
        io.KeyCtrl = io.KeysDown[GLFW_KEY_LEFT_CONTROL] || io.KeysDown[GLFW_KEY_RIGHT_CONTROL];
        io.KeyShift = io.KeysDown[GLFW_KEY_LEFT_SHIFT] || io.KeysDown[GLFW_KEY_RIGHT_SHIFT];
        shell.kept_down.clear();
    }
    for (const Stroke& stroke : shell.strokes) {
        if (io.KeysDown[stroke.key]) continue;
        io.KeysDown[stroke.key] = true;
        io.KeyCtrl = io.KeyCtrl || stroke.control;
        io.KeyShift = io.KeyShift || stroke.shift;
        shell.kept_down.push_back(stroke.key);
    }
    shell.strokes.clear();
}
#else
void keep_short_strokes(Shell& shell) {
    shell.strokes.clear();
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

} // namespace

void run_window(ShellOptions options) {
    std::string reason;
    glfwSetErrorCallback([](int, const char*) {});
    if (glfwInit() == GLFW_FALSE)
        fail("no-display", {}, "there is no display to open a window on", instead());
    Glfw glfw;
    glfwWindowHint(GLFW_CONTEXT_VERSION_MAJOR, 3);
    glfwWindowHint(GLFW_CONTEXT_VERSION_MINOR, 2);
    glfwWindowHint(GLFW_OPENGL_PROFILE, GLFW_OPENGL_CORE_PROFILE);
    glfwWindowHint(GLFW_OPENGL_FORWARD_COMPAT, GLFW_TRUE);
    const Settings& settings = options.application.settings;
    glfw.window = glfwCreateWindow(settings.width, settings.height, "Aumbry", nullptr, nullptr);
    if (glfw.window == nullptr)
        fail("no-opengl", {}, "this display offers no OpenGL 3.2", instead());
    glfwMakeContextCurrent(glfw.window);
    glfwSwapInterval(1);

    ImGui::CreateContext();
    ImGuiIO& io = ImGui::GetIO();
    io.IniFilename = nullptr;
    io.ConfigFlags |= ImGuiConfigFlags_NavEnableKeyboard;

    Application application(std::move(options.application), wake_up);
    Shell shell{&application};
    glfwSetWindowUserPointer(glfw.window, &shell);
    // Our callbacks first: the backend calls those that were there before.
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
                shell_of(window).strokes.push_back(
                    {key, (modifiers & GLFW_MOD_CONTROL) != 0, (modifiers & GLFW_MOD_SHIFT) != 0});
        });
    glfw.backend = ImGui_ImplGlfw_InitForOpenGL(glfw.window, true);
    glfw.renderer = ImGui_ImplOpenGL3_Init("#version 150");
    if (!glfw.renderer) fail("no-opengl", {}, "this display offers no OpenGL 3.2", instead());

    float scale_x = 1;
    float scale_y = 1;
    glfwGetWindowContentScale(glfw.window, &scale_x, &scale_y);
    const float display_scale = std::clamp(scale_x, 0.5F, 4.0F);
    const std::string font = find_font();
    if (!options.project.empty()) application.open(options.project);
    if (options.view) {
        application.state().view = *options.view;
        application.state().view_changed = true;
    }

    int news = -1;
    std::string title;
    while (!application.closed()) {
        if (shell.frames_due > 0) {
            --shell.frames_due;
            glfwPollEvents();
        } else {
            // Nothing changes: sleep until something happens; a blinking cursor needs some frames.
            if (io.WantTextInput) {
                glfwWaitEventsTimeout(0.5);
            } else {
                glfwWaitEvents();
            }
            shell.frames_due =
                io.WantTextInput && news == application.worker().news() ? 1 : settling_frames;
        }
        keep_short_strokes(shell);
        if (news != application.worker().news()) {
            news = application.worker().news();
            shell.frames_due = settling_frames;
        }
        if (application.look_changed()) {
            build_look(application, display_scale, font);
            ImGui_ImplOpenGL3_DestroyFontsTexture();
            ImGui_ImplOpenGL3_CreateFontsTexture();
            shell.frames_due = settling_frames;
        }
        ImGui_ImplOpenGL3_NewFrame();
        ImGui_ImplGlfw_NewFrame();
        ImGui::NewFrame();
        application.frame();
        ImGui::Render();
        if (application.title() != title) {
            title = application.title();
            glfwSetWindowTitle(glfw.window, title.c_str());
        }
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
    glfwGetWindowSize(glfw.window, &application.settings().width, &application.settings().height);
    write_settings(application.settings(), options.settings_file);
}

} // namespace aumbry::gui
