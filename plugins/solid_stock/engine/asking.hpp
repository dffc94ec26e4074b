// Which boards to ask a yard for that sells wood of random width and length by volume.
#pragma once

#include "solid_stock/engine/ripping.hpp"

#include "aumbry/grid.hpp"

#include <vector>

namespace aumbry::solid_stock {

/// What a yard sells of one thickness, and how its boards are cut.
struct RandomBoards {
    GridLength least_width = 0, least_length = 0; ///< no board is smaller
    double yield = 1;                             ///< share of the surface that ends in parts
    GridLength end_trim = 0;                      ///< off each end, its saw cut included
    GridLength width_step = 0, length_step = 0;   ///< sizes asked for are multiples of these
    GridLength longest = 0;                       ///< no longer board is asked for; 0: any
};

/// A size to ask for: at least so wide and long.
struct AskedSize {
    GridLength length = 0, width = 0;
};

/// A few sizes worth asking for: the least that the yard sells and that the parts need, wider for
/// two of them side by side, a little longer. Empty without parts.
[[nodiscard]] std::vector<AskedSize> sizes_to_ask(const RipOrder& order,
                                                  const RandomBoards& boards);

/// The boards of a size as stock: what is cut out for defects goes off the far end of one, off an
/// edge of the other. Either way no more of the surface is planned than the yield promises.
[[nodiscard]] std::vector<WideStock> stock_of(const AskedSize& size, const RandomBoards& boards);

} // namespace aumbry::solid_stock
