// Markets made up at random, with every rule of procurement in play.
#pragma once

#include "aumbry/procure.hpp"

#include <random>

namespace aumbry::test {

struct MarketSize {
    int suppliers = 4;
    int demands = 6;
    int ways = 4;        ///< suppliers that can meet a demand
    bool limits = true;  ///< some stock is short
    bool amounts = true; ///< some demands are amounts
};

/// The same seed gives the same market on every machine.
[[nodiscard]] ProcureProblem random_market(std::uint64_t seed, const MarketSize& size);

} // namespace aumbry::test
