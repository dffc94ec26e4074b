// The straight line: what each stage reads, and what it hands on.
#include "line/run.hpp"

#include "documents/at_pointer.hpp"
#include "line/estimate/estimate.hpp"
#include "line/in_project.hpp"
#include "line/late_orders.hpp"
#include "line/procure/problem.hpp"
#include "line/procure/second_orders.hpp"
#include "line/provenance.hpp"

namespace aumbry {
namespace {

void need_modules(const PluginHost& host, const Project& project) {
    if (!host.modules().empty()) return;
    std::string reasons;
    for (const RefusedModule& refused : host.refused())
        reasons += (reasons.empty() ? "" : "; ") + refused.file + " " + refused.reason;
    fail("no-modules", {project.file, "", 0, 0},
         "no module could be loaded, so nothing can be priced" +
             (reasons.empty() ? "" : ": " + reasons),
         "check the plugin folder");
}

} // namespace

BeforePurchase run_to_purchase(const Project& project, PluginHost& host, const Catalog& catalog,
                               const EstimateOptions& options) {
    need_modules(host, project);
    return in_project(project, [&] {
        BeforePurchase run;
        run.resolved = resolve(project, host, catalog.tables(), options.effort);
        // What is bought already is kept in here: modules may be asked twice, see take_off.hpp.
        run.taken = take_off(run.resolved, host, catalog, options.effort);
        run.problem = purchase_problem(run.resolved, run.taken, catalog, options);
        run.problem.cancelled = host.cancel();
        run.earliest = earliest_arrivals(run.problem);
        run.problem.finish = finish_of_work(run.resolved, run.taken, run.earliest);
        run.settled = settle(run.taken, run.problem, host, options.effort);
        return run;
    });
}

LineRun run_line(const Project& project, PluginHost& host, const Catalog& catalog,
                 const EstimateOptions& options) {
    LineRun run{run_to_purchase(project, host, catalog, options), {}, {}, {}, {}};
    return in_project(project, [&] {
        const auto buy_and_date = [&](LineRun& by) {
            by.bought = at_pointer(
                "/lines", [&] { return by_listed_offers(procure(by.problem), by.problem); });
            by.followed =
                follow(by.resolved, by.taken, by.bought, host, catalog.tables(), options.effort);
            by.work = schedule_work(by.resolved, by.taken, by.earliest, by.problem, by.bought,
                                    by.followed);
        };
        buy_and_date(run);
        order_once_known(run, buy_and_date);
        bound_all_ways(run.settled, run.problem, run.bought);
        const Provenance from =
            provenance_of(project, host, catalog, run.resolved, run.taken, options);
        run.estimate = estimate(run.resolved, run.taken, run.problem, run.bought, run.followed,
                                run.work, from);
        return std::move(run);
    });
}

Estimate estimate(const Project& project, PluginHost& host, const Catalog& catalog,
                  const EstimateOptions& options) {
    return run_line(project, host, catalog, options).estimate;
}

} // namespace aumbry
