#include "line/estimate/dates.hpp"

#include "line/recorded/bought.hpp"

#include <algorithm>

namespace aumbry {
namespace {

EstimateTask task_of(const NetworkStep& step, const ScheduledTask& dates, const Money& cost) {
    EstimateTask made;
    made.id = step.id;
    made.title = step.title;
    made.phase = step.phase;
    made.pieces = step.pieces;
    for (const std::string& who : step.who) made.worker += (made.worker.empty() ? "" : ", ") + who;
    made.minutes = step.minutes;
    made.wait_minutes = step.wait_minutes;
    made.people = step.people;
    made.start = dates.start.date;
    made.finish = dates.done.date;
    made.latest_finish = dates.latest_finish.date;
    made.slack_days = dates.slack_days;
    made.critical = dates.critical;
    made.waits_for = dates.waits_for;
    made.needs = step.needs;
    made.worked_minutes = step.worked_minutes;
    made.done = step.done;
    made.cost = cost;
    return made;
}

Date last_day_of(const std::string& worker, const WorkPlan& work, Date otherwise) {
    Date last = otherwise;
    for (std::size_t i = 0; i < work.steps.size(); ++i) {
        const std::vector<std::string>& who = work.steps[i].who;
        if (std::find(who.begin(), who.end(), worker) != who.end())
            last = std::max(last, work.schedule.tasks[i].finish.date);
    }
    return last;
}

} // namespace

EstimateSchedule dated_work(const WorkPlan& work, const Labour& labour) {
    EstimateSchedule made;
    for (std::size_t i = 0; i < work.steps.size(); ++i)
        made.tasks.push_back(task_of(work.steps[i], work.schedule.tasks[i], labour.of_steps[i]));
    made.critical_path = work.schedule.critical_path;
    made.hours = labour.hours;
    made.ready = work.schedule.ready;
    return made;
}

std::vector<EstimateCash> cash_of(const Resolved& project, const std::vector<EstimateOrder>& orders,
                                  const WorkPlan& work, const Labour& labour,
                                  const PriceBuildUp& price, const Provenance& from) {
    const Date now = planned_from(project);
    std::vector<CashNeed> needs;
    for (const Bought& bought : project.bought)
        needs.push_back({bought.on.value_or(project.start), from.name_of_supplier(bought.supplier),
                         bought.amount + bought.tax});
    for (const EstimateOrder& order : orders)
        needs.push_back({order.order_by.value_or(now), order.name, order.total});
    for (const EstimateHours& hours : labour.hours) {
        if (hours.worker != "maker")
            needs.push_back({last_day_of(hours.worker, work, now), hours.title, hours.amount});
    }
    if (!price.deposit.is_zero()) {
        needs.push_back({project.start, "the client's deposit", -price.deposit});
        needs.push_back({work.schedule.ready, "the client's balance", -price.balance});
    }
    std::erase_if(needs, [](const CashNeed& need) { return need.amount.is_zero(); });
    std::vector<EstimateCash> rows;
    for (const CashRow& row : cash_by_date(std::move(needs)))
        rows.push_back({row.need.date, row.need.what, row.need.amount, row.so_far});
    return rows;
}

} // namespace aumbry
