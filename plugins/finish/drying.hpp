// When the next coat may go on.
#pragma once

#include <cstdint>
#include <vector>

namespace aumbry::finish {

/// What a system asks of the day.
struct DryingCoat {
    double recoat_minutes = 0; ///< until the next coat
};

struct DryingPlan {
    double area_m2 = 0;        ///< of one coat on all parts
    double minutes_per_m2 = 0; ///< hands-on
    double rack_m2 = 0;        ///< that can lie drying at once; 0: as much as there is
    bool can_stand = true;     ///< parts stand or hang, so that both faces get a coat in one go
    std::vector<DryingCoat> coats;
    double cure_minutes = 0; ///< from the last coat until it may be used
};

/// One go: applying a coat, then waiting.
struct Pass {
    int coat = 0;  ///< 1 for the first
    int face = 0;  ///< 0: both at once; 1, 2: one after the other
    int batch = 0; ///< 0: all at once; else 1 for the first that the rack takes
    double minutes = 0;
    double wait_minutes = 0;
};

/// Coats times faces (parts that cannot stand) times batches (a rack smaller than the work).
/// Batches of one coat follow one another without waiting but for the last of them; the next coat
/// waits until it is dry.
[[nodiscard]] std::vector<Pass> passes(const DryingPlan& plan);

/// How many coats go on in a working day of so many minutes when each takes `apply` and is dry
/// after `recoat`: the last one may dry through the night.
[[nodiscard]] std::int64_t coats_a_day(double working_minutes, double apply_minutes,
                                       double recoat_minutes);

} // namespace aumbry::finish
