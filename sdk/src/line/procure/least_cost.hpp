// What no way of cutting and buying costs less than.
//
// Modules bound what any way of a demand costs, for each set of suppliers that it might buy from.
// In the purchase problem each such set stands as a way of its own: it buys one thing that costs
// the bound. Every choice of real ways is then a choice of such ways that costs no more, so the
// bound of that problem holds for all ways, found or not. Two things keep it so:
// * A way that buys from several suppliers may split its goods between them in any proportion. It
//   stands there in several proportions, each supplier's share rounded down; what that leaves over
//   is charged for at no supplier, and a minimum order, and the value from which delivery is free,
//   are lowered by as much.
// * Goods that cost more than their bound might earn a free delivery: that value is lowered by the
//   charge. Where that decides, both cases are looked at by themselves: the supplier delivers
//   nothing freely, or goods of that value are paid for.
#pragma once

#include "aumbry/procure.hpp"

#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

namespace aumbry {

/// The least that any way costs which buys from all of these suppliers, and from no other.
struct SupplierSetBound {
    std::set<std::string> suppliers; ///< empty: what is owned alone
    double cost = 0; ///< in the currency of the project, with tax that is a cost
    /// A second bound, for ways from several suppliers: `base`, and of what is bought from each of
    /// them this share besides.
    double base = 0;
    std::map<std::string, double> premium = {};
};

/// Of one demand.
struct DemandBound {
    std::string demand;
    std::vector<SupplierSetBound> sets; ///< every set from which it could be bought
    /// Of ways that buy from more suppliers than any of the sets; none: there are no such ways.
    std::optional<double> beyond = {};
};

/// A bound on Procurement::cost of any purchase of the problem's demands, whatever their ways.
/// Demands that are not named keep the ways they have. None when they cannot be met.
/// @throws CallCancelled.
[[nodiscard]] std::optional<Money> least_cost(const ProcureProblem& problem,
                                              const std::vector<DemandBound>& bounds);

} // namespace aumbry
