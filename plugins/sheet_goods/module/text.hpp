// Sizes and names as a maker reads them.
#pragma once

#include <string>
#include <vector>

namespace aumbry::sheet_goods {

/// "18 mm" or "23/32 in"; `unit` is "mm" or "in".
[[nodiscard]] std::string length_text(double mm, const std::string& unit);
/// "1200 x 300 mm".
[[nodiscard]] std::string size_text(double length, double width, const std::string& unit);
/// "a", "a and b", "a, b and 3 more".
[[nodiscard]] std::string list_text(const std::vector<std::string>& names);
/// "1 sheet", "3 sheets".
[[nodiscard]] std::string count_text(std::int64_t count, const std::string& one,
                                     const std::string& many);

} // namespace aumbry::sheet_goods
