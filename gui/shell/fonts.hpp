// The letters: a sans-serif face of the system with the signs that our texts use.
#pragma once

#include "shell/theme.hpp"

#include <string>

namespace aumbry::gui {

/// The file of the system's sans-serif face, found through fontconfig; empty when there is none.
[[nodiscard]] std::string find_font();

/// Fills ImGui's atlas with the sizes of the theme's type scale. An unreadable or empty `file`
/// falls back on ImGui's own letters, which lack a few signs. Returns whether `file` was used.
bool load_fonts(Theme& theme, const std::string& file);

} // namespace aumbry::gui
