// Mass of a mattress, from its construction or as weighed.
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace aumbry::mattress {

/// Width, length and thickness, mm.
struct Size {
    double width = 0;
    double length = 0;
    double thickness = 0;
};

/// A layer over the whole face.
struct Layer {
    std::string name;
    double thickness = 0; ///< mm
    double density = 0;   ///< kg/m3
};

/// What a mattress is made of, from below upwards. A given mass wins over the layers.
struct Construction {
    std::vector<Layer> layers;
    double cover = 0;           ///< mass of cover and border, kg
    std::optional<double> mass; ///< as weighed or stated by its maker, kg
};

struct LayerMass {
    std::string name;
    double volume = 0; ///< m3
    double mass = 0;   ///< kg
};

struct MattressMass {
    double mass = 0;    ///< kg
    bool given = false; ///< weighed or stated, not reckoned
    std::vector<LayerMass> layers;
};

/// Volume of each layer times its density, plus the cover; to 0.001 kg. Throws FaultError for
/// sizes, thicknesses or densities that are not above zero, for nothing to reckon from, and for
/// layers that do not make up the thickness to 1 mm.
[[nodiscard]] MattressMass mattress_mass(const Size& size, const Construction& construction);

} // namespace aumbry::mattress
