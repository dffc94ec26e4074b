// What can hurt whoever saws solid wood, and what spoils it: old nails and preservatives, dust,
// steel in wood rich in tannin. Each stands at the step where it matters.
#pragma once

#include "aumbry/contract.hpp"

#include <string>
#include <vector>

namespace aumbry::solid_stock {

/// Of one group's wood, at the step that cuts it.
void say_dangers(const contract::TakeOffRequest& request, const std::string& step,
                 std::vector<contract::Finding>& findings);

/// A caution for each wood rich in tannin in a piece whose fasteners are of plain steel.
void say_tannin(const contract::FollowRequest& request, std::vector<contract::Finding>& findings);

/// A warning for each tall piece of solid wood that no fixing of the project holds and that a
/// climbing child tips, by the highest of its parts that are said to stand upright.
void say_tipping(const contract::FollowRequest& request, std::vector<contract::Finding>& findings);

} // namespace aumbry::solid_stock
