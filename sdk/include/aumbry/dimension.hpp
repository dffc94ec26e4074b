// Dimensions as exponent vectors over length, mass, time and angle. A count or ratio has no
// dimension.
#pragma once

#include "aumbry/fault.hpp"

#include <cstdint>
#include <string>

namespace aumbry {

/// What kind of thing a number measures: area is length 2, force is length 1, mass 1, time -2.
struct Dimension {
    std::int8_t length = 0;
    std::int8_t mass = 0;
    std::int8_t time = 0;
    std::int8_t angle = 0;

    constexpr bool operator==(const Dimension&) const = default;
    [[nodiscard]] constexpr bool is_none() const { return *this == Dimension{}; }
};

namespace detail {
constexpr std::int8_t exponent(int value) {
    if (value < -99 || value > 99)
        fail("dimension-clash", {}, "a product of quantities has an exponent beyond 99",
             "multiply fewer quantities");
    return static_cast<std::int8_t>(value);
}
} // namespace detail

constexpr Dimension operator*(Dimension a, Dimension b) {
    return {detail::exponent(a.length + b.length), detail::exponent(a.mass + b.mass),
            detail::exponent(a.time + b.time), detail::exponent(a.angle + b.angle)};
}
constexpr Dimension operator/(Dimension a, Dimension b) {
    return {detail::exponent(a.length - b.length), detail::exponent(a.mass - b.mass),
            detail::exponent(a.time - b.time), detail::exponent(a.angle - b.angle)};
}
/// The dimension of the n-th power.
constexpr Dimension power(Dimension d, int n) {
    return {detail::exponent(d.length * n), detail::exponent(d.mass * n),
            detail::exponent(d.time * n), detail::exponent(d.angle * n)};
}

namespace dimension {
inline constexpr Dimension none{};
inline constexpr Dimension length{1, 0, 0, 0};
inline constexpr Dimension area{2, 0, 0, 0};
inline constexpr Dimension volume{3, 0, 0, 0};
inline constexpr Dimension mass{0, 1, 0, 0};
inline constexpr Dimension duration{0, 0, 1, 0};
inline constexpr Dimension angle{0, 0, 0, 1};
inline constexpr Dimension force{1, 1, -2, 0};
inline constexpr Dimension torque{2, 1, -2, 0};
inline constexpr Dimension stress{-1, 1, -2, 0};
inline constexpr Dimension density{-3, 1, 0, 0};
inline constexpr Dimension mass_per_area{-2, 1, 0, 0};
inline constexpr Dimension spread_rate{-1, 0, 0, 0}; ///< area a volume of coating covers
} // namespace dimension

/// In plain words: "length", "mass", "area", "number" for none, else like "length·mass" or
/// "mass/time".
std::string dimension_name(Dimension dimension);

} // namespace aumbry
