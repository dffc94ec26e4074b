// Fasteners: length of a screw from the thicknesses joined, plugs over its head, dowels.
#pragma once

#include "aumbry/contract.hpp"

#include <string>
#include <vector>

namespace aumbry::hardware_kits {

/// A screw through one part into another. Trade rule (common practice): a plugged screw is as long
/// as the thickness fixed, less the counterbore, plus the penetration.
struct ScrewJoint {
    std::string name;
    double fixed = 0;       ///< thickness of the part the head sits in, mm
    double receiving = 0;   ///< depth of wood the point may go into, mm
    double counterbore = 0; ///< depth of the hole over the head, mm
    double penetration = 0; ///< wanted into the receiving part, mm; 0: as the rule has it
    double cover = 2;       ///< wood left before the far side, mm
    bool into_edge = false; ///< it bites into the edge of a panel, not into a face
};

/// Depth wanted in the receiving part, mm: into a face as much as is fixed; into the edge of a
/// panel, which holds only three quarters as much and splits, twice that (2 to 2.5 times, common
/// practice; 75 to 80 % by an FPL survey of panels, McNatt).
[[nodiscard]] double penetration_wanted(const ScrewJoint& joint);

struct ScrewLength {
    double wanted = 0;      ///< by the rule, mm
    double length = 0;      ///< the length chosen among those stocked, mm
    double penetration = 0; ///< with the length chosen, mm
    double rounding = 0;    ///< length - wanted, mm
    std::vector<contract::Finding> findings;
};

/// The stocked length nearest to the rule that does not come through; of two equally near the
/// longer. Throws FaultError for thicknesses that are not positive, a counterbore that leaves no
/// wood under the head, or when no stocked length holds at all without coming through.
[[nodiscard]] ScrewLength screw_length(const ScrewJoint& joint, const std::vector<double>& stocked);

/// Least distance of a screw from a face edge and from the faces when driven into a panel's edge
/// (common practice: three diameters; half the thickness).
[[nodiscard]] double min_edge_distance(double screw_diameter);

/// A plug over the head of a visible screw.
struct Plug {
    double hole_diameter = 0; ///< mm
    double hole_depth = 0;    ///< mm, the counterbore
    double head_diameter = 0; ///< of the screw, mm
    double proud = 2;         ///< left standing to be cut flush, mm
};

struct PlugStock {
    int plugs = 0;
    double length_each = 0; ///< hole depth and what stands proud, mm
    double stick = 0;       ///< plug or dowel stick used with saw cuts, mm; 0 when bought as plugs
};

/// Plugs for `count` screws and the stick they are cut from. Throws FaultError for a hole smaller
/// than the head, a depth or kerf that is negative.
[[nodiscard]] PlugStock plug_stock(const Plug& plug, int count, double kerf);

/// A dowel across a joint: depth into the face and into the edge, less room for glue at either end.
struct DowelJoint {
    std::string name;
    double face_thickness = 0; ///< of the part drilled in its face, mm
    double face_cover = 5;     ///< wood left under that hole, mm
    double edge_depth = 0;     ///< hole in the other part's edge, mm
    double glue_room = 1;      ///< at either end, mm
};

/// The longest stocked dowel that fits both holes. Throws FaultError when none does.
[[nodiscard]] double dowel_length(const DowelJoint& joint, const std::vector<double>& stocked);

} // namespace aumbry::hardware_kits
