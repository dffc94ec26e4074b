// What can hurt whoever makes or uses a piece of panels: parts for two people, dust at the saw, a
// tall piece that tips over. Each stands at the step where it matters.
#pragma once

#include "sheet_goods/module/material.hpp"
#include "sheet_goods/module/panel.hpp"

#include "aumbry/contract.hpp"

#include <string>
#include <vector>

namespace aumbry::sheet_goods {

/// Parts that are heavier, longer or larger than one person carries, a caution for each piece at
/// its cutting.
void say_unwieldy(const std::vector<Panel>& panels, const SheetMaterial& material, const Shop& shop,
                  const std::string& group, std::vector<contract::Finding>& findings);

/// Dust of hardwood or of boards bound with resin, at the cutting of each material.
void say_dust(const std::vector<Panel>& panels, const SheetMaterial& material,
              const std::string& group, std::vector<contract::Finding>& findings);

/// How a piece stands against a child who climbs on it, empty.
struct Stand {
    double height = 0;  ///< mm
    double depth = 0;   ///< mm, from the wall to its front edge
    double mass = 0;    ///< kg, empty; its centre at half the depth
    double held = 0;    ///< N·m, by its own mass about the front edge
    double climbed = 0; ///< N·m, a child who climbs on the front turns it with
    double pull = 0;    ///< N, outwards at its upper edge, that tips it
};
[[nodiscard]] Stand stand_of(double height, double depth, double mass);

/// A warning for each tall piece that no fixing of the project holds and that a climbing child
/// tips. A piece is tall by its uprights: panels that are said to stand, else the longest pair
/// that is as deep as the piece's loaded shelves.
void warn_of_tipping(const contract::FollowRequest& request, const Shop& shop,
                     std::vector<contract::Finding>& findings);

} // namespace aumbry::sheet_goods
