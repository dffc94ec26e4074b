// What the number format of a spreadsheet's cell says of its value (ECMA-376 part 1, 18.8.30).
#pragma once

#include <string>
#include <string_view>

namespace aumbry {

/// The format of positive numbers, as far as their meaning depends on it.
struct NumberFormat {
    std::string before; ///< text shown before the number: "€ "
    std::string after;  ///< and behind it: " mm"
    bool date = false;
    bool percent = false;
};

/// Reads a format code such as `0.0" mm"`, `[$€-407] #,##0.00` or `dd/mm/yyyy`.
[[nodiscard]] NumberFormat read_number_format(std::string_view code);

/// Of the formats that have a number only (18.8.30, table of implied codes).
[[nodiscard]] NumberFormat built_in_format(int id);

} // namespace aumbry
