// Choosing patterns: which boards are bought and what comes out of each, at least cost, with a
// bound.
#pragma once

#include "aumbry/stop.hpp"
#include "solid_stock/engine/master.hpp"

#include <cstdint>
#include <utility>
#include <vector>

namespace aumbry::solid_stock {

/// A board that can be bought or is at hand.
struct CoverStock {
    std::int64_t cost = 0;   ///< zero or more
    std::int64_t limit = -1; ///< most boards of it; negative: as many as needed
};

/// A kind of piece that is needed.
struct CoverPart {
    std::int64_t count = 0; ///< pieces needed
    std::int64_t size = 1;  ///< length or area: a measure of how much of a board it takes
};

/// The best pattern found for given prices, and how much any pattern could be worth.
struct PricedPattern {
    std::vector<Take> takes;
    std::int64_t value = 0;
    std::int64_t upper = 0;
    std::int64_t steps = 0;
    std::vector<std::vector<Take>> earlier; ///< a few worse patterns met on the way
};

/// Knows what can come out of one board. The search above it knows nothing of lengths and saws.
class PatternSource {
  public:
    virtual ~PatternSource() = default;
    PatternSource() = default;
    PatternSource(const PatternSource&) = delete;
    PatternSource& operator=(const PatternSource&) = delete;

    /// The pattern of `stock` worth most at `values`, with at most `most[i]` pieces of part i.
    /// `upper` must hold for every pattern within `most`; `slack`: that near the best is near
    /// enough.
    [[nodiscard]] virtual PricedPattern best(std::size_t stock,
                                             const std::vector<std::int64_t>& values,
                                             const std::vector<std::int64_t>& most,
                                             std::int64_t slack) const = 0;

    /// True when in any pattern each part may be replaced by the next in order (a shorter one). The
    /// search may then assume that a part is never worth less than the next.
    [[nodiscard]] virtual bool next_fits_in_place() const { return false; }

    /// True when `list` can be complete; else it is not called.
    [[nodiscard]] virtual bool can_list() const { return true; }

    /// Lists the patterns of `stock` that hold part `must`, to which no further piece can be added,
    /// and that are worth at least `least`. False when the list is not complete.
    [[nodiscard]] virtual bool list(std::size_t stock, std::size_t must,
                                    const std::vector<std::int64_t>& values,
                                    const std::vector<std::int64_t>& most, std::int64_t least,
                                    std::size_t most_listed, std::int64_t max_steps,
                                    std::vector<Pattern>& listed, std::int64_t& steps) const = 0;
};

/// What to buy and how it is cut.
struct Cover {
    std::vector<std::pair<Pattern, std::int64_t>>
        patterns;                    ///< with copies; pieces sum up to the counts
    std::vector<std::int64_t> unmet; ///< pieces of each part for which there is no board left
    std::int64_t cost = 0;
    std::int64_t boards = 0;
    std::int64_t cost_bound = 0;  ///< no plan costs less
    std::int64_t board_bound = 0; ///< no plan uses fewer boards
    bool proven = false;          ///< no plan leaves fewer pieces unmet, nor costs less
    std::int64_t steps = 0;
};

/// Finds a cheapest plan; among plans of equal cost one of few boards. `effort` is counted in steps
/// of about a microsecond of an ordinary machine; the same effort gives the same plan everywhere.
/// Pieces that no stock is left for are counted in `unmet`; as few as possible.
/// @throws Cancelled when `stop` says so.
[[nodiscard]] Cover cover(const std::vector<CoverPart>& parts,
                          const std::vector<CoverStock>& stocks, const PatternSource& source,
                          std::int64_t effort, const Stop& stop = {});

} // namespace aumbry::solid_stock
