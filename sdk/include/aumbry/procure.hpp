// Procure: the stage that chooses how every demand is met, over all demands at once.
//
// One order a supplier. Its cost is goods and services at the price of the count bought, dealer
// cuts, delivery, and what makes it up to the minimum order (the difference is counted as a charge:
// common practice). Tax is rounded per rate and order (EN 16931, BR-CO-17); it belongs to the cost
// when it cannot be recovered.
//
// Which purchases are considered:
// * a plan demand: its ways as offered;
// * an amount: every minimal combination of one supplier's packs (plus owned stock) that covers the
//   amount; packs of several suppliers are combined only where stock leaves no other choice;
// * a count is raised above need to the supplier's minimum quantity, or to a quantity break that
//   makes its price lower.
// Among these the result costs least, and `proven` says whether the search could show that.
//
// Money is whole minor units, with one exception: `lower_bound` and `proven` come out of a bound
// reckoned in doubles. It keeps a slack of one minor unit for their rounding, so both hold while a
// job costs less than 1e15 minor units (ten million million euros).
#pragma once

#include "aumbry/contract.hpp"
#include "aumbry/options.hpp"
#include "aumbry/purchase.hpp"
#include "aumbry/supply.hpp"

#include <functional>
#include <map>

namespace aumbry {

/// A demand of a module; `demand.id` is "module/demand" here.
using DemandTerms = contract::Demand;

/// When each demand is in hand, by demand id.
using Arrivals = std::map<std::string, Date>;

struct ProcureProblem {
    Currency currency;
    Date order_date{};             ///< when orders go out
    std::optional<Date> priced_on; ///< prices not valid on this day are left out with a finding
    std::vector<SupplierTerms> suppliers;
    std::vector<OfferTerms> offers;
    std::vector<DemandTerms> demands;
    Objective objective = Objective::cheapest;
    std::optional<Date> finish_by;    ///< needs `finish`
    std::optional<int> max_suppliers; ///< orders at most
    bool tax_is_cost = false;         ///< tax paid cannot be recovered
    std::optional<double> load;       ///< kg that one trip fetches: collecting more takes several
    std::optional<Money> trip;        ///< what the maker's time for one trip costs
    std::string effort = "normal";    ///< draft, normal, thorough: how long is searched
    /// The day the job is done. Must be monotone in each arrival and equal to the maximum over
    /// single arrivals: true of every schedule with a fixed order of work. Demands not named count
    /// as in hand.
    std::function<Date(const Arrivals&)> finish;
    /// True when the result is no longer wanted; asked many times in every second of the search.
    /// May be empty.
    std::function<bool()> cancelled;
};

/// A row of an order and the lines that it is for.
struct Purchase : PurchaseRow {
    std::vector<contract::Share> lines; ///< what it serves; weights add up to `needed`
};

/// How a demand is met.
struct Choice {
    std::string demand;
    std::string way; ///< id of the way; empty for an amount
    std::vector<contract::Use> uses;
    std::vector<std::string> suppliers;
    Date arrives{};
    /// The next best purchase, everything else bought as it is.
    struct NextBest {
        std::string way;
        std::vector<contract::Use> uses;
        std::vector<std::string> suppliers;
        Date arrives{};
        Money cost; ///< of the whole job then
    };
    std::optional<NextBest> next_best;
};

struct Unmet {
    std::string demand;
    std::string reason; ///< a clause: why nobody can fill it
};

struct Procurement {
    std::vector<Purchase> purchases;   ///< by supplier, sku, measure; owned first
    std::vector<SupplierOrder> orders; ///< by supplier
    std::vector<Choice> choices;       ///< in the order of the demands, less those unmet
    std::vector<Unmet> unmet;
    Money owned_value; ///< stated value of owned stock used
    Money cost;        ///< orders without tax, owned value and the time of trips; with tax when it
                       ///< is a cost
    Money lower_bound; ///< no choice among the ways and offers of the problem costs less
    bool proven = false; ///< that it costs least of those
    /// No way of cutting and buying costs less, found or not: line/procure/settle.hpp fills it in.
    std::optional<Money> bound;
    std::string not_bounded;         ///< why there is none: a clause
    std::int64_t steps = 0;          ///< choices of the search
    std::optional<Date> finish;      ///< when `finish` is given
    std::optional<Date> prices_hold; ///< last day on which all prices used are valid
    std::vector<contract::Finding> findings;
};

/// Chooses. Never throws for what a supplier states: what cannot be used is left out with a
/// finding; a demand that nobody can fill is unmet and the rest is bought. When nothing meets
/// `finish_by` the earliest finish is chosen, when `max_suppliers` orders cannot meet every demand
/// the fewest that can, each with a finding of severity problem.
/// @throws FaultError "no-finish" when an objective or `finish_by` asks for dates and `finish` is
/// empty; CallCancelled when `cancelled` says so.
[[nodiscard]] Procurement procure(const ProcureProblem& problem);

/// The whole curve of least cost under each finish date: from the cheapest at all to the earliest
/// finish, each step costs more and is done sooner than the one before. Needs `finish`.
[[nodiscard]] std::vector<Procurement> cost_by_finish(const ProcureProblem& problem);

/// Least cost with at most 1, 2, 3 ... orders, by rising count of orders; counts that cannot meet
/// every demand that can be met or that save nothing against fewer are left out.
[[nodiscard]] std::vector<Procurement> cost_by_supplier_count(const ProcureProblem& problem);

} // namespace aumbry
