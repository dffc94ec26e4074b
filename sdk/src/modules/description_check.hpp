// What a description must hold beyond its schema, asked by the host when it admits a module and by
// the conformance check. Each gives one sentence about the first thing that is wrong, or nothing.
#pragma once

#include "aumbry/contract.hpp"
#include "aumbry/kind_table.hpp"
#include "aumbry/plugin.h"

#include <string>

namespace aumbry {

/// Everything below, in this order, and the contract named is that of the table of functions.
[[nodiscard]] std::string fault_of_description(const contract::Description& description,
                                               const aumbry_module_functions& functions,
                                               const KindTable& homes);

/// The description names the contract that the table of functions speaks.
[[nodiscard]] std::string fault_of_contract(const contract::Description& description,
                                            const aumbry_module_functions& functions);

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
