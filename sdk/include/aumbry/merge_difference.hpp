// What leads from one JSON document to another, as a JSON Merge Patch.
#pragma once

#include "aumbry/json.hpp"

namespace aumbry {

/// Whether two values say the same: the order of an object's keys says nothing, that of a list
/// does. (`==` compares the order of keys too.)
[[nodiscard]] bool same_value(const Json& one, const Json& other);

/// The JSON Merge Patch (RFC 7396) that leads from one value to another: `merge_patch(from,
/// merge_difference(from, to))` says the same as `to`. An empty object when both are objects that
/// say the same.
/// @throws FaultError "null-in-patch", with the pointer in `to`, when a member of an object would
/// have to become null: in a patch null deletes.
[[nodiscard]] Json merge_difference(const Json& from, const Json& to);

} // namespace aumbry
