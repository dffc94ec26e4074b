// Improvement towards a goal: all parts at a lower price.
//
// Parts are taken off a few sheets and put back with those still left over, in a drawn order, each
// where it fits best; a change is kept when less is left over than some number of changes ago (late
// acceptance). The goal comes first and the parts follow, as in goal-driven ruin and recreate
// (Gardeyn and Wauters 2022), here over layouts whose free space stays liquid.
#pragma once

#include "sheet_goods/engine/packing.hpp"
#include "sheet_goods/engine/sheet_sets.hpp"

#include <cstddef>
#include <cstdint>
#include <functional>
#include <vector>

namespace aumbry::sheet_goods {

struct Improvement {
    std::int64_t most_price = 0; ///< of all sheets: the goal
    std::int64_t last_step = 0;  ///< ends when `steps` gets there
    std::size_t memory =
        0; ///< how many changes ago a change is compared with: longer is slower and surer
    std::uint64_t seed = 0;
};

/// Returns the packing with the least left over; its `unplaced` is empty when the goal was reached.
[[nodiscard]] Packing improve(const Problem& problem, Packing start, const Improvement& improvement,
                              std::int64_t& steps);

/// Tries to place every part on one of the sets of sheets: half of the sets, those that leave most,
/// drop out after each round. `most_price` is not looked at.
[[nodiscard]] Packing race(const Problem& problem, const std::vector<SheetSet>& sets,
                           const Improvement& improvement, std::int64_t& steps);

/// A sheet that is divided before parts are cut from it: for each way to divide it, the kinds of
/// sheet
/// (`Problem::sheets`) that its blanks are.
using DividedSheet = std::vector<std::vector<int>>;

/// Tries to place every part on these sheets and no others, each divided in one of its ways. The
/// packing has as many sheets for each as its most blanks, those not in use of size 0.
[[nodiscard]] Packing place_on_divided(const Problem& problem,
                                       const std::vector<DividedSheet>& sheets,
                                       const Improvement& improvement, std::int64_t& steps);

/// What a packing is worth besides its price: less is better.
using Burden = std::function<std::int64_t(const Packing&)>;

/// So many changes of a packing of `place_on_divided` that holds every part, each kept when it is
/// no heavier a burden.
[[nodiscard]] Packing ease(const Problem& problem, const std::vector<DividedSheet>& sheets,
                           Packing packing, const Burden& burden, int changes, std::uint64_t seed,
                           std::int64_t& steps);

} // namespace aumbry::sheet_goods
