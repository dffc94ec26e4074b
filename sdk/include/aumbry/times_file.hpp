// The times document, `"aumbry_times": 1`: how long a maker takes for each operation, kept in one
// file for all jobs. A project names it under `times`; what its own `settings` state wins.
#pragma once

#include "aumbry/estimate_work.hpp"
#include "aumbry/json.hpp"
#include "aumbry/project.hpp"

#include <string>
#include <vector>

namespace aumbry {

/// The version of the times document.
inline constexpr int times_version = 1;

/// The project with the times of the file that it names among its settings, by module. The file is
/// relative to the project's.
/// @throws FaultError "wrong-type" for a name that is none, and of the file "missing-file",
/// "unreadable-file", "bad-json", "no-times", "newer-version", "wrong-type", "unknown-key".
[[nodiscard]] Project with_times(Project project);

/// The document of some times, one member an operation, for the maker to edit.
[[nodiscard]] std::string times_document(const std::vector<EstimateTime>& times);

} // namespace aumbry
