#include "line/estimate/labour.hpp"

#include "aumbry/rounding.hpp"

#include <algorithm>
#include <set>

namespace aumbry {
namespace {

/// What one person has to do with the job.
struct HoursOf {
    double hours = 0;
    Money amount;
    std::set<Date> days;
    const NetworkStep* last = nullptr;
};

class Payroll {
  public:
    explicit Payroll(const Resolved& project) : project_(project) {}

    void add(const NetworkStep& step, const ScheduledTask& dates) {
        cost_ = Money::zero(project_.currency);
        for (const std::string& id : step.who) {
            const auto people = step.who.size() > 1 ? 1 : step.people;
            HoursOf& by =
                pay(step, person(id), round_to(step.minutes / 60, 4) * static_cast<double>(people));
            if (step.minutes > 0) {
                by.days.insert(dates.start.date);
                by.days.insert(dates.finish.date);
            }
        }
        for (const Worked& past : project_.worked) {
            if (past.step != step.id) continue;
            HoursOf& by = pay(step, person(past.who), round_to(past.minutes / 60, 4));
            if (past.on && past.minutes > 0) by.days.insert(*past.on);
        }
        out_.of_steps.push_back(cost_);
        charge(step, cost_);
    }

    Labour take() {
        for (const Person& who : project_.people) {
            const auto found = worked_.find(who.id);
            if (found != worked_.end() && found->second.hours != 0) add_up(who, found->second);
        }
        return std::move(out_);
    }

  private:
    /// One who is not named among the people is the maker.
    [[nodiscard]] const Person& person(const std::string& id) const {
        const auto found = std::find_if(project_.people.begin(), project_.people.end(),
                                        [&](const Person& each) { return each.id == id; });
        return found == project_.people.end() ? project_.people.front() : *found;
    }

    [[nodiscard]] Money at_rate(Decimal rate, double hours, int decimals) const {
        return Price{rate, project_.currency, Decimal(1)}.amount_for(
            Decimal::from_double(hours, decimals));
    }

    HoursOf& pay(const NetworkStep& step, const Person& who, double hours) {
        if (who.rate_stated || step.rate) out_.stated = true;
        const Money amount = at_rate(step.rate.value_or(who.rate), hours, 4);
        cost_ += amount;
        HoursOf& by = worked_[who.id];
        if (by.last == nullptr) by.amount = Money::zero(project_.currency);
        by.hours += hours;
        by.amount += amount;
        by.last = &step;
        return by;
    }

    void charge(const NetworkStep& step, const Money& amount) {
        const std::string module = step.module.empty() ? "work" : step.module;
        if (step.pieces.empty()) {
            out_.charges.push_back({{module, ""}, Category::labour, amount});
            return;
        }
        const std::vector<Decimal> even(step.pieces.size(), Decimal(1));
        const std::vector<Money> amounts = split(amount, even);
        for (std::size_t i = 0; i < amounts.size(); ++i)
            out_.charges.push_back({{module, step.pieces[i]}, Category::labour, amounts[i]});
    }

    void add_up(const Person& who, HoursOf& by) {
        const double hours = round_to(by.hours, 2);
        const double minimum =
            round_to(who.min_minutes / 60 * static_cast<double>(by.days.size()), 2);
        if (minimum > hours) {
            const Money rest = at_rate(who.rate, minimum - hours, 2);
            charge(*by.last, rest);
            by.amount += rest;
        }
        out_.hours.push_back(
            {who.id, who.title, hours, std::max(hours, minimum), who.rate, by.amount});
    }

    const Resolved& project_;
    std::map<std::string, HoursOf> worked_; // by person
    Money cost_;                            // of the step at hand
    Labour out_;
};

} // namespace

Labour labour_of(const Resolved& project, const WorkPlan& work) {
    Payroll payroll(project);
    for (std::size_t i = 0; i < work.steps.size(); ++i)
        payroll.add(work.steps[i], work.schedule.tasks[i]);
    return payroll.take();
}

} // namespace aumbry
