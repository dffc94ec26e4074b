// What no plan can beat: areas, and dual feasible functions.
#pragma once

#include "sheet_goods/engine/problem.hpp"

#include <cstdint>
#include <string>

namespace aumbry::sheet_goods {

struct Bound {
    std::int64_t sheets = 0;
    std::int64_t cost = 0;
    std::string method;

    /// Takes over what the other proves beyond this.
    void raise(const Bound& other);
};

/// From the area of the parts: the fewest sheets, and the least cost of a choice of sheets with
/// that much area.
[[nodiscard]] Bound area_bound(const CuttingJob& order, const Problem& problem);

/// A kind of sheet, and what it holds at most: area, or the value of parts.
struct Holding {
    std::int64_t cost = 0;
    std::int64_t most = 0;
    std::int64_t limit = 0;
};

/// Least cost of sheets that hold as much in all.
[[nodiscard]] std::int64_t least_cost_of_holding(const std::vector<Holding>& sheets,
                                                 std::int64_t amount);
/// The same of area.
[[nodiscard]] std::int64_t least_cost_of_area(const CuttingJob& order, const Problem& problem,
                                              std::int64_t area);

/// Dual feasible functions in pairs, one along each axis; a part that may turn counts as it lies
/// cheaper. One kind of sheet only; otherwise nothing is proven. `detail`: functions tried of each
/// family and axis.
///
/// Families: rounding down to a fraction (Fekete and Schepers 2001), small parts left out and large
/// ones rounded up (the same), counting multiples and counting the parts that still fit (Carlier,
/// Clautiaux and Moukrim 2007).
[[nodiscard]] Bound dual_feasible_bound(const CuttingJob& order, const Problem& problem,
                                        std::size_t detail);

} // namespace aumbry::sheet_goods
