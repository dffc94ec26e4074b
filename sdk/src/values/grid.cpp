#include "aumbry/grid.hpp"

#include "aumbry/fault.hpp"

#include <cmath>

namespace aumbry {

GridLength to_grid(double mm) {
    if (!std::isfinite(mm) || std::fabs(mm) > 1e9)
        fail("off-grid", {}, "a length is not finite or longer than 1000 km",
             "check the size it comes from");
    return std::llround(mm * static_cast<double>(steps_per_mm));
}

} // namespace aumbry
