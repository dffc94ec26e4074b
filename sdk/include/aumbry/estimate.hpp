// Estimate, the last stage: one immutable value that says what to buy, how it is cut, what it
// costs, when it is done and what to mind. Text, JSON, paper and the window are views of it.
#pragma once

#include "aumbry/catalog.hpp"
#include "aumbry/contract.hpp"
#include "aumbry/date.hpp"
#include "aumbry/money.hpp"
#include "aumbry/plugin_host.hpp"
#include "aumbry/procure.hpp"
#include "aumbry/project.hpp"
#include "aumbry/resolved_project.hpp"

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace aumbry {

/// The version of the estimate document.
inline constexpr int estimate_version = 1;

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

struct EstimatePurchase {
    std::string supplier; ///< empty when owned
    std::string supplier_name;
    std::string offer;
    std::string sku;
    std::string catalog_class;
    std::string description;
    std::int64_t count = 0;
    std::int64_t needed = 0;
    double measure = 0; ///< of one count in `price_unit`; 0 for "each" and "pack"
    std::string price_unit;
    Decimal listed_price;
    std::string listed_currency;
    Decimal unit_price; ///< of one count, in the project's currency, without tax
    Money amount;       ///< without tax
    Decimal tax_percent;
    std::vector<LineShare> lines;
    std::vector<std::string> demands;
    std::vector<Bought::Serves> serves; ///< what one of it holds for each demand; no document
    Date arrives{};
    std::optional<Date> order_by; ///< latest day of ordering that does not delay the job
    bool service = false;
    bool owned = false;
    bool returnable = true;
    bool decides_sizes = false; ///< parts follow its measured size: they are cut once it is in hand
    Progress state = Progress::planned; ///< beyond "planned": paid as stated, in no order
    Money tax;                          ///< paid with what is bought already
    std::string price_row;              ///< file and row of the price
    std::optional<Date> valid_to;
};

/// Tax of one rate.
struct EstimateTax {
    Decimal percent;
    Money taxable;
    Money tax;
};

/// What the client is charged: the total, seen from outside.
struct EstimateSale {
    Money net; ///< without the tax that is charged
    std::vector<EstimateTax> taxes;
    Money total;
};

/// What will be left when the job is done and is worth keeping.
struct EstimateLeftover {
    std::string id;
    std::string catalog_class;
    std::string title;
    std::int64_t count = 1;
    Json attributes = Json::object(); ///< of its class, in contract units
    std::string from;                 ///< the offer that it is left of
};

/// One supplier's order, one invoice.
struct EstimateOrder {
    std::string supplier;
    std::string name;
    bool invented = false;
    Money goods;
    Money services;
    Money cuts;
    std::int64_t cut_count = 0;
    Money delivery;
    Money small_order;
    std::vector<EstimateTax> taxes; ///< by rising rate
    Money tax;
    Money total;
    bool collected = false;
    double mass = 0; ///< kg, as far as known
    Date arrives{};
    std::optional<Date> order_by;
};

/// How good a cutting plan is.
struct EstimateBound {
    std::string demand;
    std::string module;
    std::string material; ///< role, or the demand's title
    std::int64_t used = 0;
    std::int64_t lower_bound = 0;
    bool proven = false;
    double yield = 0;
    double waste = 0;
};

struct EstimateTask {
    std::string id;
    std::string title;
    std::vector<std::string> pieces;
    std::string worker;
    double minutes = 0;
    double wait_minutes = 0;
    std::int64_t people = 1;
    Date start{};
    Date finish{}; ///< waiting included
    Date latest_finish{};
    int slack_days = 0;
    bool critical = false;
    std::string waits_for;
    std::vector<std::string> needs; ///< demands whose goods must be in hand
    double worked_minutes = 0;      ///< already, by all together
    bool done = false;              ///< nothing is left of it
    Money cost;
};

struct EstimateHours {
    std::string worker;
    std::string title;
    double hours = 0;
    double charged = 0;
    Decimal rate;
    Money amount;
};

struct EstimateSchedule {
    std::vector<EstimateTask> tasks;
    std::vector<std::string> critical_path;
    std::vector<EstimateHours> hours;
    Date ready{};
};

struct EstimateFinding {
    contract::Severity severity = contract::Severity::note;
    std::string code;
    std::string module; ///< empty: the core
    std::string line;
    std::string text;
};

struct EstimateModule {
    std::string id;
    std::string title;
    std::string version;
    std::string contract;
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

struct Estimate {
    std::string title;
    std::string alternative; ///< empty: the base
    Currency currency;
    std::string length_unit;
    std::string effort;
    Date priced_on{};
    Date start{};
    std::map<std::string, std::string> inputs; ///< hashes: "project", "catalogs"
    std::vector<EstimateModule> modules;
    Totals totals;
    std::vector<Part> by_piece;
    std::vector<Part> by_module;
    std::vector<EstimateLine> lines;
    std::vector<EstimateQuantity> quantities;
    std::vector<EstimatePurchase> purchases;
    std::vector<EstimateOrder> orders;
    Json cutting_plans = Json::array();
    Json board_plans = Json::array();
    Json further_plans =
        Json::array(); ///< of other types, as their modules give them: the swing of a lift
    std::vector<EstimateBound> bounds;
    EstimateSchedule schedule;
    bool labour_stated = false;   ///< a rate of work is stated, so that labour is in the total
    bool purchase_proven = false; ///< no cheaper choice exists among the ways offered
    Money purchase_bound;
    std::vector<EstimateNextBest> next_best;
    std::optional<Date> prices_hold;             ///< last day on which every price used is valid
    std::vector<std::string> prices_hold_offers; ///< the offers whose prices end on that day
    std::vector<EstimateCash> cash;              ///< by date, what is paid already among it
    std::vector<EstimateSpare> spare_sheets;     ///< when asked for
    std::vector<EstimateLeftover> leftovers;
    std::map<std::string, Json>
        plans_to_keep; ///< by demand: what `as_bought` would hold of it; no document
    std::map<std::string, Date>
        latest_arrivals; ///< by demand: the last day on which nothing waits for it; no document
    double mass = 0;     ///< kg of everything that has one
    Money deposit;
    Money balance;
    EstimateSale sale;
    ProjectPricing pricing;                ///< as the project states it; not part of the document
    Papers papers;                         ///< likewise
    std::vector<std::string> not_included; ///< sentences
    std::vector<EstimateFinding> findings; ///< problems first
    std::map<std::string, contract::Working> workings;
};

struct EstimateOptions {
    std::string effort = "normal"; ///< draft, normal, thorough
    Objective objective = Objective::cheapest;
    std::optional<Date> finish_by;
    std::optional<int> most_suppliers;
    bool spare_sheets = false; ///< say what one spare sheet of each material would cost
};

/// Runs the whole line: resolve, take off, procure, follow, schedule, estimate.
/// @throws FaultError with every fault of the project; "no-modules" when there is no module at all.
[[nodiscard]] Estimate estimate(const Project& project, PluginHost& host, const Catalog& catalog,
                                const EstimateOptions& options = {});

/// The estimate document.
[[nodiscard]] Json to_json(const Estimate& estimate);

/// JSON Schema (draft-07) of the estimate document.
[[nodiscard]] Json estimate_schema();

} // namespace aumbry
