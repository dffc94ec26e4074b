// Checks a plan from outside the engine: from the order, the placements and the cuts alone.
#pragma once

#include "sheet_goods/engine/cutting.hpp"

#include <string>
#include <vector>

namespace aumbry::sheet_goods {

/// What is wrong with the plan, one sentence each; empty when nothing is.
[[nodiscard]] std::vector<std::string> faults_of(const Plan& plan, const CuttingJob& order);

} // namespace aumbry::sheet_goods
