#include "mattress/engine/unrolling.hpp"

#include "aumbry/fault.hpp"

#include <fmt/format.h>

namespace aumbry::mattress {

double days_to_rest(Delivered delivered, std::optional<double> stated) {
    if (!stated) return delivered == Delivered::rolled ? rolled_days : flat_days;
    if (!(*stated >= 0 && *stated <= 60))
        fail("mattress-days", {}, fmt::format("a mattress is said to air for {:g} days", *stated),
             "give the days its maker states, commonly 1 to 3");
    return *stated;
}

} // namespace aumbry::mattress
