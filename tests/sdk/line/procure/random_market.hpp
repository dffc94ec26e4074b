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
    /// Suppliers excluded or preferred, those that must be collected from, several loads, least
    /// orders and cuts in other currencies and with tax, few orders.
    bool further_rules = false;
};

/// The same seed gives the same market on every machine.
[[nodiscard]] ProcureProblem random_market(std::uint64_t seed, const MarketSize& size);

} // namespace aumbry::test
