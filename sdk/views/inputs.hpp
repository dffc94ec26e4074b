// Where a run's inputs stand: modules and catalogs beside the program or above the project.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace aumbry::inputs {

/// The folder above the one that the program stands in: `lib` and `share` are its neighbours, built
/// or installed.
[[nodiscard]] std::filesystem::path prefix();

/// The named plugin folders, or those of this program.
[[nodiscard]] std::vector<std::filesystem::path>
plugin_folders(const std::vector<std::string>& named);

/// The named catalog folders, or the nearest folder above the project that holds suppliers; and the
/// program's own reference tables when those have none.
/// @throws FaultError "missing-folder".
[[nodiscard]] std::vector<std::filesystem::path>
catalog_folders(const std::filesystem::path& project, const std::vector<std::string>& named);

} // namespace aumbry::inputs
