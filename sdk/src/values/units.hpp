// Units by name, and reading them inside a text.
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

/// The characters of a name: letters, digits, underscore, and points between them.
std::size_t end_of_name(std::string_view text, std::size_t at);
bool starts_name(char c);
/// The end of a run of letters at `at`, micro signs included.
std::size_t end_of_letters(std::string_view text, std::size_t at);

std::size_t skip_spaces(std::string_view text, std::size_t at);

/// "did you mean 'mm'?" or a list of common units.
std::string unit_advice(const std::string& name);

} // namespace aumbry
