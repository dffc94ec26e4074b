#include "line/estimate/dates.hpp"

#include "line/recorded/bought.hpp"

#include "aumbry/rounding.hpp"

#include <algorithm>
#include <set>
#include <tuple>

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
    made.start_minute = dates.start.minute;
    made.rack = step.rack;
    made.operation = step.operation;
    made.finish = dates.done.date;
    made.latest_finish = dates.latest_done.date;
    made.slack_hours = round_to(static_cast<double>(dates.slack_minutes) / 60, 4);
    made.slack_days = dates.slack_days;
    made.critical = dates.critical;
    made.waits_for = dates.waits_for;
    made.needs = step.needs;
    made.after = step.after;
    made.lines = step.lines;
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

/// Hours by kind of work, in the order in which the work first needs them; tasks of the project are
/// of none.
std::vector<EstimateOperation> operations_of(const WorkPlan& work) {
    std::vector<EstimateOperation> operations;
    for (const NetworkStep& step : work.steps) {
        const double hours =
            round_to(step.minutes / 60 *
                             static_cast<double>(std::max<std::size_t>(
                                 step.who.size(), static_cast<std::size_t>(step.people))) +
                         step.worked_minutes / 60,
                     4);
        if (hours <= 0) continue;
        const auto known =
            std::find_if(operations.begin(), operations.end(), [&](const EstimateOperation& each) {
                return each.operation == step.operation;
            });
        if (known == operations.end())
            operations.push_back({step.operation, hours});
        else
            known->hours = round_to(known->hours + hours, 4);
    }
    return operations;
}

/// The last day on which the orders may go out: none may be late, and no work either.
Date last_day_to_accept(const WorkPlan& work, const std::vector<EstimateOrder>& orders) {
    Date last = work.schedule.ready;
    for (const EstimateOrder& order : orders)
        if (order.order_by) last = std::min(last, *order.order_by);
    for (std::size_t i = 0; i < work.steps.size(); ++i)
        if (!work.steps[i].done) last = std::min(last, work.schedule.tasks[i].latest_start.date);
    return last;
}

} // namespace

std::vector<const EstimateTask*> tasks_by_date(const Estimate& estimate) {
    std::set<std::string> minded;
    for (const EstimateFinding& finding : estimate.findings) minded.insert(finding.step);
    std::vector<const EstimateTask*> tasks;
    for (const EstimateTask& task : estimate.schedule.tasks)
        if (task.minutes > 0 || task.wait_minutes > 0 || task.done || minded.contains(task.id))
            tasks.push_back(&task);
    std::stable_sort(tasks.begin(), tasks.end(), [](const EstimateTask* a, const EstimateTask* b) {
        return std::tuple(!a->done, a->start, a->start_minute) <
               std::tuple(!b->done, b->start, b->start_minute);
    });
    return tasks;
}

std::string hour_of(const EstimateTask& task) {
    const auto two = [](int number) {
        return std::string(number < 10 ? "0" : "") + std::to_string(number);
    };
    return two(task.start_minute / 60) + ':' + two(task.start_minute % 60);
}

std::string slack_in_words(const EstimateTask& task) {
    if (task.critical) return "critical";
    if (task.slack_days > 0)
        return std::to_string(task.slack_days) + (task.slack_days == 1 ? " day" : " days");
    if (task.slack_hours < 1) return format_trimmed(task.slack_hours * 60, 0) + " min";
    return format_trimmed(task.slack_hours, 1) + " h";
}

EstimateSchedule dated_work(const Resolved& project, const WorkPlan& work, const Labour& labour,
                            const std::vector<EstimateOrder>& orders) {
    EstimateSchedule made;
    made.operations = operations_of(work);
    made.wanted_by = project.wanted_by;
    made.orders_from = ordered_from(project);
    made.accept_by = last_day_to_accept(work, orders);
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
    const Date now = ordered_from(project);
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
    const Date first = project.orders_from.value_or(project.start);
    if (!project.papers.stages.empty()) {
        Money left = price.total;
        for (const PaymentStage& stage : project.papers.stages) {
            const Money part = price.total.percent(stage.percent);
            const bool is_first = &stage == &project.papers.stages.front();
            needs.push_back({stage.on.value_or(is_first ? first : project.start),
                             "the client pays: " + stage.title, -part});
            left -= part;
        }
        needs.push_back({work.schedule.ready, "the client pays the rest", -left});
    } else if (!price.deposit.is_zero()) {
        needs.push_back({first, "the client's deposit", -price.deposit});
        needs.push_back({work.schedule.ready, "the client's balance", -price.balance});
    }
    // What was charged is the state's, less what was paid and can be claimed back.
    Money owed = Money::zero(project.currency);
    for (const TaxAtRate& tax : price.taxes) owed += tax.tax;
    if (!owed.is_zero()) {
        if (project.pricing.terms.tax_paid_recoverable) {
            for (const EstimateOrder& order : orders) owed -= order.tax;
            for (const Bought& bought : project.bought) owed -= bought.tax;
        }
        needs.push_back({work.schedule.ready, "tax charged, to be paid over", owed});
    }
    std::erase_if(needs, [](const CashNeed& need) { return need.amount.is_zero(); });
    std::vector<EstimateCash> rows;
    for (const CashRow& row : cash_by_date(std::move(needs)))
        rows.push_back({row.need.date, row.need.what, row.need.amount, row.so_far});
    return rows;
}

} // namespace aumbry
