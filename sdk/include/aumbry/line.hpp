// The line: from a project and price lists to its estimate.
#pragma once

#include "aumbry/catalog.hpp"
#include "aumbry/estimate.hpp"
#include "aumbry/options.hpp"
#include "aumbry/plugin_host.hpp"
#include "aumbry/project.hpp"

namespace aumbry {

/// Runs the whole line: resolve, take off, procure, follow, schedule, estimate.
/// @throws FaultError with every fault of the project; "no-modules" when there is no module at all.
[[nodiscard]] Estimate estimate(const Project& project, PluginHost& host, const Catalog& catalog,
                                const EstimateOptions& options = {});

} // namespace aumbry
