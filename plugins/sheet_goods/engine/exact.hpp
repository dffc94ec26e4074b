// Exact answers for small orders: every set of parts with the boxes it can be cut from.
//
// Boxes are built from parts by putting two side by side, along either axis, as in Wang 1983; of
// the boxes of one set those are kept that no other one is inside. What that cannot make, no
// edge-to-edge cut can.
#pragma once

#include "sheet_goods/engine/bounds.hpp"
#include "sheet_goods/engine/packing.hpp"

#include <cstdint>
#include <optional>
#include <vector>

namespace aumbry::sheet_goods {

struct ExactPacking {
    Packing
        packing; ///< every part placed at the least price; limits of formats kept, or else empty
    Bound bound; ///< holds in any case
};

/// Nothing when the order is too large for it.
[[nodiscard]] std::optional<ExactPacking> exact_packing(const Problem& problem,
                                                        std::int64_t& steps);

/// The most valuable choice of parts that one sheet of the problem's first kind yields, at most the
/// count of each; `values` for each of Problem::parts. Nothing when that takes more than
/// `most_steps`.
[[nodiscard]] std::optional<std::int64_t>
most_value_of_one_sheet(const Problem& problem, const std::vector<std::int64_t>& values,
                        std::int64_t most_steps);

} // namespace aumbry::sheet_goods
