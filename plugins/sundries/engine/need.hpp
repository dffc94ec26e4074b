// What a line needs: how much of one thing, in which unit.
#pragma once

#include "aumbry/contract.hpp"

#include <string>
#include <vector>

namespace aumbry::sundries {

struct Need {
    std::string unit;  ///< "m", "m2", "L", "kg", "h", "day", "km"; empty: by count
    std::string name;  ///< of what is measured: "length", "hours"; empty: by count
    double of_one = 1; ///< in `unit`, of one item of the line
    std::int64_t count = 1;
    double waste = 0; ///< per cent on top
    std::vector<std::string>
        stated; ///< every measure that the line states; more than one is a fault of the project

    /// In `unit`, waste included, to six decimals.
    [[nodiscard]] double quantity() const;
};

/// Reads the measure that an `item` or `service` line states; the first one when there are several.
[[nodiscard]] Need read_need(const contract::Line& line);

/// "2.4 m", "6 pieces", for people.
[[nodiscard]] std::string amount_text(double quantity, const std::string& unit);

} // namespace aumbry::sundries
