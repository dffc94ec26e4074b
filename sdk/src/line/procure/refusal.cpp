#include "line/procure/refusal.hpp"

#include <algorithm>

namespace aumbry::procurement {

std::string too_many(const std::string& offer, std::int64_t count) {
    return std::to_string(count) + " of '" + offer + "' are more than can be bought at once (" +
           std::to_string(max_count) + ")";
}

Refusal refuse_offer(const OfferTerms& terms, const std::optional<Date>& priced_on) {
    const std::string id = "'" + terms.id + "'";
    if (priced_on && terms.valid_to && *terms.valid_to < *priced_on)
        return {"the price of " + id + " has expired", "price-expired",
                "The price of " + id + " held until " + format_date(*terms.valid_to) +
                    " and the project is priced on " + format_date(*priced_on) +
                    "; it is left out. Ask for a new price."};
    if (priced_on && terms.valid_from && *terms.valid_from > *priced_on)
        return {"the price of " + id + " holds only from " + format_date(*terms.valid_from), "",
                ""};
    const std::int64_t in_stock = terms.limit.value_or(no_limit);
    if (in_stock > 0 && in_stock < terms.min_quantity)
        return {id + " is sold from a count above its stock", "minimum-above-stock",
                id + " has a minimum quantity of " + std::to_string(terms.min_quantity) +
                    " but only " + std::to_string(in_stock) +
                    " in stock, so it is left out. Correct the row or ask the supplier."};
    if (terms.min_quantity > max_count)
        return {too_many(terms.id, terms.min_quantity), "minimum-too-large",
                id + " has a minimum quantity of " + std::to_string(terms.min_quantity) +
                    ", more than any job needs; it is left out. Correct the row."};
    const bool negative = terms.price.is_negative() ||
                          std::any_of(terms.breaks.begin(), terms.breaks.end(),
                                      [](const auto& b) { return b.price.is_negative(); });
    if (negative)
        return {id + " has a price below zero", "negative-price",
                id + " has a price below zero; it is left out. Correct the row."};
    return {};
}

} // namespace aumbry::procurement
