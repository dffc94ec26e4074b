// Global Trade Item Numbers (GS1 General Specifications): 8, 12, 13 or 14 digits, the last a check
// digit.
#pragma once

#include <string_view>

namespace aumbry {

/// True for 8, 12, 13 or 14 digits with the right check digit: weights 3, 1, 3, ... from the right
/// of those before it, modulo 10.
bool gtin_valid(std::string_view gtin);

} // namespace aumbry
