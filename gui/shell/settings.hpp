// What the window remembers from one run to the next.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace aumbry::gui {

struct Settings {
    bool dark = false;
    float text_scale = 1;            ///< 0.75 to 3, on top of the display's own scale
    std::vector<std::string> recent; ///< files, the latest first
    int width = 1280;
    int height = 800;
};

/// Puts a file at the head of the recent ones.
void note_recent(Settings& settings, const std::filesystem::path& file);

/// `$XDG_CONFIG_HOME/aumbry/window.json`, or below `~/.config` (XDG Base Directory Specification);
/// empty when neither is known.
[[nodiscard]] std::filesystem::path settings_file();

/// Reads settings; whatever is missing or makes no sense keeps its default.
[[nodiscard]] Settings read_settings(const std::filesystem::path& file);
/// Writes settings. Failing is no reason to stop anybody: it is passed over.
void write_settings(const Settings& settings, const std::filesystem::path& file);

} // namespace aumbry::gui
