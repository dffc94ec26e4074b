// The contract between host and module, as plain structs.
//
// Every exchange is one JSON document; these structs are its typed form, `to_json` and `read_...`
// lead from one to the other, and the JSON Schemas in sdk/schemas are written from the same member
// lists. Numbers are in one fixed unit a quantity: mm, m2, m3, L, kg, N, N·m, N/mm2, kg/m3, m2/L,
// deg, min. Money and prices are decimal strings. Receivers ignore keys that they do not know.
// The version of the contract stands in plugin.h; 0.x may still change from minor to minor.
// Every member has an initialiser, so that `{.id = ..., .title = ...}` may leave out the rest.
#pragma once

#include "aumbry/contract/describe.hpp"
#include "aumbry/contract/lift_plan.hpp"
#include "aumbry/contract/plans.hpp"
#include "aumbry/contract/reply.hpp"
#include "aumbry/contract/request.hpp"

#include <string_view>

namespace aumbry::contract {

/// JSON Schema (draft-07) of a contract document: "description", "derive_request", "derive_reply",
/// "take_off_request", "take_off_reply", "follow_request", "follow_reply".
[[nodiscard]] Json schema(std::string_view document);

} // namespace aumbry::contract
