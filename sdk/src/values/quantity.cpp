#include "aumbry/quantity.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/reader_measures.hpp"
#include "values/excerpt.hpp"
#include "values/reading.hpp"
#include "values/units.hpp"

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
    fail("unknown-unit", {}, in_quotes(name) + " is not a known unit",
         unit_advice(excerpt(name, 40)));
}

std::string with_article(Dimension dimension) {
    const std::string name = dimension_name(dimension);
    return (name.front() == 'a' ? "an " : "a ") + name;
}

struct Names {
    const char* length;
    const char* mass;
    const char* time;
    const char* angle;
    const char* power; ///< between a name and its exponent
};
constexpr Names dimension_words{"length", "mass", "time", "angle", "^"};
constexpr Names unit_names{"m", "kg", "min", "deg", ""};

// Factors above (sign 1) or below (sign -1) the stroke.
std::string join_factors(const Dimension& d, int sign, const Names& names) {
    std::string text;
    const auto add = [&](int exponent, const char* name) {
        if (exponent * sign <= 0) return;
        if (!text.empty()) text += "\u00b7";
        text += name;
        if (exponent * sign > 1) text += names.power + std::to_string(exponent * sign);
    };
    add(d.length, names.length);
    add(d.mass, names.mass);
    add(d.time, names.time);
    add(d.angle, names.angle);
    return text;
}

std::string product_text(const Dimension& d, const Names& names) {
    std::string above = join_factors(d, 1, names);
    const std::string below = join_factors(d, -1, names);
    if (below.empty()) return above;
    return (above.empty() ? "1" : above) + "/" +
           (below.find("\u00b7") == std::string::npos ? below : "(" + below + ")");
}

// At most six decimals, but never fewer than six significant digits.
std::string readable(double value) {
    int decimals = 6;
    for (double size = std::fabs(value); size < 0.1 && size > 0 && decimals < 15; size *= 10)
        ++decimals;
    return format_trimmed(value, decimals);
}

void check_denominator(int denominator) {
    for (const int allowed : {1, 2, 4, 8, 16, 32, 64})
        if (denominator == allowed) return;
    fail("bad-quantity", {},
         "inches cannot be rounded to the nearest 1/" + std::to_string(denominator),
         "use 16, 32 or 64");
}

// Whole steps of 1/denominator inch nearest to the length; a binary rounding error does not decide
// a half.
double inch_steps(Length length, int denominator) {
    return round_to(round_to_significant(length.mm() * 5 * denominator / 127, 12), 0);
}

/// What is thin, banding, a kerf, a gap, is not rounded to a fraction that is far off: 0.02 in is
/// not 1/32 in.
bool is_thin(Length length, int denominator) {
    constexpr double thin = 6.35;     // 1/4 in
    constexpr double far_off = 0.125; // mm
    return denominator >= 32 && std::fabs(length.mm()) < thin &&
           std::fabs(inch_steps(length, denominator) * 25.4 / denominator - length.mm()) > far_off;
}

/// 64 where a thin length is a whole number of 1/64 in and no coarser step meets it, else 0.
int finer_denominator(Length length, int denominator) {
    if (!is_thin(length, denominator)) return 0;
    return std::fabs(inch_steps(length, 64) * 25.4 / 64 - length.mm()) < 0.005 ? 64 : 0;
}

} // namespace

std::string dimension_name(Dimension dimension) {
    for (const NamedDimension& named : named_dimensions)
        if (named.dimension == dimension) return named.name;
    return product_text(dimension, dimension_words);
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

std::string_view contract_unit_of(Dimension dimension) {
    for (const UnitSpec& fixed : fixed_units)
        if (fixed.dimension == dimension) return fixed.name;
    return {};
}

void expect_dimension(const Quantity& quantity, Dimension expected) {
    if (quantity.dimension == expected) return;
    const std::string unit(contract_unit_of(expected));
    std::string right;
    if (expected.is_none())
        right = "give a number without unit";
    else if (!unit.empty())
        right = "give it in " + unit + " or another unit of " + dimension_name(expected);
    fail("dimension-clash", {},
         with_article(quantity.dimension) + " stands where " + with_article(expected) +
             " is needed",
         right);
}

Quantity parse_quantity(std::string_view text) {
    const auto refuse = [&](const std::string& why, const std::string& right) {
        fail("bad-quantity", {}, in_quotes(text) + " is not a quantity: " + why, right);
    };
    const std::string advice = "write a number and a unit, such as 18 mm";
    constexpr std::size_t longest = 200;
    if (text.size() > longest) refuse("it is longer than 200 bytes", advice);
    std::string_view rest = text;
    while (!rest.empty() && (rest.back() == ' ' || rest.back() == '\t')) rest.remove_suffix(1);
    std::size_t at = skip_spaces(rest, 0);
    if (at == rest.size()) refuse("it is empty", advice);
    if (rest.find(',') != std::string_view::npos)
        refuse("it has a comma",
               "the decimal sign is a point and thousands are not grouped: 2.5 mm");
    const bool negative = rest[at] == '-';
    if (negative) at = skip_spaces(rest, at + 1);
    if (!starts_amount(rest, at)) refuse("it does not start with a number", advice);
    const ReadQuantity read = read_quantity(rest, at, true);
    if (read.end != rest.size()) {
        if (read.has_unit && rest[read.end] == '/') {
            const std::string unit = excerpt(rest.substr(read.unit_begin), 40);
            fail("unknown-unit", {},
                 "'" + unit + "' in " + in_quotes(text) + " is not a known unit",
                 unit_advice(unit));
        }
        if (joins_feet_and_inches(rest, read.end))
            refuse("a stroke between feet and inches could be a minus", "write 5' 3\"");
        refuse(in_quotes(rest.substr(read.end), 30) + " is left over after it", advice);
    }
    Quantity quantity = read.quantity;
    if (negative && quantity.value != 0) quantity.value = -quantity.value;
    return quantity;
}

std::string format_length(Length length, LengthUnit unit, int fraction_denominator) {
    if (unit == LengthUnit::mm) return format_trimmed(length.mm(), 1) + " mm";
    check_denominator(fraction_denominator);
    if (const int finer = finer_denominator(length, fraction_denominator))
        fraction_denominator = finer;
    else if (is_thin(length, fraction_denominator))
        return format_trimmed(length.mm() / 25.4, 3) + " in";
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
    if (const int finer = finer_denominator(length, fraction_denominator))
        fraction_denominator = finer;
    else if (is_thin(length, fraction_denominator))
        return Length::mm(round_to(length.mm() / 25.4, 3) * 25.4) - length;
    return Length::mm(inch_steps(length, fraction_denominator) * 127 /
                      (5.0 * fraction_denominator)) -
           length;
}

std::string format_quantity(const Quantity& quantity, LengthUnit unit) {
    const Dimension d = quantity.dimension;
    if (d == dimension::length) return format_length(Length::mm(quantity.value), unit);
    if (d.is_none()) return readable(quantity.value);
    const std::string_view fixed = contract_unit_of(d);
    if (!fixed.empty()) {
        const std::string text = readable(in_unit(quantity, fixed)) + " " + std::string(fixed);
        return unit == LengthUnit::inch ? measures_for_reader(text, "in") : text;
    }
    const double value = quantity.value * std::pow(1000.0, -d.length) * std::pow(60.0, -d.time);
    return readable(value) + " " + product_text(d, unit_names);
}

} // namespace aumbry
