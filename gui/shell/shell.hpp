// The shell: a window of the system, OpenGL 3, and the application inside.
#pragma once

#include "app/application.hpp"

#include <filesystem>
#include <optional>
#include <string>

namespace aumbry::gui {

struct ShellOptions {
    ApplicationOptions application;
    std::filesystem::path settings_file; ///< where settings are kept; empty: nowhere
    std::filesystem::path project;       ///< opened first; may be empty
    std::optional<View> view;            ///< shown first
};

/// Runs until the person leaves. @throws FaultError "no-display", "no-opengl".
void run_window(ShellOptions options);

} // namespace aumbry::gui
