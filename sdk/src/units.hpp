// Reading of units and amounts inside a text: shared by quantities and formulas.
#pragma once

#include "aumbry/quantity.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

namespace aumbry {

/// A unit: one of it is numerator / denominator base units; both are whole numbers wherever a
/// standard fixes the unit.
struct Unit {
    Dimension dimension;
    double numerator = 1;
    double denominator = 1;
};

struct ReadUnit {
    Unit unit;
    std::size_t end = 0; ///< offset after the unit
};

/// The unit that starts at `at` of `text`, longest reading first, or nothing.
std::optional<ReadUnit> read_unit(std::string_view text, std::size_t at);

/// An amount with its unit, as read from a text.
struct ReadQuantity {
    Quantity quantity;
    std::size_t end = 0;
    bool has_unit = false;
    bool is_whole = false;    ///< digits only
    bool is_fraction = false; ///< n/d without a whole number before it
};

/// Reads the amount that starts with a digit, a point or a fraction sign at `at`. A fraction n/d
/// needs a unit after it unless `bare_fraction`. Throws FaultError "bad-quantity" or
/// "unknown-unit".
ReadQuantity read_quantity(std::string_view text, std::size_t at, bool bare_fraction);

/// True when an amount may start at `at`.
bool starts_amount(std::string_view text, std::size_t at);

/// The characters of a name: letters, digits, underscore, and points between them.
std::size_t end_of_name(std::string_view text, std::size_t at);
bool starts_name(char c);

std::size_t skip_spaces(std::string_view text, std::size_t at);

/// "did you mean 'mm'?" or a list of common units.
std::string unit_advice(const std::string& name);

} // namespace aumbry
