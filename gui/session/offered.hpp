// What the price lists offer for an attribute of a material, given its other attributes.
#pragma once

#include "session/worker.hpp"

#include <string>
#include <vector>

namespace aumbry::gui {

/// The values that the catalog has for an attribute of things of a class that agree with the other
/// attributes of `written`; of all things of the class when none agrees. Texts as people write
/// them, in order.
[[nodiscard]] std::vector<std::string> offered_values(const Knowledge& knowledge,
                                                      const contract::CatalogClass& of,
                                                      const Json& written,
                                                      const contract::Field& attribute);

} // namespace aumbry::gui
