// The lift in space: what mattress, bedding and panel run into on their way.
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace aumbry::hardware_kits {

/// A box that moves with the panel, mm from the hinge: along the panel and square to it.
struct Body {
    std::string name;
    double from = 0, to = 0;  ///< along
    double low = 0, high = 0; ///< across
};

/// What stands round the hinge, level and upright, mm from it; what is not known is not looked at.
struct Surroundings {
    std::optional<double> wall_behind;
    std::optional<double> rail_behind; ///< face of a rail behind it
    double rail_above = 0;             ///< upper edge of that rail above the hinge
    std::optional<double> ceiling_above;
};

struct Collision {
    std::string body;
    std::string with; ///< "the wall", "the rail", "the ceiling"
    double from = 0;  ///< deg, the first angle of the swing at which they meet
    double worst = 0; ///< deg, the angle at which it goes deepest
    double by = 0;    ///< mm, how deep
};

/// One for each body and each thing that it runs into, from angle `start` to `end` (deg) in steps
/// of half a degree. Rigid: a soft mattress gives a little, its maker's figure comes first.
[[nodiscard]] std::vector<Collision> collisions(const std::vector<Body>& bodies, double start,
                                                double end, const Surroundings& round);

} // namespace aumbry::hardware_kits
