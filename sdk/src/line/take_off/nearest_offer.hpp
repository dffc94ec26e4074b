// What is offered nearest to what nobody offers.
#pragma once

#include "aumbry/catalog.hpp"

#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace aumbry {

/// What nobody lists is often a slip of the pen: cautions that name the listed text that is near.
[[nodiscard]] std::vector<contract::Finding>
misspelt_names(const Catalog& catalog, const std::string& catalog_class,
               const std::vector<AttributeMatch>& wanted);

/// The offer whose one size is nearest to what is wanted, all else being as wanted, with a price on
/// that day, from a supplier that may be bought from: "The nearest that is offered has thickness 18
/// mm: ..."; empty when there is none.
[[nodiscard]] std::string nearest_offer(const Catalog& catalog, const std::string& catalog_class,
                                        const std::vector<AttributeMatch>& wanted, Date day,
                                        const std::function<bool(std::string_view)>& may_supply,
                                        const std::vector<contract::CatalogClass>& classes);

} // namespace aumbry
