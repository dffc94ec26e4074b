#include "line/schedule/work_plan.hpp"

#include "documents/at_pointer.hpp"

namespace aumbry {

FinishDate finish_of_work(const Resolved& project, const TakenOff& taken,
                          const Arrivals& earliest) {
    std::vector<contract::Finding> ignored; // the same come again once all steps are known
    std::vector<NetworkStep> steps = network_of(project, taken.steps, taken.demands, ignored);
    take_off_worked(project, steps);
    return at_pointer("/tasks",
                      [&] { return FinishDate(schedule_problem(project, steps, earliest)); });
}

WorkPlan schedule_work(const Resolved& project, const TakenOff& taken, const Arrivals& earliest,
                       const Arrivals& arrivals, const Followed& followed) {
    std::vector<ModuleStep> steps = taken.steps;
    steps.insert(steps.end(), followed.steps.begin(), followed.steps.end());
    WorkPlan made;
    made.steps = network_of(project, steps, taken.demands, made.findings);
    take_off_worked(project, made.steps);
    ScheduleProblem problem = schedule_problem(project, made.steps, earliest);
    problem.arrivals = arrivals;
    made.schedule = at_pointer("/tasks", [&] { return schedule(problem); });
    return made;
}

} // namespace aumbry
