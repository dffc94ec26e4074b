// What to mind with a class of coating.
#pragma once

#include "aumbry/contract.hpp"

#include <string_view>
#include <vector>

namespace aumbry::finish {

/// Classes of coatings by what evaporates from them or hardens in them.
[[nodiscard]] const std::vector<std::string>& product_classes();

/// The usual cautions; the product's safety data sheet and label come first.
[[nodiscard]] std::vector<contract::Finding> cautions_for(std::string_view product_class,
                                                          bool sprayed, bool sanded);

} // namespace aumbry::finish
