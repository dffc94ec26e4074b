#include "widgets/keys.hpp"

namespace aumbry::gui {

bool pressed(ImGuiKey key) {
#if IMGUI_VERSION_NUM < 18700
    return ImGui::IsKeyPressed(ImGui::GetKeyIndex(key));
#else
    return ImGui::IsKeyPressed(key);
#endif
}

bool pressed(char key) {
#if IMGUI_VERSION_NUM < 18700
    // The backend numbers printable keys as GLFW does: by their ASCII code.
    return ImGui::IsKeyPressed(key);
#else
    if (key >= '0' && key <= '9') return ImGui::IsKeyPressed(ImGuiKey(ImGuiKey_0 + (key - '0')));
    if (key == '-') return ImGui::IsKeyPressed(ImGuiKey_Minus);
    if (key == '=') return ImGui::IsKeyPressed(ImGuiKey_Equal);
    return ImGui::IsKeyPressed(ImGuiKey(ImGuiKey_A + (key - 'A')));
#endif
}

bool pressed_with_control(char key, bool shift) {
    const ImGuiIO& io = ImGui::GetIO();
    return io.KeyCtrl && io.KeyShift == shift && !io.KeyAlt && pressed(key);
}

} // namespace aumbry::gui
