// Parts of an order: positions from purchases, sheets from plans, charges.
#pragma once

#include "aumbry/order.hpp"

#include <functional>
#include <string>
#include <utility>
#include <vector>

namespace aumbry {

/// The sheets that a supplier cuts, from cutting plans; `name` says what an offer is.
[[nodiscard]] std::vector<SupplierSheet>
sheets_cut_by(const std::string& supplier, const std::vector<Json>& plans,
              const std::function<std::string(const std::string&)>& name);

/// Adds the position of a purchase to an order, whichever stage tells of it. `listed_currency` is
/// that of the supplier's list, `lines` says what it is for.
template <class Bought>
void add_position(Order& order, const Bought& purchase, const std::string& listed_currency,
                  std::vector<std::string> lines) {
    OrderPosition position;
    position.number = static_cast<int>(order.positions.size()) + 1;
    position.sku = purchase.sku;
    position.description = purchase.description;
    position.count = purchase.count;
    position.measure = purchase.measure;
    position.unit = purchase.price_unit;
    position.unit_price = purchase.unit_price;
    position.amount = purchase.amount;
    position.tax_percent = purchase.tax_percent;
    position.listed_price = purchase.listed_price;
    position.listed_currency = listed_currency;
    position.service = purchase.service;
    position.returnable = purchase.returnable;
    position.lines = std::move(lines);
    order.net += purchase.amount;
    order.positions.push_back(std::move(position));
}

/// Files what an order carries beside its positions; `sheets` and `net` are there already.
void add_charges(Order& order, const Money& cuts, std::int64_t cuts_charged, const Money& delivery,
                 const Money& small_order, bool collected);

} // namespace aumbry
