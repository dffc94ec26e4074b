// Take-off of a group of panels of one specification.
#pragma once

#include "aumbry/contract.hpp"
#include "aumbry/stop.hpp"

#include <string>
#include <vector>

namespace aumbry::sheet_goods {

[[nodiscard]] contract::TakeOffReply take_off_panels(const contract::TakeOffRequest& request,
                                                     const Stop& stop = {});

/// Better ways to buy and cut the panels, under the costs of the request.
[[nodiscard]] contract::PlanReply plan_panels(const contract::PlanRequest& request,
                                              const Stop& stop = {});

/// The name of a group in ids and references: its first material role.
[[nodiscard]] std::string group_name(const std::vector<contract::Line>& lines);

} // namespace aumbry::sheet_goods
