// Giving up long work between two of its steps.
#pragma once

#include <cstdint>
#include <functional>
#include <utility>

namespace aumbry {

/// Thrown out of work that its caller no longer wants.
struct Cancelled {};

/// Handed by value to a search. The search counts its steps here, and every so many of them the
/// caller is asked whether the result is still wanted. It never changes what a search finds.
///
///     for (...) { stop.step(); ... }
///
/// Not for several threads at once: each needs a copy, and a function that all may call.
class Stop {
  public:
    Stop() = default;
    /// Asks `cancelled` once every `every` steps.
    explicit Stop(std::function<bool()> cancelled, std::int64_t every = 1)
        : cancelled_(std::move(cancelled)), every_(every) {}

    /// Counts so many steps. @throws Cancelled when the caller says so.
    void step(std::int64_t steps = 1) const {
        if (!cancelled_ || (done_ += steps) < every_) return;
        done_ = 0;
        if (cancelled_()) throw Cancelled{};
    }

    /// The same question, asked every so many steps: for loops whose steps are shorter.
    [[nodiscard]] Stop every(std::int64_t steps) const { return Stop(cancelled_, steps); }

  private:
    std::function<bool()> cancelled_;
    std::int64_t every_ = 1;
    mutable std::int64_t done_ = 0;
};

} // namespace aumbry
