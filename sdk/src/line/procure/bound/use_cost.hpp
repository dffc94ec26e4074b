// The least that a use of an offer can cost and the most that it can add to the goods as listed,
// whatever else is bought of it.
#pragma once

#include "line/procure/bound/relaxed_model.hpp"

#include <map>

namespace aumbry::procurement {

/// What is bought of one offer: index of the quantity, count.
using CountsOfOffer = std::vector<std::pair<std::size_t, std::int64_t>>;

class UseCost {
  public:
    UseCost(const Model& model, const Pricer& pricer);

    /// Without tax, in minor units of the project.
    [[nodiscard]] double min(std::size_t offer, const CountsOfOffer& counts);
    /// In the supplier's minor units.
    [[nodiscard]] double max_listed(std::size_t offer, const CountsOfOffer& counts) const;

  private:
    [[nodiscard]] double min_each(std::size_t offer, std::int64_t count);

    const Model& model_;
    const Pricer& pricer_;
    std::vector<std::int64_t> totals_; // by offer: of all demands at most
    std::vector<bool> shared_;         // by offer: several demands can buy it
    std::vector<std::vector<double>> min_each_;
};

} // namespace aumbry::procurement
