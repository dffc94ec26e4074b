// What a domain need not hold any more.
#pragma once

#include "line/procure/bound/relax.hpp"

namespace aumbry::procurement {

/// Takes out ways and modes that stock, goods or the ways left make impossible, until nothing
/// changes; false when nothing is left.
[[nodiscard]] bool propagate(const RelaxedModel& relaxed, Domain& domain);

/// Reduced-cost fixing: takes out the modes and ways with which the relaxation at this lambda would
/// reach `target`.
void fix(const RelaxedModel& relaxed, Domain& domain, const std::vector<double>& lambda,
         double target, Relaxation& relaxation);

} // namespace aumbry::procurement
