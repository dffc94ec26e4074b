// What one spare sheet of each material would cost.
#pragma once

#include "aumbry/line.hpp"

namespace aumbry {

/// The estimate with its `spare_sheets`, by material: one sheet more, as large as the largest that
/// the plan cuts (to 1 mm: common practice, lists state nominal sizes), from whoever makes the
/// purchase cost least with it; everything else bought as it is. The difference counts delivery,
/// quantity breaks and the rest of the terms; below zero when the sheet makes a delivery free.
/// @throws FaultError as estimate().
[[nodiscard]] Estimate estimate_with_spare_sheets(const Project& project, PluginHost& host,
                                                  const Catalog& catalog,
                                                  const EstimateOptions& options = {});

} // namespace aumbry
