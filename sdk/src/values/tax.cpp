#include "aumbry/tax.hpp"

#include <map>

namespace aumbry {

std::vector<TaxAtRate> tax_by_rate(const std::vector<TaxedAmount>& amounts) {
    std::map<Decimal, Money> by_rate;
    for (const TaxedAmount& amount : amounts) by_rate[amount.percent] += amount.amount;
    std::vector<TaxAtRate> result;
    for (const auto& [percent, taxable] : by_rate)
        result.push_back({percent, taxable, taxable.percent(percent)});
    return result;
}

} // namespace aumbry
