// The columns that price lists of every class share, by number and name.
#pragma once

#include <array>
#include <string_view>

namespace aumbry::columns {

enum Common {
    sku,
    catalog_class,
    description,
    price,
    price_unit,
    pack,
    min_quantity,
    stock,
    lead_days,
    valid_from,
    valid_to,
    gtin,
    common_count
};

inline constexpr std::array<std::string_view, common_count> common_names = {
    "sku",          "class", "description", "price",      "price_unit", "pack",
    "min_quantity", "stock", "lead_days",   "valid_from", "valid_to",   "gtin"};

} // namespace aumbry::columns
