// JSON text: strict reading, places of values, canonical writing.
#pragma once

#include "aumbry/fault.hpp"

#include <nlohmann/json.hpp>

#include <optional>
#include <string>
#include <string_view>

namespace aumbry {

// JSON values cross the boundary of the libraries, and this JSON library versions its names: with
// another version than the one they were built with, every call would be an undefined reference.
#ifdef AUMBRY_JSON_VERSION
static_assert(NLOHMANN_JSON_VERSION_MAJOR * 10000 + NLOHMANN_JSON_VERSION_MINOR * 100 +
                      NLOHMANN_JSON_VERSION_PATCH ==
                  AUMBRY_JSON_VERSION,
              "this nlohmann/json is not of the version that the installed Aumbry SDK was built "
              "with (AUMBRY_JSON_VERSION: 31102 is 3.11.2); put that version first on the include "
              "path, or build Aumbry with this one");
#endif

/// JSON whose objects keep the order of their keys, as a person wrote them.
using Json = nlohmann::ordered_json;

/// Deeper nesting than this is refused: no document of ours comes near it.
inline constexpr int deepest_nesting = 64;

/// Reads JSON text (RFC 8259, UTF-8). Refuses duplicate keys, nesting deeper than
/// `deepest_nesting`, numbers that are not finite, and anything after the value.
/// @throws FaultError with codes "bad-json", "duplicate-key", "deep-nesting"; place with line and
/// column.
[[nodiscard]] Json parse_json(std::string_view text, const std::string& file = {});

/// Where a value stands in a text, 1-based; columns count characters, not bytes.
struct Position {
    int line = 0;
    int column = 0;
    bool operator==(const Position&) const = default;
};

/// Finds the value that a JSON pointer names (of a member of an object: its key), reading the text
/// again: called only when there is a fault to place. Empty when the pointer leads nowhere or the
/// text is no JSON.
[[nodiscard]] std::optional<Position> locate(std::string_view text, std::string_view pointer);

/// Appends one reference token to a JSON pointer, escaping '~' and '/' (RFC 6901).
[[nodiscard]] std::string pointer_to(std::string_view base, std::string_view token);

/// The value at a JSON pointer (RFC 6901), or null when there is none or the pointer is malformed.
[[nodiscard]] const Json* find_at(const Json& document, std::string_view pointer);

/// What a value is, for the sentence of a fault: "the text 'x'", "the number 3", "true", "null", "a
/// list", "an object"; long texts are shortened.
[[nodiscard]] std::string in_words(const Json& value);

/// Pretty text with two-space indentation and a final newline.
[[nodiscard]] std::string pretty(const Json& value);

/// Applies a JSON Merge Patch (RFC 7396).
[[nodiscard]] Json merge_patch(Json target, const Json& patch);

} // namespace aumbry
