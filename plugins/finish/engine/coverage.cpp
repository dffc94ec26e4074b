#include "finish/engine/coverage.hpp"

#include "aumbry/fault.hpp"

#include <fmt/core.h>

namespace aumbry::finish {
namespace {

void check(double volume_solids_percent, double film) {
    if (!(volume_solids_percent > 0.0 && volume_solids_percent <= 100.0))
        fail("volume-solids-out-of-range", {},
             fmt::format("volume solids are {:g} %", volume_solids_percent),
             "give a share above 0 and up to 100 %, as the product's data sheet states it");
    if (!(film > 0.0))
        fail("no-film", {}, fmt::format("the film thickness is {:g}", film),
             "give a thickness above zero");
}

} // namespace

double spread_rate(double volume_solids_percent, double dry_film_micrometres) {
    check(volume_solids_percent, dry_film_micrometres);
    return volume_solids_percent * 10.0 / dry_film_micrometres;
}

double spread_rate_us(double volume_solids_percent, double dry_film_mil) {
    check(volume_solids_percent, dry_film_mil);
    return 231.0 / 0.144 * (volume_solids_percent / 100.0) / dry_film_mil;
}

double dry_film(double wet_film, double volume_solids_percent) {
    check(volume_solids_percent, wet_film);
    return wet_film * volume_solids_percent / 100.0;
}

} // namespace aumbry::finish
