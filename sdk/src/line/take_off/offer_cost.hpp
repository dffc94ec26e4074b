// What a price adds to the cost of the job, for modules to choose ways by.
#pragma once

#include "aumbry/resolved_project.hpp"
#include "aumbry/supplier.hpp"

#include <optional>
#include <string>

namespace aumbry {

/// A supplier's price in the project's currency, without the tax that is got back and with the tax
/// that is not; in whole millionths. None without a rate of exchange, and for a price that is none.
[[nodiscard]] std::optional<double> cost_of_price(const Resolved& project, const Supplier& supplier,
                                                  const std::string& price);

} // namespace aumbry
