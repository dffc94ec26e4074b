// The fewest first cuts that make every blank fit the vehicle.
#pragma once

#include "sheet_goods/engine/problem.hpp"

#include <vector>

namespace aumbry::sheet_goods {

/// What is left at the end of all cuts: a part, an offcut, or a sliver that goes into the kerf.
/// Sizes are enlarged by the kerf; together the ends fill the first blank, whose corner is at 0, 0.
struct End {
    GridSize at{}, size{};
    int part = -1; ///< index in CuttingJob::parts
    bool rotated = false;
};

/// Cuts the ends apart anew: the dealer's cuts first, as few as can be, then those of the workshop.
/// The number of cuts is the same in any order, except where an offcut must be divided to be
/// carried.
[[nodiscard]] SheetPlan cut_for_vehicle(const Format& format, int format_index,
                                        const BlankLimit& limit, Steps kerf, const GridSize& size,
                                        const std::vector<End>& ends);

} // namespace aumbry::sheet_goods
