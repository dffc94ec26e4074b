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

/// The articles of a class, one row each, that agree with the attributes stated; none when none
/// does. A formula rules nothing out.
[[nodiscard]] std::vector<const PriceRow*>
goods_with(const Knowledge& knowledge, const contract::CatalogClass& of, const Json& attributes);

/// The values for a field of a line, by what its kind says of the offers that it is matched with;
/// none when the field is matched with none.
[[nodiscard]] std::vector<std::string> offered_for_line(const Knowledge& knowledge,
                                                        const contract::LineKind& kind,
                                                        const Json& line,
                                                        const contract::Field& field);

/// The day itself when any price holds on it, else the nearest day on which one does; empty when
/// there are no prices, or no such day is written.
[[nodiscard]] std::string nearest_priced_day(const Knowledge& knowledge, const std::string& day);

} // namespace aumbry::gui
