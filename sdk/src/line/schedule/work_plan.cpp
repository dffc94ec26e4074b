#include "line/schedule/work_plan.hpp"

#include "documents/at_pointer.hpp"
#include "line/procure/problem.hpp"
#include "line/schedule/fetching.hpp"

namespace aumbry {
namespace {

std::string days_text(Date from, Date to) {
    const auto days = (to - from).count();
    return std::to_string(days) + (days == 1 ? " day" : " days");
}

/// The client's wish, by how much it is missed and what would meet it.
contract::Finding missed_wish(const ScheduleProblem& problem, const Schedule& dated, Date wish) {
    std::string text = "The job is ready on " + format_date(dated.ready) + ", " +
                       days_text(wish, dated.ready) + " after the client's wish, " +
                       format_date(wish) + ". ";
    const Date with_goods = FinishDate(problem)({});
    if (with_goods <= wish)
        text += "Goods decide it: with all of them in hand at the start it is ready on " +
                format_date(with_goods) + "; order earlier (\"orders_from\") or elsewhere.";
    else
        text += "Work decides it: even with all goods in hand at the start it is ready on " +
                format_date(with_goods) + "; begin " + days_text(wish, with_goods) +
                " earlier (\"start\"), or give some of it to a helper (\"people\").";
    return {contract::Severity::problem, "wish-missed", "", std::move(text), ""};
}

} // namespace

FinishDate finish_of_work(const Resolved& project, const TakenOff& taken,
                          const Arrivals& earliest) {
    std::vector<contract::Finding> ignored; // the same come again once all steps are known
    std::vector<NetworkStep> steps = network_of(project, taken.steps, taken.demands, ignored);
    take_off_worked(project, steps);
    return at_pointer("/tasks",
                      [&] { return FinishDate(schedule_problem(project, steps, earliest)); });
}

WorkPlan schedule_work(const Resolved& project, const TakenOff& taken, const Arrivals& earliest,
                       const ProcureProblem& problem, const Procurement& bought,
                       const Followed& followed) {
    std::vector<ModuleStep> steps = taken.steps;
    steps.insert(steps.end(), followed.steps.begin(), followed.steps.end());
    WorkPlan made;
    made.steps = network_of(project, steps, taken.demands, made.findings);
    add_trips(project, problem, bought, made.steps);
    take_off_worked(project, made.steps);
    ScheduleProblem dates = schedule_problem(project, made.steps, earliest);
    dates.arrivals = arrivals_of(bought);
    made.schedule = at_pointer("/tasks", [&] { return schedule(dates); });
    if (project.wanted_by && made.schedule.ready > *project.wanted_by)
        made.findings.push_back(missed_wish(dates, made.schedule, *project.wanted_by));
    return made;
}

} // namespace aumbry
