// From catalog and take-off to what procure reads.
#pragma once

#include "aumbry/catalog.hpp"
#include "aumbry/procure.hpp"
#include "aumbry/resolved_project.hpp"
#include "aumbry/take_off.hpp"

#include <vector>

namespace aumbry {

/// The suppliers of the offers in play, those of stated prices among them, with the project's
/// wishes and rates of exchange.
[[nodiscard]] std::vector<SupplierTerms>
supplier_terms(const Resolved& project, const Catalog& catalog, const TakenOff& taken_off);

/// The offers in play: those passed to modules, stated prices and owned items. What a count of one
/// weighs is what the modules said.
[[nodiscard]] std::vector<OfferTerms> offer_terms(const Resolved& project, const Catalog& catalog,
                                                  const TakenOff& taken_off);

} // namespace aumbry
