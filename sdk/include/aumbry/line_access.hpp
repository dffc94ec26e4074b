// Typed access to what lines and JSON objects say.
#pragma once

#include "aumbry/contract.hpp"

#include <string>
#include <string_view>

namespace aumbry {

/// Typed access to a line's fields, material and derived values, by path: "length" (a field),
/// "material.thickness", "derived.area". A missing value gives the fallback, or a FaultError
/// ("missing-value") that names line and path.
[[nodiscard]] const Json* find_value(const contract::Line& line, std::string_view path);
[[nodiscard]] double number(const contract::Line& line, std::string_view path);
[[nodiscard]] double number(const contract::Line& line, std::string_view path, double fallback);
[[nodiscard]] std::string text(const contract::Line& line, std::string_view path);
[[nodiscard]] std::string text(const contract::Line& line, std::string_view path,
                               const std::string& fallback);
[[nodiscard]] bool flag(const contract::Line& line, std::string_view path, bool fallback = false);
/// The same over any JSON object (a setting, an attribute list, a record).
[[nodiscard]] double number(const Json& object, const char* key, double fallback);
[[nodiscard]] std::string text(const Json& object, const char* key,
                               const std::string& fallback = {});
[[nodiscard]] bool flag(const Json& object, const char* key, bool fallback = false);

/// The line that a `line` field names, among the line's references; null when the field is empty.
[[nodiscard]] const contract::Line* reference(const contract::Line& line, std::string_view id);

/// What a person calls the line: its title, or its id with spaces for underscores.
[[nodiscard]] std::string display_name(const contract::Line& line);

} // namespace aumbry
