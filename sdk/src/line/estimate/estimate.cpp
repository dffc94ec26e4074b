#include "line/estimate/estimate.hpp"

#include "documents/at_pointer.hpp"
#include "line/estimate/costs.hpp"
#include "line/estimate/dates.hpp"
#include "line/estimate/findings.hpp"
#include "line/estimate/labour.hpp"
#include "line/estimate/leftovers.hpp"
#include "line/estimate/not_counted.hpp"
#include "line/estimate/plans.hpp"
#include "line/estimate/times.hpp"
#include "line/estimate/weeks.hpp"
#include "line/estimate/workings.hpp"

#include "aumbry/line_access.hpp"
#include "aumbry/reader_measures.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>

namespace aumbry {
namespace {

/// How far the goods of each line are: as far as the slowest of them.
std::map<std::string, Progress> progress_of(const std::vector<EstimatePurchase>& purchases) {
    std::map<std::string, Progress> slowest;
    for (const EstimatePurchase& purchase : purchases) {
        const Progress state = purchase.owned ? Progress::received : purchase.state;
        for (const LineShare& share : purchase.lines) {
            const auto [at, first] = slowest.emplace(share.line, state);
            if (!first) at->second = std::min(at->second, state);
        }
    }
    return slowest;
}

std::vector<EstimateLine> lines_of(const Resolved& project, const TakenOff& taken,
                                   const Costs& costs) {
    const std::map<std::string, Progress> progress = progress_of(costs.purchases);
    std::vector<EstimateLine> lines;
    for (const ResolvedLine& resolved : project.lines) {
        EstimateLine line;
        line.id = resolved.line.id;
        line.kind = resolved.line.kind;
        line.piece = resolved.line.piece;
        line.title = display_name(resolved.line);
        line.module = resolved.module;
        line.material = resolved.line.material ? resolved.line.material->id : std::string();
        line.count = resolved.line.count;
        line.fields = resolved.line.fields;
        line.derived = resolved.line.derived;
        line.mass = round_to(
            number(resolved.line.derived, "mass", 0) * static_cast<double>(resolved.line.count), 4);
        const auto cost = costs.of_lines.find(line.id);
        line.cost = cost == costs.of_lines.end() ? Money::zero(project.currency) : cost->second;
        const auto state = progress.find(line.id);
        if (state != progress.end()) line.state = state->second;
        line.not_priced = resolved.not_priced;
        if (const auto failed = taken.not_priced.find(line.id); failed != taken.not_priced.end())
            line.not_priced = failed->second;
        lines.push_back(std::move(line));
    }
    return lines;
}

std::vector<EstimateQuantity> quantities_of(const TakenOff& taken, const Followed& followed) {
    std::vector<EstimateQuantity> quantities;
    for (const auto* source : {&taken.quantities, &followed.quantities}) {
        for (const auto& [module, rows] : *source) {
            for (const contract::QuantityRow& row : rows)
                quantities.push_back({module, row.ref, row.title, row.value, row.unit, row.lines});
        }
    }
    std::stable_sort(quantities.begin(), quantities.end(),
                     [](const auto& a, const auto& b) { return a.module < b.module; });
    return quantities;
}

/// All costs and the price that is made of them.
struct Sum {
    PriceBuildUp price;
    Allocation::Settled settled;
};

Sum add_up(const Resolved& project, const Costs& costs, const Labour& labour) {
    Allocation allocation(project.currency);
    for (const auto* charges : {&costs.charges, &labour.charges}) {
        for (const Charge& charge : *charges) allocation.add(charge);
    }
    const Money none = Money::zero(project.currency);
    const std::vector<CostLine> lines{
        {"goods", allocation.sum(Category::goods), none, {}},
        {"services", allocation.sum(Category::services), costs.tax_paid, {}},
        {"delivery", allocation.sum(Category::delivery), none, {}},
        {"labour", allocation.sum(Category::labour), none, {}}};
    Sum sum;
    sum.price = at_pointer("/pricing", [&] { return build_up(project.pricing.terms, lines); });
    sum.settled = allocation.settle(sum.price.contingency, sum.price.markup, sum.price.tax);
    return sum;
}

std::vector<Part> parts_by_module(const Sum& sum, const Currency& currency,
                                  const Provenance& from) {
    std::vector<Part> parts;
    for (auto& [id, totals] : Allocation::by_module(sum.settled, currency)) {
        const contract::Description* module = from.module(id);
        parts.push_back({id,
                         module != nullptr ? module->title
                         : id == "work"    ? "Work of the project"
                                           : "Whole job",
                         totals});
    }
    return parts;
}

std::vector<Part> parts_by_piece(const Sum& sum, const Resolved& project) {
    std::vector<Part> parts;
    const std::map<std::string, Totals> pieces =
        Allocation::by_piece(sum.settled, project.currency);
    for (const Piece& piece : project.pieces) {
        const auto found = pieces.find(piece.id);
        parts.push_back({piece.id, piece.title,
                         found == pieces.end() ? no_totals(project.currency) : found->second});
    }
    if (const auto whole = pieces.find(""); whole != pieces.end())
        parts.push_back({"", "Whole job", whole->second});
    return parts;
}

/// Of the maker's own labour and of all that is put on costs, by the hour.
std::optional<Money> earned_an_hour(const Labour& labour, const Totals& totals) {
    for (const EstimateHours& own : labour.hours) {
        if (own.worker != "maker" || own.hours <= 0) continue;
        const Money earned = own.amount + totals.contingency + totals.markup;
        return Money::round(earned.decimal().divided_by(Decimal::from_double(own.hours, 2), 6),
                            earned.currency());
    }
    return std::nullopt;
}

/// What the project and its surroundings say of themselves.
Estimate headed(const Resolved& project, const Provenance& from) {
    Estimate made;
    made.title = project.title;
    made.alternative = from.alternative;
    made.currency = project.currency;
    made.length_unit = project.length_unit;
    made.effort = from.effort;
    made.priced_on = project.priced_on;
    made.start = project.start;
    made.inputs = from.inputs;
    for (const contract::Description& module : from.modules)
        made.modules.push_back({module.id, module.title, module.version, module.contract});
    made.pricing = project.pricing;
    made.papers = project.papers;
    return made;
}

void set_price(Estimate& made, const Resolved& project, const Sum& sum, const Provenance& from) {
    made.totals = sum.settled.totals;
    made.by_piece = parts_by_piece(sum, project);
    made.by_module = parts_by_module(sum, project.currency, from);
    made.sale = {sum.price.net, sum.price.taxes, sum.price.total};
    made.deposit = sum.price.deposit;
    made.balance = sum.price.balance;
}

void set_purchase(Estimate& made, const ProcureProblem& problem, const Procurement& bought,
                  const Costs& costs) {
    made.purchases = costs.purchases;
    made.orders = costs.orders;
    made.purchase_cost = bought.cost;
    made.purchase_bound = bought.bound.value_or(bought.lower_bound);
    made.purchase_not_bounded = bought.not_bounded;
    made.purchase_proven = bought.not_bounded.empty() && !(made.purchase_bound < bought.cost);
    made.next_best = next_best_of(problem, bought);
    made.prices_hold = bought.prices_hold;
    for (const EstimatePurchase& purchase : costs.purchases) {
        if (purchase.valid_to && purchase.valid_to == bought.prices_hold)
            made.prices_hold_offers.push_back(purchase.offer);
    }
}

void set_plans(Estimate& made, const EstimatePlans& plans) {
    made.cutting_plans = plans.cutting;
    made.board_plans = plans.board;
    made.lift_plans = plans.lifts;
    made.further_plans = plans.further;
    made.bounds = plans.bounds;
    made.plans_to_keep = plans.to_keep;
}

/// Sentences and workings of modules speak metric: they are turned once, here.
void in_units_of_reader(Estimate& made) {
    if (made.length_unit != "in") return;
    const auto turn = [&](std::string& text) { text = measures_for_reader(text, "in"); };
    for (EstimateFinding& finding : made.findings) turn(finding.text);
    for (auto& [ref, working] : made.workings) {
        turn(working.title);
        turn(working.result);
        for (contract::Input& input : working.inputs) turn(input.value);
    }
}

} // namespace

Estimate estimate(const Resolved& resolved, const TakenOff& taken, const ProcureProblem& problem,
                  const Procurement& bought, const Followed& followed, const WorkPlan& work,
                  const Provenance& from) {
    const Costs costs = costs_of(resolved, problem, bought,
                                 purchases_of(resolved, taken, problem, bought, work, from));
    const Labour labour = labour_of(resolved, work);
    const Sum sum = add_up(resolved, costs, labour);
    const EstimatePlans plans = plans_of(taken, bought);

    Estimate made = headed(resolved, from);
    made.lines = lines_of(resolved, taken, costs);
    for (const EstimateLine& line : made.lines) made.mass += line.mass;
    made.mass = round_to(made.mass, 4);
    made.quantities = quantities_of(taken, followed);
    set_purchase(made, problem, bought, costs);
    set_plans(made, plans);
    set_price(made, resolved, sum, from);
    made.schedule = dated_work(resolved, work, labour, costs.orders);
    made.latest_arrivals = work.schedule.latest_arrivals;
    made.labour_stated = labour.stated;
    made.earned_an_hour = earned_an_hour(labour, made.totals);
    made.cash = cash_of(resolved, costs.orders, work, labour, sum.price, from);
    made.weeks = weeks_of(resolved, made.cash, work);
    made.schedule.times = times_of(resolved, from);
    made.not_counted = not_counted(resolved, bought, followed, work);
    made.leftovers = leftovers_of(plans, resolved, taken, bought, from);
    made.findings = findings_of(resolved, taken, bought, followed, work, from.refused);
    made.not_included =
        not_included(made.lines, bought, taken, resolved.pricing.terms, labour.stated);
    // Reads all that is above: nothing else may follow it.
    made.workings = workings_of(made, resolved, sum.price, taken.workings, followed.workings);
    in_units_of_reader(made);
    return made;
}

} // namespace aumbry
