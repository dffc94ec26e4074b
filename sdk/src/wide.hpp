// Whole numbers of 128 bits for exact products and quotients of decimals.
#pragma once

#include "aumbry/fault.hpp"

#include <cstdint>
#include <limits>
#include <string>

namespace aumbry::wide {

__extension__ using Int = __int128;

[[noreturn]] inline void overflow(const std::string& of_what) {
    fail("amount-overflow", {}, of_what + " is too large to be computed exactly",
         "use amounts below 9 000 000 000 000 000 000 minor units and at most 12 decimals");
}

inline Int times(Int a, Int b) {
    Int product = 0;
    if (__builtin_mul_overflow(a, b, &product)) overflow("a product");
    return product;
}

inline Int plus(Int a, Int b) {
    Int sum = 0;
    if (__builtin_add_overflow(a, b, &sum)) overflow("a sum");
    return sum;
}

/// 10^exponent, exponent 0..38.
inline Int power_of_ten(int exponent) {
    Int power = 1;
    for (int i = 0; i < exponent; ++i) power = times(power, 10);
    return power;
}

/// Nearest whole number to a / b, half away from zero; b is not zero.
inline Int rounded_quotient(Int a, Int b) {
    if (b < 0) {
        a = -a;
        b = -b;
    }
    const Int quotient = a / b;
    const Int remainder = a % b;
    const Int size = remainder < 0 ? -remainder : remainder;
    // size >= b - size says 2 * size >= b without leaving the range.
    if (size >= b - size) return remainder < 0 ? quotient - 1 : quotient + 1;
    return quotient;
}

inline Int greatest_common_divisor(Int a, Int b) {
    if (a < 0) a = -a;
    if (b < 0) b = -b;
    while (b != 0) {
        const Int remainder = a % b;
        a = b;
        b = remainder;
    }
    return a;
}

inline std::int64_t narrow(Int value, const std::string& of_what) {
    if (value > std::numeric_limits<std::int64_t>::max() ||
        value < std::numeric_limits<std::int64_t>::min())
        overflow(of_what);
    return static_cast<std::int64_t>(value);
}

/// round(a / b * 10^exponent), half away from zero, b not zero.
inline Int scaled_quotient(Int a, Int b, int exponent) {
    const Int common = greatest_common_divisor(a, b);
    if (common > 1) {
        a /= common;
        b /= common;
    }
    for (; exponent > 0; --exponent) {
        if (b % 10 == 0)
            b /= 10;
        else
            a = times(a, 10);
    }
    for (; exponent < 0; ++exponent) {
        if (a % 10 == 0)
            a /= 10;
        else
            b = times(b, 10);
    }
    return rounded_quotient(a, b);
}

} // namespace aumbry::wide
