// Goods in an order of their own, which goes out later than the rest.
#pragma once

#include "aumbry/procure.hpp"

#include <set>
#include <string>

namespace aumbry {

/// When goods are ordered apart, and the step of work that they wait for.
struct OrderedApart {
    std::set<std::string> demands;
    std::string after; ///< id of the step
    Date goes_out{};
};

/// The problem with some of its amounts bought in second orders: every supplier of theirs stands in
/// it once more, with all his terms, and sells them there alone.
[[nodiscard]] ProcureProblem with_second_orders(ProcureProblem problem, const OrderedApart& apart);

/// What was bought under such a problem, by the offers as price lists name them. Only the orders
/// and the suppliers of purchases tell the second order from the first.
[[nodiscard]] Procurement by_listed_offers(Procurement bought, const ProcureProblem& problem);

} // namespace aumbry
