// What one purchase count of an offer holds of what is needed.
#pragma once

#include "aumbry/contract.hpp"

#include <optional>
#include <string>

namespace aumbry::sundries {

/// Content and measure of an offer for a need in `unit`; none when the offer does not say how much
/// it holds.
///
/// By count: content is the pack. By measure: content is the offer's own attribute of that kind (a
/// roll of 25 m, a hire of 2 days) times the pack; an offer priced by the measure itself and silent
/// on the piece is sold by whole units of its price.
[[nodiscard]] std::optional<contract::AmountOffer> content_of(const contract::Offer& offer,
                                                              const std::string& unit);

} // namespace aumbry::sundries
