// What a project says of its price: tax, contingency, markup or margin, deposit.
#pragma once

#include "aumbry/money.hpp"

#include <optional>

namespace aumbry {

/// The project's pricing settings.
struct PricingTerms {
    Currency currency;
    Decimal contingency_percent;           ///< of costs
    std::optional<Decimal> markup_percent; ///< of costs and contingency
    std::optional<Decimal>
        margin_percent; ///< of the price without tax, below 100; not together with markup
    bool tax_paid_recoverable = true;       ///< false: tax on purchases is a cost
    Decimal tax_charged_percent;            ///< on what is sold, unless a part has its own
    std::optional<Decimal> deposit_percent; ///< of the total, due on order
    std::optional<Money> deposit;           ///< as an amount, instead
};

} // namespace aumbry
