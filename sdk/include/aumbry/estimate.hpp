// Estimate, the last stage: one immutable value that says what to buy, how it is cut, what it
// costs, when it is done and what to watch out for. Text, JSON, paper and the window are views of
// it.
#pragma once

#include "aumbry/estimate_costs.hpp"
#include "aumbry/estimate_work.hpp"

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace aumbry {

/// The version of the estimate document.
inline constexpr int estimate_version = 1;

struct Estimate {
    std::string title;
    std::string alternative; ///< empty: the base
    Currency currency;
    std::string length_unit;
    std::string effort;
    Date priced_on{};
    Date start{};
    std::map<std::string, std::string> inputs; ///< hashes: "project", "prices", "tables"
    std::vector<EstimateModule> modules;
    Totals totals;
    std::vector<Part> by_piece;
    std::vector<Part> by_module;
    std::vector<EstimateLine> lines;
    std::vector<EstimateQuantity> quantities;
    std::vector<EstimatePurchase> purchases;
    std::vector<EstimateOrder> orders;
    std::vector<contract::SheetPlan> cutting_plans;
    std::vector<contract::BoardPlan> board_plans;
    std::vector<contract::LiftPlan> lift_plans; ///< the document has them among `further_plans`
    std::vector<Json> further_plans; ///< objects of other types, as their modules give them
    std::vector<EstimateBound> bounds;
    EstimateSchedule schedule;
    bool labour_stated = false;   ///< a rate of work is stated, so that labour is in the total
    bool purchase_proven = false; ///< no way of cutting and buying costs less
    Money purchase_cost;          ///< what is bought and owned, with delivery and the time of trips;
                                  ///< with tax when it is a cost
    Money purchase_bound;         ///< no way of cutting and buying costs less than this
    std::string purchase_not_bounded; ///< why nothing is known of other ways: a clause; the bound
                                      ///< holds among the ways weighed then
    std::vector<EstimateNextBest> next_best;
    std::optional<Date> prices_hold;             ///< last day on which every price used is valid
    std::vector<std::string> prices_hold_offers; ///< the offers whose prices end on that day
    std::vector<EstimateCash> cash;              ///< by date, what is paid already among it
    std::vector<EstimateWeek> weeks;             ///< of the cash, with the maker's hours
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
    /// What is left of the price for an hour of the maker: labour, contingency and markup.
    std::optional<Money> earned_an_hour;
    ProjectPricing pricing;                ///< as the project states it; not part of the document
    Papers papers;                         ///< likewise
    std::vector<std::string> not_included; ///< sentences
    std::vector<std::string> not_counted;  ///< work that is in no step: "drawing and design"
    std::vector<EstimateFinding> findings; ///< problems first
    std::map<std::string, contract::Working> workings;
};

/// The tasks that take time or at which something matters, in the order in which they begin; those
/// that are done first.
[[nodiscard]] std::vector<const EstimateTask*> tasks_by_date(const Estimate& estimate);

/// "08:30": when on its day a task begins.
[[nodiscard]] std::string hour_of(const EstimateTask& task);

/// "critical", "45 min", "3.5 h", "2 days": by how much later a task may begin.
[[nodiscard]] std::string slack_in_words(const EstimateTask& task);

/// The estimate document.
[[nodiscard]] Json to_json(const Estimate& estimate);

/// JSON Schema (draft-07) of the estimate document.
[[nodiscard]] Json estimate_schema();

} // namespace aumbry
