#include "aumbry/session.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/stock.hpp"

#include <algorithm>

namespace aumbry {

namespace fs = std::filesystem;

namespace {

/// The nearest folder above the project that holds suppliers/.
fs::path folder_with_suppliers(const fs::path& project) {
    fs::path folder = fs::absolute(project).parent_path().lexically_normal();
    // Shown as the user named the project: the bytes of an estimate do not depend on the folder.
    fs::path shown = project.parent_path();
    for (;;) {
        if (fs::is_directory(folder / "suppliers")) return shown.empty() ? fs::path(".") : shown;
        if (!folder.has_relative_path()) break;
        folder = folder.parent_path();
        shown = (shown.empty() ? fs::path("..") : shown / "..").lexically_normal();
    }
    fail("missing-folder", {project.string(), "", 0, 0},
         "no folder above the project holds suppliers/", "name a catalog folder with --catalogs");
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

SessionFolders find_folders(const fs::path& project, SessionFolders named) {
    const SessionFolders own = program_folders();
    SessionFolders folders = std::move(named);
    if (folders.plugins.empty()) folders.plugins = own.plugins;
    for (const fs::path& folder : folders.catalogs) {
        if (!fs::is_directory(folder))
            fail("missing-folder", {folder.string(), "", 0, 0}, "there is no such catalog folder",
                 "name one that holds suppliers/ with --catalogs");
    }
    if (folders.catalogs.empty()) folders.catalogs.push_back(folder_with_suppliers(project));
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
    Project project = with_stock(read_project(std::move(text), file));
    return alternative.empty() ? project : with_alternative(project, alternative);
}

Estimate Session::price(const Project& project, const EstimateOptions& options) const {
    return estimate(project, *host_, catalog_, options);
}

} // namespace aumbry
