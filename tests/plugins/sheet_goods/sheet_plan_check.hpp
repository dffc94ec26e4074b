// Checks a cutting plan as data, from outside: by the request and by geometry alone.
#pragma once

#include "aumbry/contract.hpp"

#include <map>
#include <string>
#include <vector>

namespace aumbry::sheet_goods::module_testing {

struct PlanRules {
    double vehicle_length = 0, vehicle_width = 0; ///< 0: nothing has to be carried
};

/// The plans of a way as a document has them.
[[nodiscard]] Json plans_of(const contract::Way& way);

/// What is wrong with a way's plans, one sentence each: parts inside the sheet and apart by the
/// kerf, each blank made by the cut that names it, every blank of a part as large as the part,
/// grain kept, every line as often as it counts, dealer's cuts first, and blanks that the dealer
/// leaves no larger than the vehicle. `expected` is the count by line.
[[nodiscard]] std::vector<std::string>
faults_of_plans(const contract::Way& way, const std::vector<contract::Line>& lines,
                const std::map<std::string, std::int64_t>& expected, const PlanRules& rules = {});

} // namespace aumbry::sheet_goods::module_testing
