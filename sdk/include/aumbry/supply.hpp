// Supply: what can be bought and on which terms, as the procure stage reads it.
#pragma once

#include "aumbry/date.hpp"
#include "aumbry/fault.hpp"
#include "aumbry/money.hpp"
#include "aumbry/supplier.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace aumbry {

/// Something that can be bought, or is owned already, with its price.
///
/// What one count costs: `price` when `price_unit` is "pack"; `price` times `pack` when it is
/// "each"; else `price` times the measure that the module states in that unit, which is rounded to
/// six decimals first.
struct OfferTerms {
    std::string id;       ///< "supplier/sku", or "owned/id"
    std::string supplier; ///< empty when owned
    std::string sku;
    std::string description;
    /// A price from a count on, for the whole count: quantity breaks hold for all of what is bought
    /// of a sku.
    struct Break {
        std::int64_t from = 1;
        Decimal price;
    };
    Decimal price; ///< in the supplier's currency; owned: the stated value in the project's
    std::vector<Break> breaks; ///< further prices, by rising `from`
    std::string price_unit =
        "pack";      ///< "each", "pack", "m", "m2", "m3", "bdft", "ft", "L", "kg", "h", ...
    Decimal pack{1}; ///< items in one count
    std::int64_t min_quantity = 1;     ///< least count that the supplier sells
    std::optional<std::int64_t> limit; ///< stock, over all demands
    int lead_days = 0; ///< the supplier's working days until it can leave, beyond his dispatch time
    bool owned = false;
    std::optional<Date> arrives; ///< owned, but in hand only then
    bool service = false;        ///< nothing that is delivered: hire, visit, disposal
    bool returnable = true;
    double mass_kg = 0;                 ///< of one count; 0 when unknown
    double longest_mm = 0;              ///< longest side as delivered; 0 when unknown
    std::optional<Decimal> tax_percent; ///< instead of the supplier's
    std::optional<Date> valid_from;     ///< first day of the price
    std::optional<Date> valid_to;       ///< last day of the price
    Place row;                          ///< where the price was read
};

/// A supplier as the project sees it. An order's delivery charge is the flat one or that of its
/// band of mass; what is heavier than the last band goes as several loads. Collecting costs no tax.
struct SupplierTerms {
    Supplier supplier;
    std::optional<Decimal>
        rate; ///< project currency for one of the supplier's; not needed when they are the same
    bool excluded = false;  ///< nothing is bought here
    bool preferred = false; ///< what can be bought here whole is not bought elsewhere
    std::optional<contract::Carriage> carriage; ///< the only way in which its goods may come
    std::optional<Date> goes_out;               ///< its order, when later than the problem's
    /// Id of the supplier whose second and later order this stands for, and of the step of work
    /// after which it goes out; empty: none.
    std::string second_of, after;
};

/// When an offer that is ordered on a day is in hand: after the supplier's dispatch time and the
/// offer's lead time.
/// @throws FaultError "no-working-day".
[[nodiscard]] Date arrival_date(const Supplier& supplier, const OfferTerms& offer, Date ordered);
/// The last day on which to order so that it is in hand on `needed`.
[[nodiscard]] Date order_by_date(const Supplier& supplier, const OfferTerms& offer, Date needed);

} // namespace aumbry
