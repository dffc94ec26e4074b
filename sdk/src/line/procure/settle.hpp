// Settle: purchase and modules agree on the ways of cutting, in a conversation.
//
// A module's take-off gives a few ways for each demand. Here the module is asked again, set of
// suppliers by set of suppliers: first what any way costs that buys there, then, where that could
// still make the whole purchase cheaper, for its best ways. Bounds over sets of suppliers follow the
// decomposition of Dantzig and Wolfe (1960): modules price what they plan under costs that the
// purchase states, and the purchase combines what they plan.
#pragma once

#include "line/procure/least_cost.hpp"

#include "aumbry/plugin_host.hpp"
#include "aumbry/take_off.hpp"

#include <string>
#include <vector>

namespace aumbry {

/// What is known of all ways.
struct Settlement {
    std::vector<DemandBound> bounds;
    std::string not_bounded; ///< why nothing bounds the purchase: a clause; empty when it is bounded
};

/// Adds the ways that modules find to the demands of `taken` and of `problem`. A module that has no
/// plans to offer keeps those of its take-off.
/// @throws CallCancelled.
[[nodiscard]] Settlement settle(TakenOff& taken, ProcureProblem& problem, PluginHost& host,
                                const std::string& effort);

/// Puts what bounds all ways beside what was bought: Procurement::bound and `not_bounded`.
/// @throws CallCancelled.
void bound_all_ways(const Settlement& settlement, const ProcureProblem& problem,
                    Procurement& bought);

} // namespace aumbry
