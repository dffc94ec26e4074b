// Constants that tests of the kits reckon with.
#pragma once

#include <numbers>

namespace aumbry::hardware_kits {

inline constexpr double degree = std::numbers::pi / 180.0;
inline constexpr double inch = 25.4; // mm, by definition (1959)
inline constexpr double g = 9.80665; // m/s2, CGPM 1901

} // namespace aumbry::hardware_kits
