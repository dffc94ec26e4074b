// What one spare sheet of each material would cost.
#pragma once

#include "line/stages.hpp"

namespace aumbry {

/// By material: one sheet more, as large as the largest that the plan cuts, from whoever makes the
/// purchase cost least with it; everything else bought as it is. The difference counts delivery,
/// quantity breaks and the rest of the terms; below zero when the sheet makes a delivery free.
[[nodiscard]] std::vector<EstimateSpare> spare_sheets(const Prepared& prepared,
                                                      const Procurement& bought);

} // namespace aumbry
