// What differs between two documents, in words.
#pragma once

#include "aumbry/json.hpp"

#include <string>
#include <vector>

namespace aumbry::gui {

/// "line Bed side, length: 1900 mm, now 2000 mm", "new material Oak", "line Knob is gone", in the
/// order of the later document.
[[nodiscard]] std::vector<std::string> differences_in_words(const Json& from, const Json& to);

} // namespace aumbry::gui
