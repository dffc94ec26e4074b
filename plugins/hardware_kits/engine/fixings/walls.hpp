// Walls: what each asks of a fixing besides the screw itself.
#pragma once

#include "aumbry/contract.hpp"

#include <string>

namespace aumbry::hardware_kits {

enum class Wall {
    unknown,
    timber_frame,
    metal_frame,
    masonry,
    hollow_masonry,
    concrete,
    lining_only
};

/// By the name that documents give it; unknown when it is none of them.
[[nodiscard]] Wall wall_named(const std::string& name);

/// Whether a fixing holds in masonry by itself, by what price lists call it: a frame fixing, a
/// plug, an anchor, a concrete screw (common practice).
[[nodiscard]] bool holds_in_masonry(const std::string& type);

/// What goes into the wall round a fixing of `type`, as price lists call it: "wall plug",
/// "injection anchor"; empty where it needs nothing, or where nothing of the kind would hold.
[[nodiscard]] std::string anchor_for(Wall wall, const std::string& type);

/// What must be said of a wall, each in one clause: problems where it is unknown or lining alone, a
/// warning for metal studs, how a plug or an anchor is set; that cables are looked for first.
[[nodiscard]] std::vector<contract::Finding> wall_findings(Wall wall, const std::string& piece,
                                                           const std::string& anchor);

} // namespace aumbry::hardware_kits
