// The parts of an estimate that are money: what the job costs, what is bought, what is charged.
#pragma once

#include "aumbry/json.hpp"
#include "aumbry/purchase.hpp"
#include "aumbry/resolved_project.hpp"

#include <optional>
#include <string>
#include <vector>

namespace aumbry {

/// What the job costs, by category. The parts add up to the total.
struct Totals {
    Money goods;
    Money services; ///< hire, visits, cutting by the dealer
    Money delivery; ///< and what makes an order up to its minimum
    Money labour;
    Money contingency;
    Money markup;
    Money tax; ///< charged to the client, and what the maker pays when that cannot be claimed back
    Money total;
};

/// Totals of a piece or of a module.
struct Part {
    std::string id; ///< empty: the whole job
    std::string title;
    Totals totals;
};

/// A line as it stands in the estimate.
struct EstimateLine {
    std::string id;
    std::string kind;
    std::string piece;
    std::string title;
    std::string module;
    std::string material;
    std::int64_t count = 1;
    Json fields;                        ///< evaluated, in contract units
    Json derived;                       ///< of one, in contract units
    double mass = 0;                    ///< kg of all; 0: the kind has none
    Money cost;                         ///< goods, services and delivery that serve it, without tax
    Progress state = Progress::planned; ///< how far the slowest of its goods is
    std::string not_priced;             ///< why it is not in the total; empty when it is
};

struct EstimateQuantity {
    std::string module;
    std::string ref;
    std::string title;
    double value = 0;
    std::string unit;
    std::vector<std::string> lines;
};

/// What a line causes of a purchase.
struct LineShare {
    std::string line;
    Money amount;
};

/// A purchase as the estimate tells of it. What is bought already stands among them, paid as
/// stated and in no order.
struct EstimatePurchase : PurchaseRow {
    std::string supplier_name;
    std::string catalog_class;
    std::vector<LineShare> lines;
    std::vector<Bought::Serves> serves; ///< what one of it holds for each demand; no document
    std::optional<Date> order_by;       ///< latest day of ordering that does not delay the job
    bool decides_sizes = false; ///< parts follow its measured size: they are cut once it is in hand
    Progress state = Progress::planned;
    Money tax; ///< paid with what is bought already
};

/// An order as the estimate tells of it.
struct EstimateOrder : SupplierOrder {
    std::string name; ///< of the supplier
    bool invented = false;
    std::optional<Date> order_by; ///< the earliest of its purchases
    /// Id of the task after which it goes out, since that tells what is right to buy; empty: it
    /// goes out with the rest.
    std::string after;
    Date goes_out{}; ///< the first day on which it can go out
};

/// What the client is charged: the total, seen from outside.
struct EstimateSale {
    Money net; ///< without the tax that is charged
    std::vector<TaxAtRate> taxes;
    Money total;
};

/// The next best purchase of a demand, everything else bought as it is.
struct EstimateNextBest {
    std::string demand;
    std::vector<std::string> suppliers;
    std::string what;
    Money more; ///< what the whole job would cost more
    Date arrives{};
};

/// Money that must be there on a day; below zero: that comes in.
struct EstimateCash {
    Date date{};
    std::string what;
    Money amount;
    Money so_far; ///< needed in all up to then
};

/// A week of the job: what is paid, and what the maker works himself.
struct EstimateWeek {
    Date from{}; ///< its Monday
    Money out;
    Money in;
    double hours = 0; ///< of the maker, by the day on which each step begins or goes on
};

/// What one spare sheet of a material would cost, everything else bought as it is.
struct EstimateSpare {
    std::string material; ///< role
    std::string title;
    std::string offer;
    std::string supplier;
    std::string supplier_name;
    std::string description;
    Money more; ///< delivered; below zero when it makes something else cheaper
};

} // namespace aumbry
