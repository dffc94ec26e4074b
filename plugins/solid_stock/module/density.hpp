// How heavy wood is.
#pragma once

#include "aumbry/contract.hpp"

#include <string>

namespace aumbry::solid_stock {

/// kg/m3 of a line's wood: as its material states it, else of its species from the table of
/// reference; 0 when neither knows it. `source` says which.
[[nodiscard]] double density_of(const contract::Line& line, const Json& tables,
                                std::string& source);

} // namespace aumbry::solid_stock
