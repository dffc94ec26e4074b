#include "views/text_page.hpp"
#include "views/text_views.hpp"

#include "aumbry/calendar_file.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>

namespace aumbry::views {

namespace {

/// Warnings and cautions at the steps where they matter, in the order of the steps.
void mind_at_steps(Page& page, const Estimate& estimate) {
    bool any = false;
    for (const EstimateTask* task : tasks_by_date(estimate)) {
        bool named = false;
        for (const EstimateFinding& finding : estimate.findings) {
            if (finding.step != task->id || finding.severity == contract::Severity::note) continue;
            if (!any) page.heading("MIND AT THESE STEPS");
            if (!named) page.line("  " + page.strong(task->title));
            any = named = true;
            page.wrapped("    " + severity_word(finding.severity), finding.text);
        }
    }
}

} // namespace

std::string plan(const Estimate& estimate, bool colour) {
    Page page(colour);
    page.line(page.strong(estimate.title));
    page.line(
        (estimate.alternative.empty() ? "Base" : "Alternative '" + estimate.alternative + "'") +
        ", work begins " + day(estimate.start) + ", ready " + day(estimate.schedule.ready));

    page.heading("ORDER BY");
    Table orders({"", "order by", "in hand, ordered " + day(estimate.schedule.orders_from)});
    std::vector<const EstimateOrder*> by_date;
    for (const EstimateOrder& order : estimate.orders) by_date.push_back(&order);
    std::stable_sort(
        by_date.begin(), by_date.end(), [](const EstimateOrder* a, const EstimateOrder* b) {
            return a->order_by.value_or(Date::max()) < b->order_by.value_or(Date::max());
        });
    for (const EstimateOrder* order : by_date) {
        orders.row({order->name, order->order_by ? day(*order->order_by) : std::string(),
                    (order->after.empty() ? "" : "ordered " + day(order->goes_out) + ": ") +
                        day(order->arrives)});
    }
    orders.print(page);

    bool any = false;
    for (const EstimatePurchase& purchase : estimate.purchases) {
        if (!purchase.decides_sizes || purchase.owned) continue;
        if (!any) page.heading("MEASURED BEFORE PARTS ARE CUT");
        any = true;
        page.pair(purchase.description + (purchase.returnable ? "" : " (no return)"),
                  "in hand " + day(purchase.arrives));
    }

    if (!tasks_by_date(estimate).empty())
        page.heading("WORK, in order of start; slack is how much later it may start");
    Table work({"", "hours", "begins", "done", "slack"});
    for (const EstimateTask* task : tasks_by_date(estimate)) {
        work.row({task->title + (task->worker == "maker" ? "" : " (" + task->worker + ")"),
                  format_number(task->minutes / 60, 2),
                  task->done ? "done" : format_date(task->start).substr(5) + ' ' + hour_of(*task),
                  format_date(task->finish).substr(5), task->done ? "" : slack_in_words(*task)});
    }
    work.print(page);
    mind_at_steps(page, estimate);

    if (!estimate.schedule.operations.empty()) page.heading("HOURS BY KIND OF WORK");
    for (const EstimateOperation& each : estimate.schedule.operations)
        page.pair(each.operation.empty() ? "tasks of the project" : each.operation,
                  format_number(each.hours, 2));

    if (!estimate.schedule.times.empty())
        page.heading(
            "COUNTED WITH THESE TIMES, in minutes; plan --times writes them for you to edit");
    Table times({"", "counted", "usual"});
    for (const EstimateTime& time : estimate.schedule.times)
        times.row({time.module + ": " + time.title, format_trimmed(time.minutes, 2),
                   time.minutes == time.usual ? "" : format_trimmed(time.usual, 2)});
    times.print(page);

    if (!estimate.schedule.critical_path.empty())
        page.heading("WHAT DECIDES WHEN THE JOB IS READY");
    for (const std::string& id : estimate.schedule.critical_path) {
        const auto task =
            std::find_if(estimate.schedule.tasks.begin(), estimate.schedule.tasks.end(),
                         [&](const EstimateTask& t) { return t.id == id; });
        if (task == estimate.schedule.tasks.end())
            page.line("  " + (id.starts_with("arrival ")
                                  ? "waits for goods: " + goods_of(estimate, id.substr(8))
                                  : id));
        else if (task->minutes > 0 || task->wait_minutes > 0)
            page.pair("  " + task->title, "done " + format_date(task->finish));
    }
    return page.str();
}

std::string plan_calendar(const Estimate& estimate) {
    std::vector<CalendarEntry> entries;
    for (const EstimateOrder& order : estimate.orders) {
        if (order.order_by) {
            entries.push_back({"order-" + order.supplier,
                               "Order by today: " + order.name,
                               "The latest day that does not delay the job.",
                               {"order"},
                               *order.order_by,
                               *order.order_by,
                               true});
        }
        entries.push_back({"arrives-" + order.supplier,
                           (order.collected ? "Collect: " : "Delivery: ") + order.name,
                           "",
                           {"goods"},
                           order.arrives,
                           order.arrives,
                           false});
    }
    for (const EstimateTask& task : estimate.schedule.tasks) {
        if (task.minutes <= 0 && task.wait_minutes <= 0) continue;
        entries.push_back({"task-" + task.id,
                           task.title,
                           task.critical ? "No slack: what is late here makes the job late."
                                         : "Slack: " + slack_in_words(task) + ".",
                           {"work"},
                           task.start,
                           task.finish,
                           false});
    }
    entries.push_back({"ready",
                       "Ready: " + estimate.title,
                       "",
                       {"work"},
                       estimate.schedule.ready,
                       estimate.schedule.ready,
                       false});
    return calendar_file(estimate.title, "aumbry.invalid", estimate.priced_on, entries);
}

} // namespace aumbry::views
