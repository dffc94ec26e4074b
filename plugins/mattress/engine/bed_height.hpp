// Height of a bed: where one lies, and how far the mattress stands above its frame.
#pragma once

#include "aumbry/contract.hpp"

#include <vector>

namespace aumbry::mattress {

struct BedHeight {
    double lying = 0;       ///< top of the unloaded mattress above the floor, mm
    double above_frame = 0; ///< mattress above the frame's upper edge, mm; negative: sunk below it
    std::vector<contract::Finding> findings;
};

/// `base`: top of what carries the mattress above the floor; `frame_top`: upper edge of the frame
/// above the floor; all mm. Findings: lying height outside 400 to 650 mm (assumed as easy to
/// get in and out of), a mattress held by less than 30 mm of frame (assumed), and a base
/// at 600 mm or more, where rules for high beds begin (EN 747-1). Throws FaultError for a negative
/// height or a thickness not above zero.
[[nodiscard]] BedHeight bed_height(double base, double frame_top, double thickness);

} // namespace aumbry::mattress
