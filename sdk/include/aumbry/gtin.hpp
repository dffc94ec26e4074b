// Global Trade Item Numbers (GS1 General Specifications): 8, 12, 13 or 14 digits, the last a check
// digit.
#pragma once

#include <string_view>

namespace aumbry {

/// The check digit for the digits before it: weights 3, 1, 3, ... from the right, modulo 10.
/// Throws FaultError "bad-gtin" unless given 7, 11, 12 or 13 digits.
char gtin_check_digit(std::string_view digits_before);

/// True for 8, 12, 13 or 14 digits with the right check digit.
bool gtin_valid(std::string_view gtin);

} // namespace aumbry
