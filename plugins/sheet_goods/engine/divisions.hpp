// The ways in which a dealer divides a sheet into blanks that can be handed over.
#pragma once

#include "sheet_goods/engine/saws.hpp"

#include <optional>
#include <vector>

namespace aumbry::sheet_goods {

struct HandingOver {
    /// A blank lies in the vehicle either way; none: it is brought.
    std::optional<std::array<Steps, 2>> vehicle;
    Steps longest = 0;     ///< that the workshop cuts along; 0: any
    double largest = 0;    ///< area that one person lifts, in square steps; 0: any
    Steps least_strip = 0; ///< the dealer cuts nothing narrower
    int max_levels = 0;    ///< of cuts, one dividing what another made; 0: any
};

/// One way to divide a sheet. Every blank that is left whole can be handed over.
struct Division {
    std::vector<Blank> blanks;            ///< [0] is the sheet as delivered
    std::vector<Cut> cuts;                ///< the dealer's, positions as he sets them
    std::vector<std::size_t> handed_over; ///< index in `blanks`
    std::vector<Blank> rooms; ///< for each handed over: where parts can lie, once its edges are off
};

/// Those of fewest cuts first, then those of one more; spread over all that were found where those
/// are many. The sheet undivided when it can be handed over as it is; nothing when no division of a
/// few cuts does. `sides` are the lengths and widths of the parts.
[[nodiscard]] std::vector<Division> divisions_of(const std::array<Steps, 2>& raw,
                                                 const SawsOfSheet& saws,
                                                 const HandingOver& handing_over,
                                                 std::vector<Steps> sides);

} // namespace aumbry::sheet_goods
