// The parts of JSON pointers (RFC 6901).
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace aumbry {

/// Takes the first reference token off a pointer, unescaped; empty when the pointer is malformed.
[[nodiscard]] std::optional<std::string> take_token(std::string_view& pointer);

} // namespace aumbry
