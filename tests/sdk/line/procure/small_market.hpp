// Short spellings for procurement problems in tests. Prices in euros, two decimals.
#pragma once

#include "aumbry/procure.hpp"

namespace aumbry::test {

inline Money euros(const std::string& amount) {
    return Money::parse(amount, currency("EUR"));
}

/// Delivers for nothing, no least order, works Monday to Friday.
inline SupplierTerms supplier(const std::string& id, const std::string& delivery = "0") {
    SupplierTerms terms;
    terms.supplier.id = id;
    terms.supplier.name = id;
    terms.supplier.currency = currency("EUR");
    terms.supplier.delivery.flat = euros(delivery);
    return terms;
}

inline OfferTerms offer(const std::string& supplier, const std::string& sku,
                        const std::string& price) {
    OfferTerms terms;
    terms.id = supplier + "/" + sku;
    terms.supplier = supplier;
    terms.sku = sku;
    terms.description = sku;
    terms.price = Decimal::parse(price);
    return terms;
}

inline OfferTerms owned_offer(const std::string& id, const std::string& value, std::int64_t limit) {
    OfferTerms terms;
    terms.id = "owned/" + id;
    terms.sku = id;
    terms.description = id;
    terms.price = Decimal::parse(value);
    terms.owned = true;
    terms.limit = limit;
    return terms;
}

inline DemandTerms amount(const std::string& id, double quantity, const std::string& unit,
                          std::vector<contract::AmountOffer> offers) {
    DemandTerms demand;
    demand.id = id;
    demand.title = id;
    demand.shares = {{id + "_line", 1}};
    demand.amount = contract::Amount{quantity, unit, std::move(offers)};
    return demand;
}

inline contract::Way way(const std::string& id, std::vector<contract::Use> uses) {
    contract::Way way;
    way.id = id;
    way.title = id;
    way.uses = std::move(uses);
    return way;
}

inline DemandTerms plan(const std::string& id, std::vector<contract::Way> ways) {
    DemandTerms demand;
    demand.id = id;
    demand.title = id;
    demand.shares = {{id + "_line", 1}};
    demand.ways = std::move(ways);
    return demand;
}

/// Ordered on Monday, 1 March 2027.
inline ProcureProblem problem() {
    ProcureProblem problem;
    problem.currency = currency("EUR");
    problem.order_date = make_date(2027, 3, 1);
    problem.priced_on = make_date(2027, 2, 1);
    return problem;
}

} // namespace aumbry::test
