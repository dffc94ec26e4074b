// What uses what: which formulas name a parameter, a material or a line, and which lines are made
// of a material.
#pragma once

#include "session/worker.hpp"

#include <map>
#include <string>
#include <vector>

namespace aumbry::gui {

/// Something that uses a name.
struct Reference {
    std::string title;
    std::string line; ///< id when it is a line, else empty
    bool operator==(const Reference&) const = default;
};

/// By name of a parameter, material or line: its users in document order, each once.
using References = std::map<std::string, std::vector<Reference>>;

[[nodiscard]] References references_to_names(const Json& document, const Knowledge& knowledge);

/// A place of the document as the window calls it: "/lines/bed_side/width" is "Bed side, Width".
[[nodiscard]] std::string place_in_words(const Json& document, const Knowledge* knowledge,
                                         const std::string& pointer);

} // namespace aumbry::gui
