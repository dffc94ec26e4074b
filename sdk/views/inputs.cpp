#include "views/inputs.hpp"

#include "aumbry/fault.hpp"

#include <algorithm>

namespace aumbry::inputs {

namespace {

std::vector<std::filesystem::path> supplier_folders(const std::filesystem::path& project,
                                                    const std::vector<std::string>& named) {
    if (!named.empty()) {
        for (const std::string& folder : named) {
            if (!std::filesystem::is_directory(folder))
                fail("missing-folder", {folder, "", 0, 0}, "there is no such catalog folder",
                     "name one that holds suppliers/ with --catalogs");
        }
        return {named.begin(), named.end()};
    }
    std::filesystem::path folder =
        std::filesystem::absolute(project).parent_path().lexically_normal();
    // Shown as the user named the project: the bytes of an estimate do not depend on the folder.
    std::filesystem::path shown = project.parent_path();
    for (;;) {
        if (std::filesystem::is_directory(folder / "suppliers"))
            return {shown.empty() ? std::filesystem::path(".") : shown};
        if (!folder.has_relative_path()) break;
        folder = folder.parent_path();
        shown = (shown.empty() ? std::filesystem::path("..") : shown / "..").lexically_normal();
    }
    fail("missing-folder", {project.string(), "", 0, 0},
         "no folder above the project holds suppliers/", "name a catalog folder with --catalogs");
}

} // namespace

std::filesystem::path prefix() {
    std::error_code error;
    const std::filesystem::path program = std::filesystem::read_symlink("/proc/self/exe", error);
    return error ? std::filesystem::path(".") : program.parent_path().parent_path();
}

std::vector<std::filesystem::path> plugin_folders(const std::vector<std::string>& named) {
    if (!named.empty()) return {named.begin(), named.end()};
    return {prefix() / "lib" / "aumbry" / "plugins"};
}

std::vector<std::filesystem::path> catalog_folders(const std::filesystem::path& project,
                                                   const std::vector<std::string>& named) {
    std::vector<std::filesystem::path> folders = supplier_folders(project, named);
    const bool tables =
        std::any_of(folders.begin(), folders.end(), [](const std::filesystem::path& folder) {
            return std::filesystem::is_directory(folder / "reference");
        });
    if (!tables) folders.push_back(prefix() / "share" / "aumbry" / "standard");
    return folders;
}

} // namespace aumbry::inputs
