// Piece files hold both systems of units: `{ "mm": "880 mm", "in": "34 1/2 in" }` stands wherever
// what is usual differs.
#pragma once

#include "aumbry/json.hpp"

#include <optional>
#include <string>
#include <string_view>

namespace aumbry {

/// What of a value holds for a length unit; empty when nothing does.
[[nodiscard]] std::optional<Json> in_unit(const Json& value, std::string_view length_unit);

/// Where what stands at a pointer of the bill for a unit stands in the piece file.
[[nodiscard]] std::string pointer_in_file(const Json& document, std::string_view length_unit,
                                          const std::string& pointer);

} // namespace aumbry
