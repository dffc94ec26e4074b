#include "shell/settings.hpp"

#include "aumbry/json.hpp"
#include "aumbry/save_file.hpp"

#include <algorithm>
#include <cstdlib>
#include <fstream>
#include <sstream>

namespace aumbry::gui {

namespace {

constexpr std::size_t max_recent = 8;

} // namespace

void note_recent(Settings& settings, const std::filesystem::path& file) {
    std::error_code error;
    const std::filesystem::path whole = std::filesystem::absolute(file, error);
    const std::string name = (error ? file : whole.lexically_normal()).string();
    std::erase(settings.recent, name);
    settings.recent.insert(settings.recent.begin(), name);
    if (settings.recent.size() > max_recent) settings.recent.resize(max_recent);
}

std::filesystem::path settings_file() {
    const char* folder = std::getenv("XDG_CONFIG_HOME");
    if (folder != nullptr && *folder != '\0')
        return std::filesystem::path(folder) / "aumbry" / "window.json";
    const char* home = std::getenv("HOME");
    if (home == nullptr || *home == '\0') return {};
    return std::filesystem::path(home) / ".config" / "aumbry" / "window.json";
}

Settings read_settings(const std::filesystem::path& file) {
    Settings settings;
    std::ifstream in(file, std::ios::binary);
    if (!in) return settings;
    std::ostringstream text;
    text << in.rdbuf();
    const Json json = Json::parse(text.str(), nullptr, false);
    if (!json.is_object()) return settings;
    const auto number = [&](const char* key, double fallback, double min, double max) {
        const auto found = json.find(key);
        if (found == json.end() || !found->is_number()) return fallback;
        return std::clamp(found->get<double>(), min, max);
    };
    if (const auto dark = json.find("dark"); dark != json.end() && dark->is_boolean())
        settings.dark = dark->get<bool>();
    settings.text_scale = static_cast<float>(number("text_scale", 1, 0.75, 3));
    settings.width = static_cast<int>(number("width", settings.width, 640, 10000));
    settings.height = static_cast<int>(number("height", settings.height, 480, 10000));
    if (const auto recent = json.find("recent"); recent != json.end() && recent->is_array()) {
        for (const Json& each : *recent) {
            if (each.is_string() && settings.recent.size() < max_recent)
                settings.recent.push_back(each.get<std::string>());
        }
    }
    return settings;
}

void write_settings(const Settings& settings, const std::filesystem::path& file) {
    if (file.empty()) return;
    std::error_code error;
    std::filesystem::create_directories(file.parent_path(), error);
    try {
        save_file(file, pretty(Json{{"dark", settings.dark},
                                    {"text_scale", settings.text_scale},
                                    {"width", settings.width},
                                    {"height", settings.height},
                                    {"recent", settings.recent}}));
    } catch (const FaultError&) {
        // See the header: nobody is stopped for this.
    }
}

} // namespace aumbry::gui
