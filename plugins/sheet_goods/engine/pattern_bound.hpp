// A bound from the ways one sheet can be cut: no mixture of patterns, fractions allowed, needs
// fewer sheets.
//
// Linear relaxation of the choice of patterns, by column generation (Gilmore and Gomory 1965). A
// pattern here may repeat a part beyond its count, so the bound is a little lower than it could be,
// and sure. It is never below what dual feasible functions prove, as long as the sheet is no finer
// than the grid it is worked out on.
#pragma once

#include "sheet_goods/engine/bounds.hpp"

#include <cstdint>

namespace aumbry::sheet_goods {

/// One kind of sheet only; otherwise nothing is proven. Ends as soon as `enough` sheets are proven,
/// or when it cannot get beyond `known`.
[[nodiscard]] Bound pattern_bound(const CuttingJob& order, const Problem& problem,
                                  std::int64_t known, std::int64_t enough, std::int64_t& steps,
                                  std::int64_t last_step);

} // namespace aumbry::sheet_goods
