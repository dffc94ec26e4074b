// From the ways chosen to purchases, orders, choices and findings.
#pragma once

#include "line/procure/search.hpp"

namespace aumbry::procurement {

[[nodiscard]] Procurement report(const Model& model, const Pricer& pricer,
                                 const SearchResult& result);

/// The fewest suppliers among whom every demand has a way; 0 when owned stock meets all.
[[nodiscard]] int min_suppliers(const Model& model);

} // namespace aumbry::procurement
