#include "hardware_kits/engine/fixings/walls.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <utility>

namespace aumbry::hardware_kits {

using contract::Severity;

Wall wall_named(const std::string& name) {
    static constexpr std::array<std::pair<const char*, Wall>, 6> walls{
        {{"solid masonry", Wall::masonry},
         {"hollow masonry", Wall::hollow_masonry},
         {"concrete", Wall::concrete},
         {"timber studs", Wall::timber_frame},
         {"metal studs", Wall::metal_frame},
         {"plasterboard", Wall::lining_only}}};
    const auto* found = std::find_if(walls.begin(), walls.end(),
                                     [&](const auto& entry) { return name == entry.first; });
    return found == walls.end() ? Wall::unknown : found->second;
}

bool holds_in_masonry(const std::string& type) {
    static constexpr std::array words{"plug",     "anchor",  "frame fixing", "hammer fixing",
                                      "concrete", "masonry", "expansion"};
    return std::any_of(words.begin(), words.end(),
                       [&](const char* word) { return type.find(word) != std::string::npos; });
}

std::string anchor_for(Wall wall, const std::string& type) {
    if (wall == Wall::hollow_masonry)
        return type.find("injection") != std::string::npos ? "" : "injection anchor";
    const bool solid = wall == Wall::masonry || wall == Wall::concrete;
    return solid && !holds_in_masonry(type) ? "wall plug" : "";
}

std::vector<contract::Finding> wall_findings(Wall wall, const std::string& piece,
                                             const std::string& anchor) {
    std::vector<contract::Finding> findings;
    const auto say = [&](Severity severity, const char* code, std::string text) {
        findings.push_back({severity, code, "", std::move(text)});
    };
    if (wall == Wall::unknown)
        say(Severity::problem, "wall-unknown",
            fmt::format("what the wall behind '{}' is made of is not known: find out before "
                        "anything is ordered, since fixings and their number depend on it",
                        piece));
    if (wall == Wall::lining_only)
        say(Severity::problem, "wall-lining-only",
            fmt::format("lining alone does not hold '{}': find or build structure behind it",
                        piece));
    if (wall == Wall::metal_frame)
        say(Severity::warning, "wall-metal-studs",
            "thin metal studs seldom hold a pull by themselves; build timber or plywood backing "
            "into the wall and fix into that");
    if (wall == Wall::hollow_masonry)
        say(Severity::warning, "wall-hollow-masonry",
            "a plug pulls out of a hollow block: drill without hammering, set injection anchors "
            "with sieve sleeves as their maker says, and pull at one before you trust the others");
    else if (!anchor.empty())
        say(Severity::caution, "wall-plugs",
            fmt::format("a screw alone does not hold in masonry or concrete: set a {} for each, in "
                        "a hole of its maker's size and depth, blown clean, in the stone and not "
                        "in a joint",
                        anchor));
    say(Severity::warning, "find-cables",
        "find cables and pipes with a detector and mark them before any hole is drilled: a drill "
        "in a live cable kills");
    return findings;
}

} // namespace aumbry::hardware_kits
