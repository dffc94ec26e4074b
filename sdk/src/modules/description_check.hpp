// What a description must hold beyond its schema, for the conformance check. Each gives one
// sentence about the first thing that is wrong, or nothing.
#pragma once

#include "aumbry/contract.hpp"
#include "aumbry/kind_table.hpp"

#include <string>

namespace aumbry {

/// Ids are snake_case, titles and versions are there, no name occurs twice.
[[nodiscard]] std::string fault_of_names(const contract::Description& description);

/// Kinds are called `module.kind`, but those whose home is the module by the table beside it.
[[nodiscard]] std::string fault_of_kind_names(const contract::Description& description,
                                              const KindTable& homes);

/// Every field record is sound: unit, range, choices, default and help fit its type.
[[nodiscard]] std::string fault_of_fields(const contract::Description& description);

/// What the description refers to exists: paths of group_by and match, units of derived values,
/// kinds, `after`.
[[nodiscard]] std::string fault_of_references(const contract::Description& description);

/// Reading by every field record takes what its record allows and refuses what it does not.
[[nodiscard]] std::string fault_of_reading(const contract::Description& description);

} // namespace aumbry
