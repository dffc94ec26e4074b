// How far a loaded shelf sags.
//
// Wood Handbook (FPL-GTR-282) eq. 9-2: kb W L^3 / (E I) + ks W L / (G A'), with I = b h^3 / 12 (eq.
// 9-3), A' = 5 b h / 6 (eq. 9-4), kb and ks of table 9-1, and E / 16 for G where it is not known.
#pragma once

#include <string_view>

namespace aumbry::sheet_goods {

/// How the shelf is held and loaded: rows of table 9-1 with an evenly spread load.
enum class Support {
    both_ends, ///< lies on both ends
    clamped,   ///< both ends held so that they cannot turn, as in a deep housing glued tight
    one_end    ///< stands out from a wall
};

[[nodiscard]] Support support_named(std::string_view name);

struct Beam {
    double load = 0;      ///< N, all of it, evenly spread
    double span = 0;      ///< mm
    double depth = 0;     ///< mm, across the span
    double thickness = 0; ///< mm
    double modulus = 0;   ///< N/mm2, of elasticity in bending along the span
};

struct Deflection {
    double bending = 0; ///< mm
    double shear = 0;   ///< mm

    [[nodiscard]] double total() const { return bending + shear; }
};

/// At once under load; long loads sag further (creep). All sizes must be above zero.
[[nodiscard]] Deflection deflection(const Beam& beam, Support support);

} // namespace aumbry::sheet_goods
