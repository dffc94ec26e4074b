// One purchase for several projects: their needs are bought together, so that quantity breaks,
// delivery and least orders are shared, and what that costs is split fairly.
#pragma once

#include "aumbry/line.hpp"
#include "aumbry/order.hpp"

#include <string>
#include <vector>

namespace aumbry {

/// What a project pays.
struct PurchaseShare {
    std::string title;
    Money alone; ///< what its purchase costs by itself
    Money
        share; ///< of the purchase together, in proportion to `alone`: nobody pays more than alone
};

struct SharedPurchase {
    OrderHead head;            ///< its title names all projects
    std::vector<Order> orders; ///< each position says in `lines` how many are for which project
    std::vector<PurchaseShare> shares;
    Money alone;    ///< of all by themselves
    Money together; ///< never more than `alone`: what each would buy by itself stays possible
    bool proven = false;
    std::vector<contract::Finding> findings;
};

/// Buys for all projects at once, on the earliest of their starting days. The plans of each project
/// stay its own; what each owns or has bought already serves itself alone.
/// @throws FaultError of any project; "currency-clash" and "tax-clash" when they cannot share.
[[nodiscard]] SharedPurchase buy_together(const std::vector<Project>& projects, PluginHost& host,
                                          const Catalog& catalog,
                                          const EstimateOptions& options = {});

[[nodiscard]] Json to_json(const SharedPurchase& purchase);

} // namespace aumbry
