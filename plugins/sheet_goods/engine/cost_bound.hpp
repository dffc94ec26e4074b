// A bound on the cost of any plan when several kinds of sheet can be had.
//
// Column generation as in pattern_bound.hpp, with a table and a price for every kind. Any values of
// the parts prove something: no sheet of a kind holds more than the value of its best pattern, so
// the sheets of a plan must hold the value of all parts between them. Each round's values are kept
// as such a condition. The bound is the least cost of whole sheets, within the limits, that keep
// all conditions at once.
#pragma once

#include "sheet_goods/engine/bounds.hpp"

#include <cstdint>

namespace aumbry::sheet_goods {

/// How finely it is worked out.
struct CostBoundDetail {
    std::int32_t cells = 64; ///< of the grid along one axis of a sheet
    int idle = 10;           ///< rounds in a row that may raise nothing
    std::int64_t steps = 20'000'000;
};

/// Ends when it cannot get beyond `known`, or as soon as `enough` is proven.
[[nodiscard]] Bound cost_bound(const CuttingJob& order, const Problem& problem, std::int64_t known,
                               std::int64_t enough, const CostBoundDetail& detail,
                               std::int64_t& steps);

} // namespace aumbry::sheet_goods
