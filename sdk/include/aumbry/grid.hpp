// The grid on which cutting and fitting work: whole steps of 1/8000 mm, so that no fit is decided
// by a rounding error. 1 mm = 8000 steps; 1/64 in = 3175 steps exactly (25.4 mm / 64 * 8000).
#pragma once

#include "aumbry/measure.hpp"

#include <cstdint>

namespace aumbry {

/// A length in steps of 1/8000 mm.
using GridLength = std::int64_t;

inline constexpr GridLength steps_per_mm = 8000;
inline constexpr GridLength steps_per_inch = 203200;

/// The nearest step to a length in mm, half away from zero.
/// Throws FaultError "off-grid" when it is not finite or longer than 1e9 mm.
GridLength to_grid(double mm);
inline GridLength to_grid(Length length) {
    return to_grid(length.mm());
}

/// The length of `steps` in mm; to_grid() gives the steps back for every length below 1e9 mm.
constexpr double to_mm(GridLength steps) {
    return static_cast<double>(steps) / static_cast<double>(steps_per_mm);
}

} // namespace aumbry
