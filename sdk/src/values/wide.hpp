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
    constexpr std::int64_t small[] = {1,
                                      10,
                                      100,
                                      1000,
                                      10000,
                                      100000,
                                      1000000,
                                      10000000,
                                      100000000,
                                      1000000000,
                                      10000000000,
                                      100000000000,
                                      1000000000000,
                                      10000000000000,
                                      100000000000000,
                                      1000000000000000,
                                      10000000000000000,
                                      100000000000000000,
                                      1000000000000000000};
    Int power = 1;
    for (; exponent > 18; exponent -= 18) power = times(power, small[18]);
    return times(power, small[exponent]);
}

inline bool fits_in_64_bits(Int value) {
    return value <= std::numeric_limits<std::int64_t>::max() &&
           value >= std::numeric_limits<std::int64_t>::min();
}

/// Nearest whole number to a / b, half away from zero; b is not zero.
inline Int rounded_quotient(Int a, Int b) {
    if (b < 0) {
        a = -a;
        b = -b;
    }
    Int quotient = 0;
    Int remainder = 0;
    if (fits_in_64_bits(a) && fits_in_64_bits(b)) { // many times quicker
        quotient = static_cast<std::int64_t>(a) / static_cast<std::int64_t>(b);
        remainder = static_cast<std::int64_t>(a) % static_cast<std::int64_t>(b);
    } else {
        quotient = a / b;
        remainder = a % b;
    }
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
    if (!fits_in_64_bits(value)) overflow(of_what);
    return static_cast<std::int64_t>(value);
}

/// round(a / b * 10^exponent), half away from zero; b is not zero and exponent within -38..38.
inline Int scaled_quotient(Int a, Int b, int exponent) {
    Int above = 0;
    Int below = 0;
    if (!__builtin_mul_overflow(a, power_of_ten(exponent > 0 ? exponent : 0), &above) &&
        !__builtin_mul_overflow(b, power_of_ten(exponent < 0 ? -exponent : 0), &below))
        return rounded_quotient(above, below);
    // Too large as it stands: in lowest terms it may fit.
    const Int common = greatest_common_divisor(a, b);
    a /= common;
    b /= common;
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
