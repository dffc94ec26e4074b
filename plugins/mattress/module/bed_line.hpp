// What a line of kind mattress says, with the reference tables: size, mass, frame.
#pragma once

#include "aumbry/contract.hpp"
#include "mattress/engine/fit.hpp"
#include "mattress/engine/mass.hpp"

#include <optional>
#include <string>

namespace aumbry::mattress {

/// Sizes of a line; `source` says where width and length come from.
struct BedSize {
    Size size; ///< mm
    std::string source;
    std::string from; ///< "measured" or the name of the nominal size
};

/// Width and length as stated (measured ones win), else of the region's nominal size. Throws
/// FaultError when neither is known.
[[nodiscard]] BedSize read_size(const contract::Line& line, const Json& tables);

struct BedMass {
    MattressMass mass;
    std::string rule; ///< how it was found, for the working
    std::string source;
};

/// Mass as stated, else from layers, else from a density, else from the middle of a construction's
/// densities; none when the line says nothing. Throws FaultError for figures that cannot be.
[[nodiscard]] std::optional<BedMass> read_mass(const contract::Line& line, const Size& size,
                                               const Json& tables);

/// The frame's inside size: as stated, else the mattress with its ease on both sides.
struct Frame {
    double width = 0;  ///< mm
    double length = 0; ///< mm
    double ease = 0;   ///< each side, mm
    double ease_ends = 0;
    bool width_stated = false;
    bool length_stated = false;
};
[[nodiscard]] Frame read_frame(const contract::Line& line, const Size& size,
                               const EaseLimits& limits);

/// Tolerance and limits of ease, from the module's settings.
[[nodiscard]] double tolerance_of(const contract::Settings& settings);
[[nodiscard]] EaseLimits limits_of(const contract::Settings& settings);

} // namespace aumbry::mattress
