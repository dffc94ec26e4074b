// Quantities whose dimension is known only when the program runs: what a person writes, what a
// formula computes, what the contract carries. The strong types for compiled code are in
// measure.hpp.
#pragma once

#include "aumbry/dimension.hpp"
#include "aumbry/measure.hpp"
#include "aumbry/rounding.hpp"

#include <span>
#include <string>
#include <string_view>

namespace aumbry {

/// A number with its dimension, in the base units mm, kg, s and degree and their products.
struct Quantity {
    double value = 0;
    Dimension dimension;

    constexpr Quantity() = default;
    constexpr Quantity(double value_in_base_units, Dimension of)
        : value(value_in_base_units), dimension(of) {}
    /// A number without dimension.
    constexpr explicit Quantity(double number) : value(number) {}
    template <Dimension D>
    constexpr Quantity(Measure<D> measure) : value(measure.base()), dimension(D) {}

    bool operator==(const Quantity&) const = default;
};

constexpr Quantity operator*(const Quantity& a, const Quantity& b) {
    return {a.value * b.value, a.dimension * b.dimension};
}
constexpr Quantity operator/(const Quantity& a, const Quantity& b) {
    return {a.value / b.value, a.dimension / b.dimension};
}

/// One of the contract's fixed units.
struct UnitSpec {
    std::string_view name;
    Dimension dimension;
};
/// mm, m2, m3, L, kg, N, N·m, N/mm2, kg/m3, kg/m2, m2/L, deg, min; the first of a dimension is the
/// one it is printed in.
std::span<const UnitSpec> contract_units();
/// The contract's unit for a dimension, empty when it has none.
std::string_view contract_unit_of(Dimension dimension);

/// The dimension of a unit by name; any unit that parse_quantity() reads, "" for a plain number.
/// Throws FaultError "unknown-unit" with the nearest known name.
Dimension dimension_of_unit(std::string_view unit);
/// `value` counted in `unit`. Throws "unknown-unit".
Quantity from_unit(double value, std::string_view unit);
/// The quantity counted in `unit`, to 15 significant digits, so that from_unit() of a decimal of
/// that length comes back as it was. Throws "unknown-unit", or "dimension-clash" that says what was
/// expected.
double in_unit(const Quantity& quantity, std::string_view unit);

/// The strong type of a quantity: as<Length>(q). Throws "dimension-clash".
void expect_dimension(const Quantity& quantity, Dimension expected);
template <typename M>
M as(const Quantity& quantity) {
    expect_dimension(quantity, Quantity(M()).dimension);
    return M::from_base(quantity.value);
}

/// Reads what a person writes: "18 mm", "2.5 cm", "3/4 in", "1 ft 2 3/8 in", "5'", "2 1/4\"", "40
/// lb", "12 kg/m3", "350 ft2/gal", "2 h 30 min", "90 deg", "35 %", "4". A number is digits with an
/// optional decimal point, a fraction n/d, or a whole number and a fraction; a compound names each
/// unit smaller than the one before. A bare number has no dimension. Units: see units.cpp, exact
/// factors of NIST SP 811 and UCUM. Throws FaultError "unknown-unit" with the nearest known one,
/// "bad-quantity" with what would be right; a number above 1e12 is refused.
Quantity parse_quantity(std::string_view text);

enum class LengthUnit { mm, inch };

/// A length for a person: mm to one decimal ("1219.2 mm"), or inches to the nearest
/// 1/`fraction_denominator` in lowest terms ("1 3/8 in", "-3/4 in", "48 in"). The denominator is 1,
/// 2, 4, 8, 16, 32 or 64, else "bad-quantity". What is thinner than 1/4 in and misses every 1/32 in
/// by more than 1/8 mm is told in 1/64 or in thousandths ("1/64 in", "0.02 in").
std::string format_length(Length length, LengthUnit unit, int fraction_denominator = 32);
/// What format_length() prints less the true length.
Length rounding_error(Length length, LengthUnit unit, int fraction_denominator = 32);

/// A quantity for a person in the contract's unit, else in m, kg, min and deg: "0.36 m2", "12
/// min/m2"; lengths as by format_length(), the rest at six decimals, or six significant digits when
/// below 0.1; for a reader in inches as measures_for_reader() says it, "3.9 sq ft".
std::string format_quantity(const Quantity& quantity, LengthUnit unit = LengthUnit::mm);

} // namespace aumbry
