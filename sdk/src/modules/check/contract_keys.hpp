// Keys of a document that the contract does not have: a host must ignore them, a checker must not,
// for most are slips of the pen.
#pragma once

#include "aumbry/json.hpp"

#include <string>
#include <string_view>

namespace aumbry {

/// The first key that a contract document has and its schema (contract::schema) does not, with its
/// place and the nearest key that it may have; empty when there is none. Keys that start with "x-"
/// are the author's own.
[[nodiscard]] std::string unknown_key(const Json& document, std::string_view schema);

} // namespace aumbry
