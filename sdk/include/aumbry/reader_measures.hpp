// Measures in sentences, in the units of who reads them: millimetres, kilograms and litres, or
// inches, pounds and gallons.
#pragma once

#include <string>
#include <string_view>

namespace aumbry {

/// A length in mm as its reader writes it: "1219.2 mm", or with `length_unit` "in" to the nearest
/// 1/32: "1 3/8 in".
[[nodiscard]] std::string length_text(double mm, const std::string& length_unit);

/// A mass in kg: "12.5 kg", or with `length_unit` "in" in pounds: "27.6 lb"; at most so many
/// decimals.
[[nodiscard]] std::string mass_text(double kg, const std::string& length_unit, int decimals = 1);

/// A volume in litres: "0.919 L", or with `length_unit` "in" in US fluid ounces, quarts or gallons:
/// "31.1 fl oz", "3.4 qt", "2.5 gal".
[[nodiscard]] std::string volume_text(double litres, const std::string& length_unit);

/// The text with every length, area, volume, mass and force in metric units ("18 mm", "400 to 650
/// mm", "1400 x 2000 mm", "46.8 kg", "0.9 L") in those of the reader instead when `length_unit` is
/// "in": inches to the nearest 1/32, feet, square feet, pounds, gallons; unchanged otherwise. What
/// stands in single quotes is a name and stays.
[[nodiscard]] std::string measures_for_reader(std::string_view text,
                                              const std::string& length_unit);

} // namespace aumbry
