#include "aumbry/session.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/new_project.hpp"
#include "aumbry/stock.hpp"
#include "aumbry/times_file.hpp"

#include <algorithm>
#include <cstdlib>
#include <initializer_list>

namespace aumbry {

namespace fs = std::filesystem;

namespace {

/// The nearest folder above the project that holds one of some folders; empty when none does.
fs::path folder_with(const fs::path& project, std::initializer_list<const char*> held) {
    fs::path folder = fs::absolute(project).parent_path().lexically_normal();
    // Shown as the user named the project: the bytes of an estimate do not depend on the folder.
    fs::path shown = project.parent_path();
    for (;;) {
        if (std::any_of(held.begin(), held.end(),
                        [&](const char* name) { return fs::is_directory(folder / name); }))
            return shown.empty() ? fs::path(".") : shown;
        if (!folder.has_relative_path()) return {};
        folder = folder.parent_path();
        shown = (shown.empty() ? fs::path("..") : shown / "..").lexically_normal();
    }
}

/// The user's own: those kept with the answers, then those in the folder for data.
std::vector<fs::path> users_catalogs() {
    std::vector<fs::path> folders;
    for (const std::string& kept : read_maker(maker_file()).catalogs) {
        if (fs::is_directory(kept)) folders.emplace_back(kept);
    }
    if (const fs::path own = user_folders().data / "catalogs"; fs::is_directory(own))
        folders.push_back(own);
    return folders;
}

/// Where suppliers are found that nobody named.
fs::path found_catalogs(const fs::path& project) {
    if (fs::path above = folder_with(project, {"suppliers"}); !above.empty()) return above;
    std::vector<fs::path> others = users_catalogs();
    others.push_back(program_prefix() / "share" / "aumbry" / "catalogs");
    for (const fs::path& folder : others) {
        if (fs::is_directory(folder / "suppliers")) return folder;
    }
    fail("missing-folder", {project.string(), "", 0, 0},
         "no folder above the project holds suppliers/, and there are none of your own",
         "name a catalog folder with --catalogs");
}

void refuse_missing(const std::vector<fs::path>& catalogs) {
    for (const fs::path& folder : catalogs) {
        if (!fs::is_directory(folder))
            fail("missing-folder", {folder.string(), "", 0, 0}, "there is no such catalog folder",
                 "name one that holds suppliers/ with --catalogs");
    }
}

fs::path user_folder(const char* variable, const char* below_home) {
    const char* folder = std::getenv(variable);
    if (folder != nullptr && *folder != '\0') return fs::path(folder) / "aumbry";
    const char* home = std::getenv("HOME");
    if (home == nullptr || *home == '\0') return {};
    return fs::path(home) / below_home / "aumbry";
}

fs::path folder_of_program() {
    std::error_code error;
    const fs::path program = fs::read_symlink("/proc/self/exe", error);
    return error ? fs::path(".") : program.parent_path();
}

} // namespace

fs::path program_prefix() {
    return folder_of_program().parent_path();
}

SessionFolders program_folders() {
    const fs::path prefix = program_prefix();
    return {{(folder_of_program() / AUMBRY_PLUGIN_DIR_FROM_PROGRAM).lexically_normal()},
            {prefix / "share" / "aumbry" / "standard"}};
}

UserFolders user_folders() {
    return {user_folder("XDG_CONFIG_HOME", ".config"),
            user_folder("XDG_DATA_HOME", ".local/share")};
}

std::vector<fs::path> piece_folders(const fs::path& project, const SessionFolders& named) {
    refuse_missing(named.catalogs);
    std::vector<fs::path> folders = named.catalogs;
    if (folders.empty()) {
        if (fs::path above = folder_with(project, {"pieces", "suppliers"}); !above.empty())
            folders.push_back(std::move(above));
    }
    for (fs::path& own : users_catalogs()) folders.push_back(std::move(own));
    folders.push_back(program_folders().catalogs.front());
    return folders;
}

SessionFolders find_folders(const fs::path& project, SessionFolders named) {
    const SessionFolders own = program_folders();
    SessionFolders folders = std::move(named);
    if (folders.plugins.empty()) folders.plugins = own.plugins;
    refuse_missing(folders.catalogs);
    if (folders.catalogs.empty()) folders.catalogs.push_back(found_catalogs(project));
    const bool tables =
        std::any_of(folders.catalogs.begin(), folders.catalogs.end(),
                    [](const fs::path& folder) { return fs::is_directory(folder / "reference"); });
    if (!tables) folders.catalogs.push_back(own.catalogs.front());
    return folders;
}

Session::Session(const SessionFolders& folders)
    : host_(std::make_unique<PluginHost>(folders.plugins)),
      catalog_(load_catalog(folders.catalogs, host_->catalog_classes())) {}

Project Session::with_file(const std::string& file, const std::string& alternative) {
    return with_text(read_file(file), file, alternative);
}

Project Session::with_text(std::string text, const std::string& file,
                           const std::string& alternative) {
    Project project = with_times(with_stock(read_project(std::move(text), file)));
    return alternative.empty() ? project : with_alternative(project, alternative);
}

Estimate Session::price(const Project& project, const EstimateOptions& options) const {
    return estimate(project, *host_, catalog_, options);
}

} // namespace aumbry
