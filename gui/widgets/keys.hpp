// Keys, as old and new versions of Dear ImGui know them.
#pragma once

#include <imgui.h>

namespace aumbry::gui {

/// A named key was pressed in this frame, repeats counting.
[[nodiscard]] bool pressed(ImGuiKey key);
/// A named key went down in this frame: whatever is drawn afterwards sees no press of it.
[[nodiscard]] bool swallow_press(ImGuiKey key);
/// A letter or digit key, 'A' to 'Z', '0' to '9', '-' and '=', was pressed in this frame.
[[nodiscard]] bool pressed(char key);
/// The same together with Ctrl, and with Shift too or without.
[[nodiscard]] bool pressed_with_control(char key, bool shift = false);

} // namespace aumbry::gui
