// The times by which hours are counted: settings of modules, in minutes.
#pragma once

#include "line/estimate/provenance.hpp"

#include "aumbry/estimate.hpp"
#include "aumbry/resolved_project.hpp"

namespace aumbry {

/// The settings in minutes of every module that has priced lines: those of unit "min", and plain
/// numbers with "minutes" in their name. By module, as it describes them.
[[nodiscard]] std::vector<EstimateTime> times_of(const Resolved& project, const Provenance& from);

} // namespace aumbry
