#include "finish/coverage.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/rounding.hpp"

#include <cmath>

namespace aumbry::finish {
namespace {

void check(double volume_solids_percent, double film) {
    if (!(volume_solids_percent > 0 && volume_solids_percent <= 100)) {
        fail("bad-volume-solids", {},
             "volume solids of " + format_trimmed(volume_solids_percent, 3) + " % cannot be",
             "write more than 0 and at most 100 %");
    }
    if (!(film > 0) || !std::isfinite(film))
        fail("bad-film", {}, "a film of " + format_trimmed(film, 3) + " cannot be",
             "write a film thickness above zero");
}

} // namespace

double spread_rate_m2_per_litre(double volume_solids_percent, double film_micrometres) {
    check(volume_solids_percent, film_micrometres);
    return volume_solids_percent * 10 / film_micrometres;
}

double spread_rate_ft2_per_gallon(double volume_solids_percent, double film_mils) {
    check(volume_solids_percent, film_mils);
    // A gallon is 231 cubic inches; a mil over a square foot is 0.144 cubic inches.
    return 231 / 0.144 * (volume_solids_percent / 100) / film_mils;
}

double wet_film(double dry_film, double volume_solids_percent, double thinning_percent) {
    check(volume_solids_percent, dry_film);
    return dry_film / (volume_solids_percent / 100) * (1 + thinning_percent / 100);
}

double litres_for(double area_m2, const Coat& coat) {
    if (!(coat.spread_rate > 0) || !std::isfinite(coat.spread_rate)) {
        fail("bad-spread-rate", {},
             "a spread rate of " + format_trimmed(coat.spread_rate, 3) + " m2/L cannot be",
             "write a rate above zero, as in '10 m2/L'");
    }
    return area_m2 * coat.absorption / coat.spread_rate * (1 + coat.loss / 100);
}

double coated_area(const Surface& surface) {
    const double edges = surface.edges ? surface.edge_length * surface.thickness * 1e-6 : 0;
    return surface.face_area * surface.faces + edges;
}

} // namespace aumbry::finish
