#include "line/late_orders.hpp"

#include "line/procure/problem.hpp"
#include "line/procure/second_orders.hpp"

#include "aumbry/line_access.hpp"

#include <algorithm>

namespace aumbry {
namespace {

const contract::Demand& demand_called(const LineRun& run, const std::string& id) {
    return *std::find_if(run.taken.demands.begin(), run.taken.demands.end(),
                         [&](const contract::Demand& each) { return each.id == id; });
}

/// The place of a step in the plan; empty when there is none, or it is done.
std::optional<std::size_t> step_to_come(const WorkPlan& work, const std::string& id) {
    for (std::size_t i = 0; i < work.steps.size(); ++i)
        if (work.steps[i].id == id && !work.steps[i].done) return i;
    return std::nullopt;
}

/// What the goods of a demand cost that are still to be bought from a supplier.
std::optional<Money> to_buy(const LineRun& run, const std::string& demand) {
    std::optional<Money> sum;
    for (const Purchase& purchase : run.bought.purchases) {
        if (purchase.owned || purchase.service) continue;
        if (std::find(purchase.demands.begin(), purchase.demands.end(), demand) ==
            purchase.demands.end())
            continue;
        sum = sum ? *sum + purchase.amount : purchase.amount;
    }
    return sum;
}

/// The goods that wait, and all that is known of them.
struct Late {
    OrderedApart apart;
    std::vector<std::string> after; ///< steps that they wait for
    Money value;
};

Late late_goods(const LineRun& run) {
    Late late{{}, {}, Money::zero(run.resolved.currency)};
    for (const contract::Demand& demand : run.taken.demands) {
        if (demand.order_after.empty() || !demand.amount) continue;
        if (!step_to_come(run.work, demand.order_after)) continue;
        const std::optional<Money> value = to_buy(run, demand.id);
        if (!value) continue;
        late.apart.demands.insert(demand.id);
        add_once(late.after, demand.order_after);
        late.value += *value;
    }
    return late;
}

/// The day on which the last of the steps is done, which is put down as that which decides.
Date known_on(const LineRun& run, Late& late) {
    Date last = run.problem.order_date;
    for (const std::string& id : late.after) {
        const auto at = step_to_come(run.work, id);
        if (!at) continue;
        const Date done = run.work.schedule.tasks[*at].done.date;
        if (late.apart.after.empty() || done > last) late.apart.after = id;
        last = std::max(last, done);
    }
    return last;
}

/// The run with those goods bought apart. The day on which they can be ordered hangs on the dates
/// of what else is bought, so it is looked at again.
LineRun bought_apart(const LineRun& run, Late& late, const std::function<void(LineRun&)>& go_on) {
    LineRun apart = run;
    late.apart.goes_out = known_on(run, late);
    for (int again = 0; again < 3; ++again) {
        apart.problem = with_second_orders(run.problem, late.apart);
        apart.earliest = earliest_arrivals(apart.problem);
        apart.problem.finish = finish_of_work(run.resolved, run.taken, apart.earliest);
        go_on(apart);
        const Date known = known_on(apart, late);
        if (known <= late.apart.goes_out) break;
        late.apart.goes_out = known;
    }
    return apart;
}

std::string days_text(long days) {
    return std::to_string(days) + (days == 1 ? " day" : " days");
}

contract::Finding told(const LineRun& run, const Late& late, const LineRun& apart, bool waits) {
    const long days = std::max(
        0L, static_cast<long>((apart.work.schedule.ready - run.work.schedule.ready).count()));
    const Money more = apart.bought.cost - run.bought.cost;
    std::string goods;
    for (const std::string& id : late.apart.demands)
        goods += (goods.empty() ? "" : ", ") + demand_called(run, id).title;
    const auto at = step_to_come(run.work, late.apart.after);
    const std::string step = at ? run.work.steps[*at].title : late.apart.after;
    const std::string costs =
        days_text(days) + " and " + run.resolved.currency.code + ' ' +
        (more.is_negative() ? Money::zero(run.resolved.currency) : more).str();
    const std::string line = demand_called(run, *late.apart.demands.begin()).shares.front().line;
    if (waits)
        return {contract::Severity::note, "ordered-once-known", line,
                goods + ": ordered once '" + step + "' is done, on " +
                    format_date(late.apart.goes_out) +
                    ", in an order of its own. Against ordering it with the rest that costs " +
                    costs +
                    "; \"late_orders\": \"never\" under \"workshop\" orders it with the rest.",
                late.apart.after};
    return {contract::Severity::caution, "ordered-before-known", line,
            goods + ": ordered with the rest, before '" + step +
                "' tells what is right. Waiting for that would cost " + costs +
                "; \"late_orders\": \"always\" under \"workshop\" waits.",
            late.apart.after};
}

/// A second order is called so only where there is a first.
void name_lone_orders(LineRun& run) {
    const auto ordered = [&](const std::string& supplier) {
        return std::any_of(run.bought.orders.begin(), run.bought.orders.end(),
                           [&](const SupplierOrder& order) { return order.supplier == supplier; });
    };
    for (SupplierTerms& second : run.problem.suppliers) {
        if (second.second_of.empty() || ordered(second.second_of)) continue;
        for (const SupplierTerms& first : run.problem.suppliers)
            if (first.supplier.id == second.second_of) second.supplier.name = first.supplier.name;
    }
}

} // namespace

void order_once_known(LineRun& run, const std::function<void(LineRun&)>& go_on) {
    if (run.problem.max_suppliers || run.problem.objective == Objective::fewest_suppliers) return;
    Late late = late_goods(run);
    if (late.apart.demands.empty()) return;
    // What is known on the day of the orders is in them.
    if (known_on(run, late) <= run.problem.order_date) return;
    LineRun apart = bought_apart(run, late, go_on);
    const std::string wish = text(run.resolved.workshop, "late_orders");
    const bool possible = apart.bought.unmet.size() == run.bought.unmet.size();
    const bool plain = apart.work.schedule.ready <= run.work.schedule.ready &&
                       apart.bought.cost - run.bought.cost <= late.value;
    const bool waits = possible && (wish == "always" || (wish != "never" && plain));
    contract::Finding finding = told(run, late, apart, waits);
    if (waits) {
        run = std::move(apart);
        name_lone_orders(run);
    }
    run.work.findings.push_back(std::move(finding));
}

} // namespace aumbry
