// What an estimate is asked for: how hard to search, and what the purchase is to be best in.
#pragma once

#include "aumbry/date.hpp"

#include <optional>
#include <string>

namespace aumbry {

enum class Objective {
    cheapest,        ///< least delivered cost
    earliest,        ///< earliest finish, and the least cost with it
    fewest_suppliers ///< fewest orders, and the least cost with them
};

struct EstimateOptions {
    std::string effort = "normal"; ///< draft, normal, thorough
    Objective objective = Objective::cheapest;
    std::optional<Date> finish_by;
    std::optional<int> max_suppliers;
};

} // namespace aumbry
