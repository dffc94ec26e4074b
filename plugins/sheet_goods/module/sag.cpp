#include "sheet_goods/module/sag.hpp"

namespace aumbry::sheet_goods {

namespace {

struct Factors {
    double bending, shear;
};

/// Table 9-1, evenly spread load.
Factors factors_of(Support support) {
    switch (support) {
    case Support::both_ends:
        return {5.0 / 384, 1.0 / 8};
    case Support::clamped:
        return {1.0 / 384, 1.0 / 8};
    case Support::one_end:
        return {1.0 / 8, 1.0 / 2};
    }
    return {};
}

} // namespace

Support support_named(std::string_view name) {
    if (name == "clamped") return Support::clamped;
    return name == "one end" ? Support::one_end : Support::both_ends;
}

Deflection deflection(const Beam& beam, Support support) {
    const Factors factors = factors_of(support);
    const double inertia = beam.depth * beam.thickness * beam.thickness * beam.thickness / 12;
    const double shear_area = 5.0 / 6 * beam.depth * beam.thickness;
    const double shear_modulus = beam.modulus / 16;
    return {factors.bending * beam.load * beam.span * beam.span * beam.span /
                (beam.modulus * inertia),
            factors.shear * beam.load * beam.span / (shear_modulus * shear_area)};
}

} // namespace aumbry::sheet_goods
