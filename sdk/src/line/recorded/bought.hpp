// What is bought already, as the stages see it: goods at no further cost, in the plan by which they
// were bought.
#pragma once

#include "aumbry/catalog.hpp"
#include "aumbry/resolved_project.hpp"
#include "aumbry/supply.hpp"

#include <cstdint>
#include <map>
#include <set>
#include <string>
#include <vector>

namespace aumbry {

/// What is bought and serves nothing as it was bought.
struct Loose {
    std::map<std::string, std::int64_t> counts; ///< by id under `bought`
    std::set<std::string> plans;                ///< demands whose plan no longer fits
};

/// Puts what is bought into the demands: a plan whose parts are still the same takes the place of
/// the ways found anew, and goods bought for an amount are offered first. Returns what was bought
/// for demands that are gone or plans that no longer fit; `findings` say so. What is `handed_over`
/// to the modules as owned already is passed by.
[[nodiscard]] Loose keep_bought(const Resolved& project, std::vector<contract::Demand>& demands,
                                std::vector<contract::Finding>& findings,
                                const Loose& handed_over = {});

/// Loose goods as owned items "bought/<id>" for the modules to plan with; what no price list
/// describes any more, and what is cut, cannot be.
[[nodiscard]] std::vector<OwnedItem> bought_as_owned(const Resolved& project,
                                                     const Catalog& catalog, const Loose& loose);

/// The entry under `bought` that an offer stands for, or null: "bought/<id>", planned anew
/// "owned/bought/<id>".
[[nodiscard]] const Bought* bought_before(const Resolved& project, std::string_view offer);

/// Offers "bought/<id>" at no cost.
[[nodiscard]] std::vector<OfferTerms> bought_terms(const Resolved& project);

/// The latest day that anything recorded names, or the project's start: what is left is planned
/// from there.
[[nodiscard]] Date planned_from(const Resolved& project);

/// When orders go out: on the day that the project states, else when work begins, and never before
/// the latest record.
[[nodiscard]] Date ordered_from(const Resolved& project);

} // namespace aumbry
