#include "mattress/engine/mass.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/rounding.hpp"

#include <fmt/format.h>

#include <cmath>

namespace aumbry::mattress {
namespace {

constexpr int mass_decimals = 3;        // kg
constexpr int volume_decimals = 6;      // m3
constexpr double thickness_slack = 1.0; // mm

} // namespace

MattressMass mattress_mass(const Size& size, const Construction& construction) {
    for (const double side : {size.width, size.length, size.thickness})
        if (!(side > 0) || !std::isfinite(side))
            fail("mattress-size-figures", {},
                 fmt::format("a mattress of {:g} x {:g} x {:g} mm", size.width, size.length,
                             size.thickness),
                 "give width, length and thickness above 0 mm");
    MattressMass result;
    double thickness = 0;
    for (const Layer& layer : construction.layers) {
        if (!(layer.thickness > 0) || !(layer.density > 0) || !std::isfinite(layer.density))
            fail("mattress-layer", {},
                 fmt::format("layer '{}' is {:g} mm thick with a density of {:g} kg/m3", layer.name,
                             layer.thickness, layer.density),
                 "give both above 0; foams have about 18 to 90 kg/m3");
        thickness += layer.thickness;
        const double volume = size.width * size.length * layer.thickness * 1e-9;
        result.layers.push_back({layer.name, round_to(volume, volume_decimals),
                                 round_to(volume * layer.density, mass_decimals)});
        result.mass += volume * layer.density;
    }
    if (!construction.layers.empty() &&
        round_to(std::abs(thickness - size.thickness), 3) > thickness_slack)
        fail("mattress-layers-sum", {},
             fmt::format("the layers add up to {:g} mm, the mattress is {:g} mm thick", thickness,
                         size.thickness),
             "mend the layers or the thickness");
    if (!(construction.cover >= 0))
        fail("mattress-cover", {},
             fmt::format("the cover has a mass of {:g} kg", construction.cover),
             "give 0 kg or more");
    result.mass = round_to(result.mass + construction.cover, mass_decimals);
    if (construction.mass) {
        if (!(*construction.mass > 0) || !std::isfinite(*construction.mass))
            fail("mattress-mass", {},
                 fmt::format("the mattress has a mass of {:g} kg", *construction.mass),
                 "give the weighed mass, above 0 kg");
        result.mass = round_to(*construction.mass, mass_decimals);
        result.given = true;
    } else if (construction.layers.empty()) {
        fail("mattress-mass-unknown", {}, "neither mass nor construction of the mattress is known",
             "give its mass, or its layers with their densities");
    }
    return result;
}

} // namespace aumbry::mattress
