// Members of a JSON text put in, changed and taken out by hand, so that every other byte of it
// stays as a person wrote it.
#pragma once

#include "aumbry/json.hpp"

#include <string>
#include <string_view>

namespace aumbry {

/// The text with members added at the end of the object that a pointer names. `members` is an
/// object whose keys are not there yet; the text is sound JSON. What is added is laid out as
/// pretty() does, indented like its neighbours.
/// @throws FaultError "bad-pointer" when there is no such object.
[[nodiscard]] std::string insert_members(std::string text, std::string_view pointer,
                                         const Json& members);

/// The text with one member of the object set: its value changed where it stands, else added.
/// @throws FaultError "bad-pointer".
[[nodiscard]] std::string set_member(std::string text, std::string_view pointer,
                                     const std::string& key, const Json& value);

/// The text without a member, and without the comma and the line that were its own.
/// @throws FaultError "bad-pointer" when it is not there.
[[nodiscard]] std::string remove_member(std::string text, std::string_view pointer);

} // namespace aumbry
