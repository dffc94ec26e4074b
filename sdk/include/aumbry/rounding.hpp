// Rounding to stated decimals and writing numbers, the same on every machine and under every
// locale.
#pragma once

#include <string>

namespace aumbry {

/// `value` rounded to `decimals` (-12..15), half away from zero as the double's shortest decimal
/// spelling stands (2.675 to two decimals is 2.68); -0 becomes 0; a value that is not finite stays
/// as it is.
double round_to(double value, int decimals);

/// As round_to, but an exact half goes to the even neighbour (the metric rule of PS 20, appendix
/// B).
double round_half_even(double value, int decimals);

/// `value` rounded to `digits` significant digits (1..17), as the nearest decimal of that length.
double round_to_significant(double value, int digits);

/// Fixed notation with exactly `decimals` decimals: "12.50", "-0.1", "0". Rounded as by round_to.
std::string format_number(double value, int decimals);

/// Fixed notation with at most `decimals` decimals and no trailing zeros: "12.5", "18".
std::string format_trimmed(double value, int decimals);

} // namespace aumbry
