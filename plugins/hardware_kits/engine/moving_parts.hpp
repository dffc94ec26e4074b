// Moving parts: from lines named as moving with a panel to masses with places, and their common
// centre.
#pragma once

#include "aumbry/contract.hpp"
#include "hardware_kits/engine/lifts/lift.hpp"

#include <optional>
#include <string>
#include <vector>

namespace aumbry::hardware_kits {

/// A line that moves with the panel, as the project states it.
struct MovingPart {
    std::string line;
    Load load = Load::panel;
    std::optional<double> mass;   ///< kg, all pieces of the line together
    std::optional<double> along;  ///< centre of mass, mm from the hinge along the panel
    std::optional<double> across; ///< mm square to the panel; 0 when not stated
};

struct MovingMasses {
    std::vector<Mass> masses; ///< of those parts that have mass and place
    double mass = 0;          ///< kg, sum
    double along = 0;         ///< mm, common centre
    double across = 0;
    std::vector<contract::Finding> findings; ///< a problem for each part without a place or mass
};

[[nodiscard]] MovingMasses gather(const std::vector<MovingPart>& parts);

} // namespace aumbry::hardware_kits
