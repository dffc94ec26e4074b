// Decimals to which figures are rounded when they leave the engine or decide anything.
#pragma once

#include "aumbry/rounding.hpp"

namespace aumbry::hardware_kits {

inline constexpr int angle_decimals = 3;  ///< degrees
inline constexpr int length_decimals = 3; ///< mm
inline constexpr int torque_decimals = 3; ///< N·m
inline constexpr int force_decimals = 2;  ///< N
inline constexpr int energy_decimals = 3; ///< J
inline constexpr int mass_decimals = 3;   ///< kg

} // namespace aumbry::hardware_kits
