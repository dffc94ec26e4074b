// Where a dealer crosscuts a board so that every piece of it lies in the vehicle.
#pragma once

#include "aumbry/grid.hpp"

#include <optional>
#include <vector>

namespace aumbry::solid_stock {

/// What must stay whole, along the board: a part, or a blank that is cut up later.
struct Segment {
    GridLength begin = 0, end = 0;
};

struct CarryTerms {
    GridLength longest = 0; ///< piece that the vehicle takes
    GridLength kerf = 0;    ///< of the dealer's saw, with what his cut may be off
    GridLength end = 0;     ///< left on each side of his cut, for a cut of the workshop's own
    GridLength step = 1;    ///< he is asked for positions that are multiples of it
};

struct CarryCuts {
    std::vector<GridLength> cuts;    ///< where his saw begins, rising
    std::vector<GridLength> shifted; ///< by segment: how far it moves on to make room for them
};

/// The fewest crosscuts after which no piece is longer than the vehicle takes, segments in their
/// order (with very many segments: few); `sound_end` is how far the last one may reach. None is
/// needed for a board that is short enough. Empty when a segment is too long, or the board has no
/// room for the cuts.
[[nodiscard]] std::optional<CarryCuts> cut_to_carry(const std::vector<Segment>& segments,
                                                    GridLength board, GridLength sound_end,
                                                    const CarryTerms& terms);

} // namespace aumbry::solid_stock
