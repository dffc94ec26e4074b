// Sizes and names as a maker reads them.
#pragma once

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

} // namespace aumbry::sheet_goods
