// Parts of an order: positions from purchases, sheets from plans, charges.
#pragma once

#include "aumbry/order.hpp"

#include <functional>
#include <string>
#include <vector>

namespace aumbry {

/// A sheet that is still to be ordered, and what it is called on the papers.
struct SheetToCut {
    std::string id;
    contract::SheetPlan plan;
};

/// The sheets that a supplier cuts, from cutting plans; `name` says what an offer is.
[[nodiscard]] std::vector<SupplierSheet>
sheets_cut_by(const std::string& supplier, const std::vector<SheetToCut>& sheets,
              const std::function<std::string(const std::string&)>& name);

/// Adds a purchase to an order; `lines` says what it is for.
void add_position(Order& order, const PurchaseRow& purchase, std::vector<std::string> lines);

/// Files what an order carries beside its positions; `sheets` and `net` are there already.
void add_charges(Order& order, const Money& cuts, std::int64_t cuts_charged, const Money& delivery,
                 const Money& small_order, bool collected);

} // namespace aumbry
