// Drawn numbers that are the same on every machine.
#pragma once

#include <cstddef>
#include <cstdint>
#include <random>

namespace aumbry::sheet_goods {

class Random {
  public:
    explicit Random(std::uint64_t seed) : numbers_(seed) {}
    /// From 0 to 2^32 - 1.
    std::uint32_t number() { return static_cast<std::uint32_t>(numbers_() >> 32); }
    /// From 0 to count - 1.
    std::size_t below(std::size_t count) {
        return static_cast<std::size_t>(
            (std::uint64_t{number()} * static_cast<std::uint64_t>(count)) >> 32);
    }
    /// From 0 to below 1.
    double share() { return number() * (1.0 / 4294967296.0); }

  private:
    std::mt19937_64 numbers_;
};

} // namespace aumbry::sheet_goods
