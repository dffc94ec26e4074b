// A supplier's terms: what its folder's supplier.json says.
#pragma once

#include "aumbry/contract.hpp"
#include "aumbry/date.hpp"
#include "aumbry/money.hpp"

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace aumbry {

/// What one delivery costs up to a mass.
struct MassBand {
    std::optional<double> up_to; ///< kg; absent in the last band: any mass
    Money cost;

    bool operator==(const MassBand&) const = default;
};

/// What a delivery with something long in it costs more.
struct OversizeCharge {
    double longer_than = 0; ///< mm
    Money extra;

    bool operator==(const OversizeCharge&) const = default;
};

/// How goods get from the supplier to the workshop. Neither `flat` nor `by_mass`: it does not
/// deliver.
struct DeliveryConditions {
    std::optional<Money> flat;     ///< one charge a delivery
    std::vector<MassBand> by_mass; ///< in place of `flat`; rising
    std::optional<Money>
        free_from; ///< goods of this amount and more are delivered without these charges
    std::optional<OversizeCharge> oversize; ///< charged even when the delivery is free
    std::optional<Money>
        collect; ///< what collecting costs the maker; absent: goods cannot be collected

    [[nodiscard]] bool delivers() const { return flat.has_value() || !by_mass.empty(); }
    bool operator==(const DeliveryConditions&) const = default;
};

/// One supplier. Its id is the name of its folder.
struct Supplier {
    std::string id;
    std::string name;
    std::string note;
    bool invented = false; ///< made up for a demonstration: nobody can buy there
    Currency currency;
    bool tax_included = false; ///< whether its prices hold the tax
    Decimal tax_percent;
    std::optional<Money> minimum_order; ///< of goods
    DeliveryConditions delivery;
    contract::CuttingService cutting;
    WorkCalendar calendar;
    int dispatch_days = 0;       ///< working days from order to dispatch, beside a row's lead time
    bool decimal_comma = false;  ///< its price lists write 12,50
    std::string length_unit;     ///< "mm" or "in": unit of bare lengths in its price lists; empty:
                                 ///< lengths carry units
    Json extra = Json::object(); ///< the `x-` keys
};

/// The fields of supplier.json, for readers, forms and the published schema.
[[nodiscard]] std::span<const contract::Field> supplier_fields();

/// Reads supplier.json. `file` names it in faults, `id` is the folder's name.
/// @throws FaultError with every fault, each with pointer, line and column.
[[nodiscard]] Supplier read_supplier(std::string_view text, const std::string& file,
                                     const std::string& id);

/// JSON Schema (draft-07) of supplier.json.
[[nodiscard]] Json supplier_schema();

} // namespace aumbry
