#include "widgets/keys.hpp"

#include <utility>

#if IMGUI_VERSION_NUM >= 18700
#include <imgui_internal.h>
#endif

namespace aumbry::gui {

bool swallow_press(ImGuiKey key) {
#if IMGUI_VERSION_NUM < 18700
    const int index = ImGui::GetKeyIndex(key);
    float& down = ImGui::GetIO().KeysDownDuration[index];
#else
    float& down = ImGui::GetKeyData(key)->DownDuration;
#endif
    if (down != 0.0F) return false;
    constexpr float held = 1e-6F; // not pressed any more
    down = held;
#if IMGUI_VERSION_NUM < 18700
    // The keyboard's way through the fields has a name of its own for the same press.
    float* moves = ImGui::GetIO().NavInputsDownDuration;
    for (const auto& [named, move] : {std::pair{ImGuiKey_Enter, ImGuiNavInput_Input},
                                      std::pair{ImGuiKey_Escape, ImGuiNavInput_Cancel}}) {
        if (named == key && moves[move] == 0.0F) moves[move] = held;
    }
#endif
    return true;
}

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
