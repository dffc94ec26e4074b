// Lengths in sentences, in the unit of who reads them.
#pragma once

#include <string>
#include <string_view>

namespace aumbry {

/// The text with every length written in mm ("18 mm", "400 to 650 mm", "1400 x 2000 mm") in inches
/// to the nearest 1/32 instead when `length_unit` is "in"; unchanged otherwise. What stands in
/// single quotes is a name and stays.
[[nodiscard]] std::string lengths_for_reader(std::string_view text, const std::string& length_unit);

} // namespace aumbry
