// Rounding of what leaves the engine, so that the last bits of a double never decide anything.
#pragma once

#include <cmath>

namespace aumbry::hardware_kits {

inline constexpr int angle_decimals = 3;  ///< degrees
inline constexpr int length_decimals = 3; ///< mm
inline constexpr int torque_decimals = 3; ///< N·m
inline constexpr int force_decimals = 2;  ///< N
inline constexpr int energy_decimals = 3; ///< J
inline constexpr int mass_decimals = 3;   ///< kg

/// `value` to `decimals` decimals, halves away from zero, never negative zero.
[[nodiscard]] inline double round_to(double value, int decimals) {
    const double scale = std::pow(10.0, decimals);
    const double rounded = std::round(value * scale) / scale;
    return rounded == 0.0 ? 0.0 : rounded;
}

} // namespace aumbry::hardware_kits
