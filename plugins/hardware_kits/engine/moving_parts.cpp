#include "hardware_kits/engine/moving_parts.hpp"

#include "hardware_kits/engine/decimals.hpp"

#include <fmt/format.h>

namespace aumbry::hardware_kits {

MovingMasses gather(const std::vector<MovingPart>& parts) {
    MovingMasses moving;
    double along = 0;
    double across = 0;
    for (const MovingPart& part : parts) {
        if (!part.along)
            moving.findings.push_back(
                {contract::Severity::problem, "moving-line-without-place", part.line,
                 fmt::format("'{}' moves with the panel, but nothing says where: give the place "
                             "of its centre of mass from the hinge",
                             part.line)});
        if (!part.mass)
            moving.findings.push_back(
                {contract::Severity::problem, "moving-line-without-mass", part.line,
                 fmt::format("'{}' moves with the panel, but its mass is not known: give its mass "
                             "or what it is made of",
                             part.line)});
        if (!part.along || !part.mass) continue;
        const Mass mass{part.line, *part.mass, *part.along, part.across.value_or(0), part.load};
        moving.mass += mass.mass;
        along += mass.mass * mass.along;
        across += mass.mass * mass.across;
        moving.masses.push_back(mass);
    }
    if (moving.mass > 0) {
        moving.along = round_to(along / moving.mass, length_decimals);
        moving.across = round_to(across / moving.mass, length_decimals);
    }
    moving.mass = round_to(moving.mass, mass_decimals);
    return moving;
}

} // namespace aumbry::hardware_kits
