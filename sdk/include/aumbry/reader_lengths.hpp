// Lengths in sentences, in the unit of who reads them.
#pragma once

#include <string>
#include <string_view>

namespace aumbry {

/// A length in mm as its reader writes it: "1219.2 mm", or with `length_unit` "in" to the nearest
/// 1/32: "1 3/8 in".
[[nodiscard]] std::string length_text(double mm, const std::string& length_unit);

/// The text with every length written in mm ("18 mm", "400 to 650 mm", "1400 x 2000 mm") in inches
/// to the nearest 1/32 instead when `length_unit` is "in"; unchanged otherwise. What stands in
/// single quotes is a name and stays.
[[nodiscard]] std::string lengths_for_reader(std::string_view text, const std::string& length_unit);

} // namespace aumbry
