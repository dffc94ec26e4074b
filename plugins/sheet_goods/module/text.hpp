// Sizes and names as a maker reads them.
#pragma once

#include "aumbry/json.hpp"

#include <optional>
#include <string>
#include <vector>

namespace aumbry::sheet_goods {

/// "1200 x 300 mm"; `unit` is "mm" or "in".
[[nodiscard]] std::string size_text(double length, double width, const std::string& unit);
/// "a", "a and b", "a, b and 3 more".
[[nodiscard]] std::string list_text(const std::vector<std::string>& names);
/// "1 sheet", "3 sheets".
[[nodiscard]] std::string count_text(std::int64_t count, const std::string& one,
                                     const std::string& many);

/// A number of a group's or material's values that counts only above zero.
[[nodiscard]] std::optional<double> stated(const Json& values, const char* key);

} // namespace aumbry::sheet_goods
