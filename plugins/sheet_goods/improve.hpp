// Improvement towards a goal: a cheaper packing of all parts.
#pragma once

#include "packing.hpp"

#include <cstdint>
#include <random>

namespace aumbry::sheet_goods {

class Chance {
  public:
    explicit Chance(std::uint64_t seed) : numbers_(seed) {}
    /// From 0 to 2^32 - 1.
    std::uint32_t number() { return static_cast<std::uint32_t>(numbers_() >> 32); }
    /// From 0 to count - 1.
    std::size_t below(std::size_t count) {
        return static_cast<std::size_t>((static_cast<std::uint64_t>(number()) * count) >> 32);
    }
    /// From 0 to below 1.
    double share() { return number() * (1.0 / 4294967296.0); }

  private:
    std::mt19937_64 numbers_;
};

/// Takes parts out and puts them back better, keeping the price at or below `most_price`, until every part is
/// placed or `steps` reaches `last_step`. Returns the packing with the least area left over.
[[nodiscard]] Packing improve(const Problem& problem, Packing start, std::int64_t most_price, std::uint64_t seed,
                              std::int64_t& steps, std::int64_t last_step);

} // namespace aumbry::sheet_goods
