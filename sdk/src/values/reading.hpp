// Reading amounts with their units inside a text: shared by quantities and formulas.
#pragma once

#include "aumbry/quantity.hpp"

#include <cstddef>
#include <string_view>

namespace aumbry {

/// An amount with its unit, as read from a text.
struct ReadQuantity {
    Quantity quantity;
    std::size_t end = 0;
    std::size_t unit_begin = 0; ///< of the last unit
    bool has_unit = false;
    bool is_fraction = false; ///< n/d without a whole number before it
};

/// Reads the amount that starts with a digit, a point or a fraction sign at `at`. A fraction n/d
/// needs a unit after it unless `bare_fraction`. Throws FaultError "bad-quantity" or
/// "unknown-unit".
ReadQuantity read_quantity(std::string_view text, std::size_t at, bool bare_fraction);

/// True when an amount may start at `at`.
bool starts_amount(std::string_view text, std::size_t at);

/// True when the '-' at `at` joins feet and inches as in 5'-3": it could be read as a minus.
bool joins_feet_and_inches(std::string_view text, std::size_t at);

} // namespace aumbry
