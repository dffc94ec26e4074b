#include "line/take_off/offer_cost.hpp"

#include "aumbry/rounding.hpp"

#include <algorithm>

namespace aumbry {

std::optional<double> cost_of_price(const Resolved& project, const Supplier& supplier,
                                    const std::string& price) {
    if (price.empty()) return std::nullopt;
    double cost = 0;
    try {
        cost = Decimal::parse(price).to_double();
    } catch (const FaultError&) {
        return std::nullopt;
    }
    if (supplier.currency != project.currency) {
        const auto& rates = project.suppliers.rates;
        const auto rate = std::find_if(rates.begin(), rates.end(), [&](const ExchangeRate& each) {
            return each.currency == supplier.currency.code;
        });
        if (rate == rates.end() || !(rate->rate > Decimal(0))) return std::nullopt;
        cost *= rate->rate.to_double();
    }
    const double with_tax = 1 + supplier.tax_percent.to_double() / 100;
    if (supplier.tax_included) cost /= with_tax;
    if (!project.pricing.terms.tax_paid_recoverable) cost *= with_tax;
    return round_to(cost, 6);
}

} // namespace aumbry
