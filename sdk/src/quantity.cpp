#include "aumbry/quantity.hpp"

#include "aumbry/fault.hpp"
#include "units.hpp"

#include <cmath>

namespace aumbry {

namespace {

constexpr UnitSpec fixed_units[] = {
    {"mm", dimension::length},        {"m2", dimension::area},
    {"m3", dimension::volume},        {"L", dimension::volume},
    {"kg", dimension::mass},          {"N", dimension::force},
    {"N\u00b7m", dimension::torque},  {"N/mm2", dimension::stress},
    {"kg/m3", dimension::density},    {"kg/m2", dimension::mass_per_area},
    {"m2/L", dimension::spread_rate}, {"deg", dimension::angle},
    {"min", dimension::duration},
};

struct NamedDimension {
    Dimension dimension;
    const char* name;
};
constexpr NamedDimension named_dimensions[] = {
    {dimension::none, "number"},
    {dimension::length, "length"},
    {dimension::area, "area"},
    {dimension::volume, "volume"},
    {dimension::mass, "mass"},
    {dimension::duration, "duration"},
    {dimension::angle, "angle"},
    {dimension::force, "force"},
    {dimension::torque, "torque"},
    {dimension::stress, "stress"},
    {dimension::density, "density"},
    {dimension::mass_per_area, "mass per area"},
    {dimension::spread_rate, "spread rate"},
};

Unit unit_named(std::string_view name) {
    if (name.empty()) return {};
    const auto read = read_unit(name, 0);
    if (read && read->end == name.size()) return read->unit;
    fail("unknown-unit", {}, "'" + std::string(name.substr(0, 40)) + "' is not a known unit",
         unit_advice(std::string(name.substr(0, 40))));
}

std::string join_factors(const Dimension& d, int sign) {
    std::string text;
    const auto add = [&](int exponent, const char* name) {
        if (exponent * sign <= 0) return;
        if (!text.empty()) text += "\u00b7";
        text += name;
        if (exponent * sign > 1) text += "^" + std::to_string(exponent * sign);
    };
    add(d.length, "length");
    add(d.mass, "mass");
    add(d.time, "time");
    add(d.angle, "angle");
    return text;
}

void check_denominator(int denominator) {
    for (const int allowed : {1, 2, 4, 8, 16, 32, 64})
        if (denominator == allowed) return;
    fail("bad-quantity", {},
         "inches cannot be rounded to the nearest 1/" + std::to_string(denominator),
         "use 16, 32 or 64");
}

// Whole steps of 1/denominator inch nearest to the length.
double inch_steps(Length length, int denominator) {
    return round_to(length.mm() * 5 * denominator / 127, 0);
}

} // namespace

std::string dimension_name(Dimension dimension) {
    for (const NamedDimension& named : named_dimensions)
        if (named.dimension == dimension) return named.name;
    const std::string above = join_factors(dimension, 1);
    const std::string below = join_factors(dimension, -1);
    if (below.empty()) return above;
    return (above.empty() ? "1" : above) + "/" +
           (below.find("\u00b7") == std::string::npos ? below : "(" + below + ")");
}

std::span<const UnitSpec> contract_units() {
    return fixed_units;
}

Dimension dimension_of_unit(std::string_view unit) {
    return unit_named(unit).dimension;
}

Quantity from_unit(double value, std::string_view unit) {
    const Unit known = unit_named(unit);
    return Quantity(value * known.numerator / known.denominator, known.dimension);
}

double in_unit(const Quantity& quantity, std::string_view unit) {
    const Unit known = unit_named(unit);
    expect_dimension(quantity, known.dimension);
    return round_to_significant(quantity.value * known.denominator / known.numerator, 15);
}

void expect_dimension(const Quantity& quantity, Dimension expected) {
    if (quantity.dimension == expected) return;
    std::string unit;
    for (const UnitSpec& fixed : fixed_units)
        if (unit.empty() && fixed.dimension == expected) unit = fixed.name;
    fail("dimension-clash", {},
         "a " + dimension_name(quantity.dimension) + " stands where a " + dimension_name(expected) +
             " is needed",
         unit.empty() ? ""
                      : "give it in " + unit + " or another unit of " + dimension_name(expected));
}

Quantity parse_quantity(std::string_view text) {
    const auto refuse = [&](const std::string& why, const std::string& right) {
        fail("bad-quantity", {},
             "'" + std::string(text.substr(0, 60)) + "' is not a quantity: " + why, right);
    };
    constexpr std::size_t longest = 200;
    if (text.size() > longest)
        refuse("it is longer than 200 characters", "write a number and a unit, such as 18 mm");
    std::string_view rest = text;
    while (!rest.empty() && (rest.back() == ' ' || rest.back() == '\t')) rest.remove_suffix(1);
    std::size_t at = skip_spaces(rest, 0);
    if (at == rest.size()) refuse("it is empty", "write a number and a unit, such as 18 mm");
    if (rest.find(',') != std::string_view::npos)
        refuse("it has a comma",
               "the decimal sign is a point and thousands are not grouped: 2.5 mm");
    const bool negative = rest[at] == '-';
    if (negative) at = skip_spaces(rest, at + 1);
    if (!starts_amount(rest, at))
        refuse("it does not start with a number", "write a number and a unit, such as 18 mm");
    const ReadQuantity read = read_quantity(rest, at, true);
    if (read.end != rest.size()) {
        const std::string left(rest.substr(read.end, 30));
        if (read.has_unit && left.front() == '/') {
            std::size_t unit_start = read.end;
            while (unit_start > 0 && rest[unit_start - 1] != ' ' &&
                   !(rest[unit_start - 1] >= '0' && rest[unit_start - 1] <= '9' &&
                     unit_start < read.end && rest[unit_start] != '/'))
                --unit_start;
            const std::string unit(rest.substr(unit_start));
            fail("unknown-unit", {},
                 "'" + unit + "' in '" + std::string(rest) + "' is not a known unit",
                 unit_advice(unit));
        }
        refuse("'" + left + "' is left over after it", "write a number and a unit, such as 18 mm");
    }
    Quantity quantity = read.quantity;
    if (negative) quantity.value = -quantity.value;
    if (quantity.value == 0) quantity.value = 0; // no negative zero
    return quantity;
}

std::string format_length(Length length, LengthUnit unit, int fraction_denominator) {
    if (unit == LengthUnit::mm) return format_trimmed(length.mm(), 1) + " mm";
    check_denominator(fraction_denominator);
    const double steps = inch_steps(length, fraction_denominator);
    const double size = std::fabs(steps);
    const double whole = std::floor(size / fraction_denominator);
    int numerator = static_cast<int>(size - whole * fraction_denominator);
    int denominator = fraction_denominator;
    while (numerator > 0 && numerator % 2 == 0) {
        numerator /= 2;
        denominator /= 2;
    }
    std::string text = steps < 0 ? "-" : "";
    if (whole > 0 || numerator == 0) text += format_number(whole, 0);
    if (numerator > 0) {
        if (whole > 0) text += ' ';
        text += std::to_string(numerator) + "/" + std::to_string(denominator);
    }
    return text + " in";
}

Length rounding_error(Length length, LengthUnit unit, int fraction_denominator) {
    if (unit == LengthUnit::mm) return Length::mm(round_to(length.mm(), 1)) - length;
    check_denominator(fraction_denominator);
    return Length::mm(inch_steps(length, fraction_denominator) * 127 /
                      (5.0 * fraction_denominator)) -
           length;
}

std::string format_quantity(const Quantity& quantity, LengthUnit unit) {
    if (quantity.dimension == dimension::length)
        return format_length(Length::mm(quantity.value), unit);
    if (quantity.dimension.is_none()) return format_trimmed(quantity.value, 6);
    for (const UnitSpec& fixed : fixed_units)
        if (fixed.dimension == quantity.dimension)
            return format_trimmed(in_unit(quantity, fixed.name), 6) + " " + std::string(fixed.name);
    return format_trimmed(quantity.value, 6) + " (" + dimension_name(quantity.dimension) +
           " in mm, kg, s, deg)";
}

} // namespace aumbry
