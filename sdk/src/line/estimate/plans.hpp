// The plans of what was chosen, as the estimate carries them.
#pragma once

#include "aumbry/estimate.hpp"
#include "aumbry/procure.hpp"
#include "aumbry/take_off.hpp"

namespace aumbry {

struct EstimatePlans {
    std::vector<contract::SheetPlan> cutting;
    std::vector<contract::BoardPlan> board;
    std::vector<contract::LiftPlan> lifts;
    std::vector<Json> further; ///< of other types, as their modules give them
    std::vector<EstimateBound> bounds;
    std::map<std::string, Json> to_keep; ///< by demand: what `as_bought` would hold of it
};

[[nodiscard]] EstimatePlans plans_of(const TakenOff& taken, const Procurement& bought);

} // namespace aumbry
