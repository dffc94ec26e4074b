// The stock document, `"aumbry_stock": 1`: what jobs left over and later ones use up. A project
// names stock files under `stock`; `aumbry close` writes them.
#pragma once

#include "aumbry/project.hpp"

namespace aumbry {

/// The version of the stock document.
inline constexpr int stock_version = 1;

/// The project with the items of the stock files that it names among what it owns. Files are
/// relative to the project's. An "owned" that is no object is left for `resolve` to say.
/// @throws FaultError "wrong-type" for a list of names that is none, and of the stock file
/// "missing-file", "unreadable-file", "bad-json", "no-stock", "newer-version", "name-clash".
[[nodiscard]] Project with_stock(Project project);

} // namespace aumbry
