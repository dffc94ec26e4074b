// What the purchase costs, and whom each amount is charged to.
#pragma once

#include "line/estimate/purchases.hpp"

namespace aumbry {

struct Costs {
    std::vector<EstimatePurchase> purchases;
    std::vector<EstimateOrder> orders;
    std::vector<Charge> charges;
    std::map<std::string, Money> of_lines; ///< by id: goods, services and delivery, without tax
    Money tax_paid;
};

/// Purchases are split over the lines that they serve, cents by largest remainder. What an order
/// carries as a whole (cuts, delivery, tax) is split over its purchases by amount first.
[[nodiscard]] Costs costs_of(const Resolved& project, const ProcureProblem& problem,
                             const Procurement& bought,
                             const std::vector<ChargedPurchase>& purchases);

} // namespace aumbry
