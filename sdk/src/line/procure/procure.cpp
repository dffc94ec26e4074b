#include "aumbry/procure.hpp"

#include "aumbry/plugin_host.hpp"
#include "line/procure/dates.hpp"
#include "line/procure/report.hpp"
#include "line/procure/search.hpp"

#include <algorithm>

namespace aumbry {

namespace {

using namespace procurement;

constexpr std::int64_t draft_work = 500'000;
constexpr std::int64_t normal_work = 10'000'000;
constexpr std::int64_t thorough_work = 120'000'000;

std::int64_t work_for(const std::string& effort) {
    if (effort == "draft") return draft_work;
    return effort == "thorough" ? thorough_work : normal_work;
}

/// A few milliseconds' work.
constexpr std::int64_t steps_between_questions = 1000;

/// A model and what the search made of it.
struct Solution {
    Model model;
    SearchResult result;
};

class Procurer {
  public:
    explicit Procurer(const ProcureProblem& problem)
        : problem_(problem), stop_(problem.cancelled, steps_between_questions) {
        if (!problem.finish && (problem.objective == Objective::earliest || problem.finish_by))
            fail("no-finish", {},
                 "an earliest finish or a finish date is asked for without a schedule",
                 "give the schedule's finish");
        model_ = build_model(problem, false);
        if (!can_be_met(model_)) {
            model_ = build_model(problem, true);
            if (!can_be_met(model_)) leave_out_what_stock_cannot_fill();
        }
        finish_.emplace(model_);
    }

    Procurement chosen() {
        Solution best = solve_objective();
        std::vector<contract::Finding> findings = std::move(extra_findings_);
        Procurement procurement = report(best.model, Pricer(best.model), best.result);
        procurement.findings.insert(procurement.findings.end(), findings.begin(), findings.end());
        return procurement;
    }

    std::vector<Procurement> by_finish() {
        if (!problem_.finish)
            fail("no-finish", {}, "costs by finish date are asked for without a schedule",
                 "give the schedule's finish");
        const std::vector<Date> dates = finish_dates(model_, *finish_);
        std::vector<Procurement> curve;
        std::optional<Date> by = problem_.finish_by;
        while (true) {
            std::optional<Solution> solution =
                by ? solve_by(*by, problem_.max_suppliers)
                   : std::optional(solve(model_, problem_.max_suppliers));
            if (!solution || !solution->result.found) break;
            Procurement step = report(solution->model, Pricer(solution->model), solution->result);
            const Date done = *step.finish;
            // An equal cost that is done sooner replaces the step before.
            if (!curve.empty() && step.cost == curve.back().cost) curve.pop_back();
            curve.push_back(std::move(step));
            const auto next = std::lower_bound(dates.begin(), dates.end(), done);
            if (next == dates.begin()) break;
            by = *std::prev(next);
        }
        return curve;
    }

    std::vector<Procurement> by_count() {
        std::vector<Procurement> curve;
        const Model* model = &model_;
        std::optional<Model> limited;
        if (problem_.finish_by) {
            limited = restricted(model_, *finish_, *problem_.finish_by);
            if (!limited) return curve;
            model = &*limited;
        }
        const int suppliers = static_cast<int>(model_.suppliers.size()) - 1;
        for (int count = min_suppliers(*model); count <= suppliers; ++count) {
            const Solution solution = solve(*model, count);
            if (solution.result.found &&
                (curve.empty() || solution.result.cost < curve.back().cost.minor()))
                curve.push_back(report(solution.model, Pricer(solution.model), solution.result));
            // Fewer orders than allowed: more would not save anything either.
            if (!curve.empty() && static_cast<int>(curve.back().orders.size()) < count) break;
        }
        return curve;
    }

  private:
    Solution solve(const Model& model, std::optional<int> max_suppliers) const {
        const Pricer pricer(model);
        return {model, search(model, pricer, {max_suppliers, work_for(problem_.effort), stop_})};
    }

    std::optional<Solution> solve_by(Date by, std::optional<int> max_suppliers) {
        std::optional<Model> model = restricted(model_, *finish_, by);
        if (!model) return std::nullopt;
        Solution solution = solve(*model, max_suppliers);
        if (!solution.result.found) return std::nullopt;
        return solution;
    }

    Solution earliest(std::optional<int> max_suppliers) {
        for (const Date by : finish_dates(model_, *finish_))
            if (std::optional<Solution> solution = solve_by(by, max_suppliers))
                return std::move(*solution);
        return solve(model_, max_suppliers);
    }

    Solution fewest(const Model& model) const {
        const int suppliers = static_cast<int>(model.suppliers.size()) - 1;
        for (int count = min_suppliers(model); count < suppliers; ++count)
            if (Solution solution = solve(model, count); solution.result.found) return solution;
        return solve(model, std::nullopt);
    }

    Solution solve_objective() {
        std::optional<int> most = problem_.max_suppliers;
        if (problem_.finish_by) {
            std::optional<Model> limited = restricted(model_, *finish_, *problem_.finish_by);
            if (limited && can_be_met(*limited)) return solve_within(*limited, most);
            Solution solution = earliest(std::nullopt);
            problem_finding("finish-too-early",
                            "Nothing that can be bought lets the job be done by " +
                                format_date(*problem_.finish_by) +
                                "; the earliest finish is bought instead. Allow more time, or add "
                                "suppliers or working hours.");
            return solution;
        }
        if (problem_.objective == Objective::earliest) {
            Solution solution = earliest(most);
            if (solution.result.found) return solution;
            return too_few(model_);
        }
        return solve_within(model_, most);
    }

    Solution solve_within(const Model& model, std::optional<int> most) {
        if (problem_.objective == Objective::fewest_suppliers) {
            Solution solution = fewest(model);
            if (!most || !solution.result.found || orders(solution) <= *most) return solution;
            return too_few(model);
        }
        if (problem_.objective == Objective::earliest) {
            Solution solution = earliest(most);
            if (solution.result.found) return solution;
        }
        Solution solution = solve(model, most);
        if (solution.result.found) return solution;
        return too_few(model);
    }

    static int orders(const Solution& solution) {
        std::vector<bool> used(solution.model.suppliers.size(), false);
        for (std::size_t d = 0; d < solution.model.demands.size(); ++d)
            for (const std::size_t s :
                 solution.model.demands[d].ways[solution.result.ways[d]].suppliers)
                used[s] = true;
        return static_cast<int>(std::count(used.begin(), used.end(), true));
    }

    Solution too_few(const Model& model) {
        Solution solution = fewest(model);
        problem_finding("too-few-suppliers", "Not every demand can be met with " +
                                                 std::to_string(*problem_.max_suppliers) +
                                                 " orders; the fewest that can are " +
                                                 std::to_string(orders(solution)) +
                                                 ". Allow as many.");
        return solution;
    }

    void problem_finding(std::string code, std::string text) {
        extra_findings_.push_back(
            {contract::Severity::problem, std::move(code), "", std::move(text)});
    }

    // Only stock, over all demands, can stand in the way.
    bool can_be_met(const Model& model) const {
        const Pricer pricer(model);
        return search(model, pricer, {std::nullopt, 1, stop_}).found;
    }

    void leave_out_what_stock_cannot_fill() {
        const Pricer pricer(model_);
        Assignment assignment(model_, pricer);
        std::vector<bool> met(model_.demands.size(), false);
        for (std::size_t d = 0; d < model_.demands.size(); ++d) {
            for (std::size_t w = 0; w < model_.demands[d].ways.size() && !met[d]; ++w) {
                assignment.set(d, w);
                met[d] = assignment.cost() != no_limit;
            }
            if (!met[d]) {
                assignment.set(d, Assignment::none);
                model_.unmet.push_back(
                    {model_.demands[d].terms->id, "stock does not suffice for all that need it"});
            }
        }
        std::size_t at = 0;
        std::erase_if(model_.demands, [&](const Demand&) { return !met[at++]; });
    }

    const ProcureProblem& problem_;
    Stop stop_;
    Model model_;
    std::optional<FinishOfArrival> finish_;
    std::vector<contract::Finding> extra_findings_;
};

/// What is given up here is the whole call.
template <class Work>
auto unless_cancelled(const Work& work) {
    try {
        return work();
    } catch (const Cancelled&) {
        throw CallCancelled{};
    }
}

} // namespace

Procurement procure(const ProcureProblem& problem) {
    return unless_cancelled([&] { return Procurer(problem).chosen(); });
}

std::vector<Procurement> cost_by_finish(const ProcureProblem& problem) {
    return unless_cancelled([&] { return Procurer(problem).by_finish(); });
}

std::vector<Procurement> cost_by_supplier_count(const ProcureProblem& problem) {
    return unless_cancelled([&] { return Procurer(problem).by_count(); });
}

} // namespace aumbry
