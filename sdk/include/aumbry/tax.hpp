// Tax by rate, as one invoice carries it.
#pragma once

#include "aumbry/money.hpp"

#include <vector>

namespace aumbry {

/// Tax of one rate.
struct TaxAtRate {
    Decimal percent;
    Money taxable;
    Money tax;
};

/// One amount of an invoice with its rate of tax.
struct TaxedAmount {
    Money amount;
    Decimal percent;
};

/// Tax by rate: amounts of one rate are added, then taxed and rounded once (EN 16931, BR-CO-17). By
/// rising rate.
[[nodiscard]] std::vector<TaxAtRate> tax_by_rate(const std::vector<TaxedAmount>& amounts);

} // namespace aumbry
