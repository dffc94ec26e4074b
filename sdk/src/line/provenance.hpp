// Reads what the last stage needs of host and price lists.
#pragma once

#include "line/estimate/provenance.hpp"

#include "aumbry/catalog.hpp"
#include "aumbry/options.hpp"
#include "aumbry/plugin_host.hpp"
#include "aumbry/project.hpp"
#include "aumbry/take_off.hpp"

namespace aumbry {

[[nodiscard]] Provenance provenance_of(const Project& project, const PluginHost& host,
                                       const Catalog& catalog, const Resolved& resolved,
                                       const TakenOff& taken, const EstimateOptions& options);

} // namespace aumbry
