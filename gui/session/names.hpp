// The names that a formula may use, as they are offered while one is typed.
#pragma once

#include "session/worker.hpp"

#include "aumbry/json.hpp"

#include <string>
#include <vector>

namespace aumbry::gui {

/// A name and what it stands for: its title, or what it comes to.
struct Name {
    std::string text;
    std::string says;
};

/// The names that hold what is written, or whose title does, those that begin with it first.
/// Without a point sizes, materials and lines; after one ("bed_side.le") what that line or material
/// has. Lines and materials end in a point: something of them is wanted. `estimate` may be null.
[[nodiscard]] std::vector<Name> names_for(const std::string& written, const Json& document,
                                          const Knowledge& knowledge, const Estimate* estimate);

} // namespace aumbry::gui
