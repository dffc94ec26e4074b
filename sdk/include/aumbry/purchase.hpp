// What is bought, and what each supplier charges for it. Money is in the project's currency and
// without tax unless its name says otherwise. Every later form of a purchase or an order, in the
// estimate and on paper, carries these as they are.
#pragma once

#include "aumbry/date.hpp"
#include "aumbry/tax.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace aumbry {

/// Something that is bought at one price: a row of an order.
struct PurchaseRow {
    std::string supplier; ///< id; empty when owned
    std::string offer;
    std::string sku;
    std::string description;
    std::int64_t count = 0;
    std::int64_t needed = 0; ///< below `count` when raised to a minimum or a quantity break
    double measure = 0;      ///< of one count in `price_unit`; 0 for "each" and "pack"
    std::string price_unit;  ///< "m", "L", "pack" ...
    Decimal listed_price;    ///< as the supplier states it for `price_unit` at this count
    std::string listed_currency;
    Decimal unit_price; ///< of one count
    Money amount;
    Decimal tax_percent;
    std::vector<std::string> demands; ///< that it serves
    Date arrives{};
    bool service = false;
    bool owned = false;
    bool returnable = true;
    std::vector<std::string> wanted; ///< which of it is asked for, where the list leaves that open
    std::string price_row;           ///< file of the price
    std::optional<Date> valid_to;
};

/// One supplier's order is one invoice; `total` is all charges and tax.
struct SupplierOrder {
    std::string supplier; ///< id
    /// Id of the supplier when this is his second order of the job, with an id of its own; empty:
    /// the first.
    std::string second_of;
    Money goods;
    Money services;
    Money cuts; ///< the cutting service
    std::int64_t cut_count = 0;
    Money delivery;               ///< or what collecting costs
    Money small_order;            ///< makes the order up to its minimum
    std::vector<TaxAtRate> taxes; ///< by rising rate
    Money tax;
    Money total;
    bool collected = false;
    double mass = 0;        ///< kg, as far as known
    std::int64_t trips = 0; ///< of the vehicle, when it is collected
    Date arrives{};         ///< when its last purchase is in hand
};

} // namespace aumbry
