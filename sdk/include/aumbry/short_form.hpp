// The short form of a record whose members are records that each begin with the same choice:
// "front and left banded, back scribed" for the edges of a panel. It says that choice alone; what
// says more is written in { }.
#pragma once

#include "aumbry/contract.hpp"
#include "aumbry/json.hpp"

#include <string>
#include <string_view>

namespace aumbry {

[[nodiscard]] bool has_short_form(const contract::Field& field);

/// One that fits the field, for help and sentences: "front banded".
[[nodiscard]] std::string short_form_example(const contract::Field& field);

/// The record, as a person writes it in { }. Members are joined by commas, "and" or blanks; "all"
/// names those that are not named otherwise.
/// @throws FaultError "bad-short-form" without place.
[[nodiscard]] Json from_short_form(const contract::Field& field, std::string_view text);

/// What the short form can say of a record in contract form; empty when every member is as it is
/// when nothing is said.
[[nodiscard]] std::string short_form_of(const contract::Field& field, const Json& record);

} // namespace aumbry
