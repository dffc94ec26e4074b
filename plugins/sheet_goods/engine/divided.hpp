// Cutting from sheets that a dealer divides first.
#pragma once

#include "sheet_goods/engine/divisions.hpp"

#include <functional>
#include <span>
#include <vector>

namespace aumbry::sheet_goods {

/// What a plan on the same sheets is worth: less is better. So many changes of it are tried.
struct Easing {
    std::function<std::int64_t(const Plan&)> burden;
    int tries = 0;
};

/// Plans like `cut`; `divisions` holds, for each of the job's formats, the ways to divide it, or
/// nothing where it stays whole. Objective: every part placed, then least cost, then fewest cuts of
/// the dealer. A plan on whole sheets says which sheets to try first, and bounds the cost: no
/// division does with less. Sheets come with the dealer's cuts first, on the sheet as delivered;
/// the others are measured from the edge of a blank once that is trimmed.
[[nodiscard]] Plan cut_divided(const CuttingJob& job,
                               const std::vector<std::span<const Division>>& divisions,
                               const Easing& easing = {});

/// Another plan on the sheets of `known`, eased from a start of its own; parts are left over when a
/// quick search finds none. Different seeds, different plans.
[[nodiscard]] Plan cut_again(const CuttingJob& job,
                             const std::vector<std::span<const Division>>& divisions,
                             const Plan& known, std::uint64_t seed, const Easing& easing);

/// So many of the divisions of the job's only format: those of which a sheet filled in a plain
/// order holds most; where they hold as much, those of fewer cuts. They keep their order.
[[nodiscard]] std::vector<Division>
most_holding(const CuttingJob& job, const std::vector<Division>& divisions, std::size_t count);

} // namespace aumbry::sheet_goods
