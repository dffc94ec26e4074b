// Joints: where fasteners sit along a joint, from its length, a spacing and an end distance.
#pragma once

#include <string>
#include <vector>

namespace aumbry::hardware_kits {

/// Rows of fasteners along equal joints. Defaults are common practice for carcases: 150 to 200 mm
/// apart, the first 40 to 50 mm from the end, at least two a joint.
struct Joint {
    std::string name;
    double length = 0;        ///< mm
    double spacing = 200;     ///< greatest distance between neighbours, mm
    double end_distance = 50; ///< of the first and last fastener from the ends, mm
    int min_count = 2;        ///< fasteners a joint at least
    int joints = 1;           ///< equal joints
};

struct FastenerRow {
    int each = 0;                  ///< fasteners a joint
    int count = 0;                 ///< in all joints
    double spacing = 0;            ///< between neighbours, mm; 0 for a single fastener
    std::vector<double> positions; ///< from one end, mm
};

/// Evenly spaced fasteners, as few as spacing and `min_count` allow. Throws FaultError for negative
/// or zero spacing, negative end distance, a joint shorter than two end distances, or one with no
/// room for `min_count` of them.
[[nodiscard]] FastenerRow fastener_row(const Joint& joint);

} // namespace aumbry::hardware_kits
