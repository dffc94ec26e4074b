#include "sheet_goods/module/ways.hpp"

#include "sheet_goods/module/sheet_plans.hpp"
#include "sheet_goods/module/text.hpp"

#include "aumbry/rounding.hpp"

#include <algorithm>
#include <map>
#include <set>
#include <tuple>

namespace aumbry::sheet_goods {

namespace {

using StockList = std::vector<const Stock*>;

constexpr std::size_t most_ways = 12;
constexpr std::size_t most_single = 10;
constexpr std::size_t most_mixed_formats = 6;
constexpr std::size_t most_improved = 3;

StockList owned_of(const StockList& stock) {
    StockList owned;
    std::copy_if(stock.begin(), stock.end(), std::back_inserter(owned),
                 [](const Stock* sheet) { return sheet->owned(); });
    return owned;
}

/// The choices of sheets worth a look.
std::vector<StockList> choices_of(const StockList& stock, const Terms& terms) {
    const StockList owned = owned_of(stock);
    std::vector<StockList> choices;
    if (!owned.empty()) choices.push_back(owned);
    StockList mixed = owned;
    std::set<std::string> formats;
    std::size_t singles = 0;
    for (const Stock* sheet : stock) {
        if (sheet->owned()) continue;
        if (singles++ < most_single) {
            choices.push_back(owned);
            choices.back().push_back(sheet);
        }
        // Of sheets alike the first is the cheapest; a limited one leaves room for the next.
        if (formats.size() < most_mixed_formats &&
            (sheet->limit || formats.insert(cutting_key(*sheet, terms)).second))
            mixed.push_back(sheet);
    }
    if (mixed.size() > owned.size() + 1) choices.push_back(mixed);
    return choices;
}

/// A plan with what it costs by list.
struct Candidate {
    CuttingPlan plan;
    std::string key; ///< candidates of one key are cut alike
    std::int64_t cost = 0;
};

void sort_by_cost(std::vector<Candidate>& candidates) {
    std::stable_sort(candidates.begin(), candidates.end(),
                     [](const Candidate& a, const Candidate& b) {
                         return std::tuple(a.cost, a.plan.plan.sheet_count) <
                                std::tuple(b.cost, b.plan.plan.sheet_count);
                     });
}

class Planner {
  public:
    Planner(const std::vector<Panel>& panels, const Terms& terms)
        : panels_(panels), terms_(terms) {}

    std::vector<Candidate> plan(const StockList& stock) {
        std::vector<Candidate> candidates;
        for (const StockList& choice : choices_of(stock, terms_)) {
            std::string key;
            for (const Stock* sheet : choice)
                key += cutting_key(*sheet, terms_) +
                       (sheet->owned() ? ' ' + sheet->offer->id : "") + ';';
            const auto alike = choice.back()->owned() || bought(choice) > 1
                                   ? candidates.end()
                                   : std::find_if(candidates.begin(), candidates.end(),
                                                  [&](const Candidate& c) { return c.key == key; });
            if (alike != candidates.end()) {
                candidates.push_back({on_stock(alike->plan, choice, terms_), key, 0});
            } else if (auto made = plan_cutting(panels_, choice, terms_, divider_, Effort::draft)) {
                candidates.push_back({std::move(*made), key, 0});
            }
        }
        for (Candidate& candidate : candidates) candidate.cost = candidate.plan.listed_cost();
        sort_by_cost(candidates);
        improve(candidates);
        return candidates;
    }

  private:
    static std::int64_t bought(const StockList& choice) {
        return std::count_if(choice.begin(), choice.end(),
                             [](const Stock* sheet) { return !sheet->owned(); });
    }

    void improve(std::vector<Candidate>& candidates) {
        const Effort effort = effort_named(terms_.shop.effort);
        if (effort == Effort::draft) return;
        std::set<std::string> done;
        for (const Candidate& start : std::vector<Candidate>(candidates)) {
            if (done.size() == most_improved) break;
            if (!done.insert(start.key).second) continue;
            const auto better =
                plan_cutting(panels_, start.plan.stock, terms_, divider_, effort, &start.plan);
            if (!better) continue;
            for (Candidate& candidate : candidates) {
                if (candidate.key != start.key) continue;
                // Fewer sheets at no more cost; the dealer's cuts count too.
                CuttingPlan plan = on_stock(*better, candidate.plan.stock, terms_);
                if (plan.listed_cost() <= candidate.plan.listed_cost())
                    candidate.plan = std::move(plan);
            }
        }
        for (Candidate& candidate : candidates) candidate.cost = candidate.plan.listed_cost();
        sort_by_cost(candidates);
    }

    const std::vector<Panel>& panels_;
    const Terms& terms_;
    Divider divider_;
};

/// "2500 x 1250 mm from north, offcut_3".
std::string title_of(const std::vector<const CuttingPlan*>& plans, const Shop& shop) {
    std::vector<std::string> names;
    for (const CuttingPlan* plan : plans) {
        for (const Stock* sheet : plan->stock) {
            const std::int64_t count = plan->sheets_of(*sheet);
            if (count == 0) continue;
            const std::string size = size_text(sheet->length, sheet->width, shop.unit);
            names.push_back(sheet->owned()
                                ? (sheet->offer->description.empty() ? "own sheet of " + size
                                                                     : sheet->offer->description)
                                : std::to_string(count) + " of " + size + " from " +
                                      sheet->offer->supplier);
        }
    }
    return list_text(names);
}

/// Whether all sheets of an offer lie in the vehicle as they are handed over, or need not.
bool all_carried(const std::vector<const CuttingPlan*>& plans, const Stock& sheet,
                 const Terms& terms) {
    for (const CuttingPlan* plan : plans) {
        for (std::size_t i = 0; i < plan->plan.sheets.size(); ++i) {
            const auto format = static_cast<std::size_t>(plan->plan.sheets[i].format);
            if (plan->stock[format]->offer == sheet.offer && !plan->fits_vehicle(i, terms))
                return false;
        }
    }
    return true;
}

contract::Way way_of(const std::vector<const CuttingPlan*>& plans, const Terms& terms) {
    contract::Way way;
    std::map<std::string, std::int64_t> cuts;
    std::vector<std::pair<const Stock*, std::int64_t>> sheets;
    double bought = 0;
    double parts = 0;
    way.proven = true;
    int settings = 0;
    for (const CuttingPlan* plan : plans) {
        for (const Stock* sheet : plan->stock) {
            const std::int64_t count = plan->sheets_of(*sheet);
            if (count == 0) continue;
            const auto known = std::find_if(sheets.begin(), sheets.end(), [&](const auto& entry) {
                return entry.first == sheet;
            });
            if (known == sheets.end())
                sheets.emplace_back(sheet, count);
            else
                known->second += count;
            if (!sheet->owned()) cuts[sheet->offer->supplier] = 0;
        }
        bought += plan->sheet_area();
        parts += plan->part_area();
        way.used += plan->plan.sheet_count;
        way.lower_bound += plan->plan.lower_bound_sheets;
        way.proven = way.proven && plan->plan.proven;
        for (contract::SheetPlan& sheet : sheet_plans(*plan, terms.shop, settings))
            way.plans.sheets.push_back(std::move(sheet));
    }
    // Two plans apart might have shared a sheet: only one plan of all parts bounds what any plan
    // needs.
    if (plans.size() > 1) {
        way.proven = false;
        way.lower_bound = 0;
        for (const CuttingPlan* plan : plans)
            way.lower_bound = std::max(way.lower_bound, plan->plan.lower_bound_sheets);
    }
    for (const auto& [sheet, count] : sheets) {
        way.id += (way.id.empty() ? "" : "+") + sheet->offer->id;
        contract::Use use;
        use.offer = sheet->offer->id;
        use.count = (count + sheet->pack - 1) / sheet->pack;
        use.measure = sheet->measure;
        use.mass =
            sheet->owned()
                ? 0
                : round_to(sheet->area() * terms.mass_per_area * static_cast<double>(sheet->pack),
                           4);
        use.must_be_delivered = sheet->brought || !all_carried(plans, *sheet, terms);
        way.uses.push_back(std::move(use));
    }
    for (auto& [supplier, count] : cuts) {
        for (const CuttingPlan* plan : plans) count += plan->paid_cuts(supplier);
        if (count > 0) way.dealer_cuts.push_back({supplier, count});
    }
    way.title = title_of(plans, terms.shop);
    way.yield = round_to(bought > 0 ? parts / bought : 0, 4);
    way.waste = round_to(std::max(0.0, bought - parts), 6);
    return way;
}

/// Whether the suppliers have what two plans take together.
bool within_stock(const CuttingPlan& one, const CuttingPlan& other) {
    return std::all_of(one.stock.begin(), one.stock.end(), [&](const Stock* sheet) {
        if (!sheet->limit) return true;
        const bool both =
            std::find(other.stock.begin(), other.stock.end(), sheet) != other.stock.end();
        return one.sheets_of(*sheet) + (both ? other.sheets_of(*sheet) : 0) <= *sheet->limit;
    });
}

struct Choice {
    std::vector<const CuttingPlan*> plans;
    std::int64_t cost = 0;
};

} // namespace

WayReply find_ways(const WayRequest& request) {
    StockList all;
    for (const Stock& sheet : request.stock) all.push_back(&sheet);

    std::vector<Candidate> together = Planner(request.panels, request.terms)
                                          .plan(request.particular.empty() ? all : request.better);
    std::vector<Choice> choices;
    for (const Candidate& candidate : together)
        choices.push_back({{&candidate.plan}, candidate.cost});

    std::vector<Panel> ordinary;
    std::vector<Candidate> apart_better;
    std::vector<Candidate> apart_usual;
    if (!request.particular.empty()) {
        for (const Panel& panel : request.panels) {
            const bool is_particular =
                std::any_of(request.particular.begin(), request.particular.end(),
                            [&](const Panel& p) { return p.line == panel.line; });
            if (!is_particular) ordinary.push_back(panel);
        }
        if (!ordinary.empty()) {
            // Sheets of the workshop cannot be planned twice.
            StockList rest;
            std::copy_if(all.begin(), all.end(), std::back_inserter(rest),
                         [](const Stock* sheet) { return !sheet->owned(); });
            apart_better = Planner(request.particular, request.terms).plan(request.better);
            apart_usual = Planner(ordinary, request.terms).plan(rest);
        }
        if (!apart_better.empty()) {
            for (const Candidate& usual : apart_usual) {
                if (within_stock(apart_better.front().plan, usual.plan))
                    choices.push_back({{&apart_better.front().plan, &usual.plan},
                                       apart_better.front().cost + usual.cost});
            }
        }
    }
    std::stable_sort(choices.begin(), choices.end(),
                     [](const Choice& a, const Choice& b) { return a.cost < b.cost; });

    // A plan with a strip that its dealer does not cut is used only where there is no other.
    const auto narrow = [](const Choice& choice) {
        return std::any_of(choice.plans.begin(), choice.plans.end(),
                           [](const CuttingPlan* plan) { return !plan->narrow_strips().empty(); });
    };
    WayReply reply;
    const bool all_narrow = std::all_of(choices.begin(), choices.end(), narrow);
    std::set<std::string> ids;
    for (const Choice& choice : choices) {
        if (reply.ways.size() == most_ways) break;
        if (narrow(choice)) {
            if (!all_narrow) continue;
            for (const CuttingPlan* plan : choice.plans) {
                for (const std::string& supplier : plan->narrow_strips()) {
                    if (std::find(reply.narrow_strips.begin(), reply.narrow_strips.end(),
                                  supplier) == reply.narrow_strips.end())
                        reply.narrow_strips.push_back(supplier);
                }
            }
        }
        contract::Way way = way_of(choice.plans, request.terms);
        if (ids.insert(way.id).second) reply.ways.push_back(std::move(way));
    }
    return reply;
}

} // namespace aumbry::sheet_goods
