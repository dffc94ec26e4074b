// Offers that cannot be used, whoever asks for them.
#pragma once

#include "line/procure/model.hpp"

#include <string>

namespace aumbry::procurement {

/// More of one offer than any job needs. Sums of counts stay far below 64 bits with it.
inline constexpr std::int64_t max_count = 1'000'000'000;

[[nodiscard]] std::string too_many(const std::string& offer, std::int64_t count);

/// Why an offer cannot be used; every text is empty when it can.
struct Refusal {
    std::string reason; ///< a clause
    std::string code;   ///< of the finding; empty when none is due
    std::string text;
};

[[nodiscard]] Refusal refuse_offer(const OfferTerms& terms, const std::optional<Date>& priced_on);

} // namespace aumbry::procurement
