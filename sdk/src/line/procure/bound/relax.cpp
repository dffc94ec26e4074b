#include "line/procure/bound/relax.hpp"

#include <algorithm>
#include <cmath>

namespace aumbry::procurement {

namespace {

/// For each total of the common offer of a group the best of what takes as much. One demand may be
/// held to a way or, without one, be left out.
struct Held {
    std::size_t demand = 0;
    std::optional<std::size_t> way;
};

void open_totals(const RelaxedModel& relaxed, const DemandGroup& group, const Domain& domain,
                 const std::vector<double>& lambda, const std::optional<Held>& held,
                 SupplierProblem& problem) {
    const std::size_t size = group.totals.size();
    std::vector<double> min(size, infinite);
    min[0] = 0;
    std::vector<double> next;
    // By demand and total: 0, or the item counted from 1.
    std::vector<std::vector<std::size_t>> taken;
    for (std::size_t d = 0; d < group.items.size(); ++d) {
        const bool is_held = held && held->demand == d;
        if (is_held && held->way)
            next.assign(size, infinite);
        else
            next = min;
        taken.emplace_back(size, 0);
        for (std::size_t i = 0; i < group.items[d].size(); ++i) {
            const DemandGroup::Item& item = group.items[d][i];
            if (domain.ways[item.part.flat] == 0 || (is_held && (!held->way || *held->way != i)))
                continue;
            const double cost = item.cost - relaxed.lambda_of(item.part, lambda);
            const auto count = static_cast<std::size_t>(item.count);
            for (std::size_t to = count; to < size; ++to) {
                if (min[to - count] + cost >= next[to]) continue;
                next[to] = min[to - count] + cost;
                taken[d][to] = i + 1;
            }
        }
        min.swap(next);
    }
    for (std::size_t total = 0; total < size; ++total) {
        if (min[total] == infinite || !group.totals[total]) continue;
        Combination combination = *group.totals[total];
        std::size_t left = total;
        for (std::size_t d = group.items.size(); d-- > 0;) {
            const std::size_t i = taken[d][left];
            if (i == 0) continue;
            combination.parts.push_back(group.items[d][i - 1].part);
            left -= static_cast<std::size_t>(group.items[d][i - 1].count);
        }
        if (combination.parts.empty()) continue;
        const double reduced_cost = min[total] + combination.cost;
        problem.made.push_back(std::move(combination));
        problem.candidates.push_back({reduced_cost, &problem.made.back()});
    }
}

/// The value of a mode with each constraint relaxed at the best mu found by halving.
ModeValue value_of(const SupplierProblem& problem, const OrderMode& mode) {
    double subgradient = 0;
    ModeValue best{value_at(problem, mode, nullptr, 0, subgradient, nullptr), nullptr, 0};
    if (best.value == infinite) return best;
    for (const OrderMode::Constraint& constraint : mode.constraints) {
        (void)value_at(problem, mode, &constraint, 0, subgradient, nullptr);
        if (subgradient <= 0) continue; // it holds by itself
        best.binding = true;
        double low = 0;
        double high = constraint.max_mu;
        for (int step = 0; step < 9; ++step) {
            const double mu = step == 0 ? high : (low + high) / 2;
            const double value = value_at(problem, mode, &constraint, mu, subgradient, nullptr);
            if (value > best.value) {
                best.value = value;
                best.relaxed = &constraint;
                best.mu = mu;
            }
            (subgradient > 0 ? low : high) = mu;
            if (low >= high) break;
        }
    }
    return best;
}

/// Keeps the constraints of a mode that do not hold by themselves exactly; the strongest counts.
void value_exactly(const SupplierProblem& problem, const OrderMode& mode, ModeValue& of) {
    for (const OrderMode::Constraint& constraint : mode.constraints) {
        const double value = value_by_knapsack(problem, mode, constraint, nullptr);
        if (value <= of.value) continue;
        of.value = value;
        of.exact = &constraint;
    }
    of.binding = false;
}

/// The mode of least value of a supplier that is used; its constraints are kept exactly, which may
/// make another the least.
double choose_mode(const RelaxedModel& relaxed, std::size_t s, std::uint32_t modes,
                   Relaxation& relaxation) {
    while (true) {
        double best = infinite;
        for (std::size_t m = 1; m < relaxed.modes[s].size(); ++m) {
            if ((modes >> m & 1U) == 0 || relaxation.values[s][m].value >= best) continue;
            best = relaxation.values[s][m].value;
            relaxation.mode[s] = m;
        }
        ModeValue& chosen = relaxation.values[s][relaxation.mode[s]];
        if (best == infinite || !chosen.binding || (best >= 0 && (modes & 1U) != 0)) return best;
        value_exactly(relaxation.suppliers[s], relaxed.modes[s][relaxation.mode[s]], chosen);
    }
}

/// The knapsack of value_by_knapsack: min reduced cost by steps reached, of mass rounded down, at
/// most all of them; of goods rounded up, where all of them and more count as all.
class StepKnapsack {
  public:
    static constexpr std::size_t steps = 100;

    StepKnapsack(bool by_mass, double step, bool traced)
        : by_mass_(by_mass), step_(step), traced_(traced), min_(steps + 1, infinite) {
        min_[0] = 0;
    }

    void begin_group() {
        next_ = min_;
        if (!traced_) return;
        trace_.emplace_back(steps + 1);
        for (std::size_t to = 0; to <= steps; ++to) trace_.back()[to].from = to;
    }

    void add(const Combination& combination, double cost) {
        const double exact = (by_mass_ ? combination.mass : combination.listed) / step_;
        const double rounded = by_mass_ ? std::floor(exact) : std::ceil(exact);
        if (by_mass_ && rounded > static_cast<double>(steps)) return;
        if (cost < nearest) {
            nearest = cost;
            nearest_at = &combination;
        }
        if (cost >= 0 && (by_mass_ || rounded <= 0)) return;
        const auto weight = static_cast<std::size_t>(std::min(rounded, static_cast<double>(steps)));
        for (std::size_t from = 0; from <= steps; ++from) {
            if (min_[from] == infinite) continue;
            if (by_mass_ && from + weight > steps) break;
            const std::size_t to = std::min(from + weight, steps);
            if (min_[from] + cost >= next_[to]) continue;
            next_[to] = min_[from] + cost;
            if (traced_) trace_.back()[to] = {&combination, from};
        }
    }

    void end_group() { min_.swap(next_); }

    [[nodiscard]] double min_cost(std::size_t reached) const { return min_[reached]; }

    void take(std::size_t reached, std::vector<const Combination*>& taken) const {
        for (std::size_t g = trace_.size(); g-- > 0;) {
            const Move& move = trace_[g][reached];
            if (move.combination) taken.push_back(move.combination);
            reached = move.from;
        }
    }

    double nearest = infinite; ///< the least reduced cost of one combination
    const Combination* nearest_at = nullptr;

  private:
    struct Move {
        const Combination* combination = nullptr;
        std::size_t from = 0;
    };
    bool by_mass_;
    double step_;
    bool traced_;
    std::vector<double> min_;
    std::vector<double> next_;
    std::vector<std::vector<Move>> trace_; // by group and step reached
};

} // namespace

bool allowed(const OrderMode& mode, const Combination& combination) {
    if (mode.kind == OrderMode::Kind::no_goods) return !combination.goods;
    return (mode.allows_oversize || !combination.oversize) &&
           (mode.delivers || !combination.must_be_delivered) && combination.mass <= mode.max_mass;
}

double coefficient(const Combination& combination, const OrderMode::Constraint* constraint) {
    if (!constraint) return 0;
    return constraint->by_mass ? -combination.mass : combination.listed;
}

double value_at(const SupplierProblem& problem, const OrderMode& mode,
                const OrderMode::Constraint* constraint, double mu, double& subgradient,
                std::vector<const Combination*>* taken) {
    double value = mode.fixed;
    subgradient = 0;
    if (constraint) {
        value += mu * constraint->min;
        subgradient = constraint->min;
    }
    double nearest = infinite;
    const Combination* nearest_at = nullptr;
    bool any = false;
    std::size_t at = 0;
    for (const std::size_t end : problem.ends) {
        double best = infinite;
        const Combination* best_at = nullptr;
        for (; at < end; ++at) {
            const SupplierProblem::Candidate& candidate = problem.candidates[at];
            const double cost =
                candidate.reduced_cost - mu * coefficient(*candidate.combination, constraint);
            if (cost >= best || !allowed(mode, *candidate.combination)) continue;
            best = cost;
            best_at = candidate.combination;
        }
        if (best < 0) {
            any = true;
            value += best;
            subgradient -= coefficient(*best_at, constraint);
            if (taken) taken->push_back(best_at);
        } else if (best < nearest) {
            nearest = best;
            nearest_at = best_at;
        }
    }
    if (!any) {
        value += nearest;
        if (nearest_at) {
            subgradient -= coefficient(*nearest_at, constraint);
            if (taken) taken->push_back(nearest_at);
        }
    }
    return value;
}

double value_by_knapsack(const SupplierProblem& problem, const OrderMode& mode,
                         const OrderMode::Constraint& constraint,
                         std::vector<const Combination*>* taken) {
    constexpr std::size_t steps = StepKnapsack::steps;
    const double step = std::abs(constraint.min) / static_cast<double>(steps);
    if (!(step > 0)) return -infinite;
    StepKnapsack knapsack(constraint.by_mass, step, taken != nullptr);
    std::size_t at = 0;
    for (const std::size_t end : problem.ends) {
        knapsack.begin_group();
        for (; at < end; ++at)
            if (allowed(mode, *problem.candidates[at].combination))
                knapsack.add(*problem.candidates[at].combination,
                             problem.candidates[at].reduced_cost);
        knapsack.end_group();
    }
    double best = infinite;
    std::size_t reached = 0;
    for (std::size_t to = constraint.hard && !constraint.by_mass ? steps : 0; to <= steps; ++to) {
        const double missing =
            constraint.by_mass ? 0 : constraint.min - static_cast<double>(to) * step;
        const double value =
            knapsack.min_cost(to) + (missing > 0 ? constraint.max_mu * missing : 0);
        if (value >= best) continue;
        best = value;
        reached = to;
    }
    if (constraint.by_mass && best >= 0) { // a supplier that is used meets at least one demand
        if (taken && knapsack.nearest_at) taken->push_back(knapsack.nearest_at);
        return mode.fixed + knapsack.nearest;
    }
    if (taken && best < infinite) knapsack.take(reached, *taken);
    return mode.fixed + best;
}

void open_supplier(const RelaxedModel& relaxed, std::size_t supplier, const Domain& domain,
                   const std::vector<double>& lambda, bool all, SupplierProblem& problem) {
    problem.made.clear();
    problem.candidates.clear();
    problem.ends.clear();
    problem.groups.clear();
    for (std::size_t g = 0; g < relaxed.groups[supplier].size(); ++g) {
        const DemandGroup& group = relaxed.groups[supplier][g];
        const std::size_t before = problem.candidates.size();
        for (const Combination& combination : group.combinations) {
            SupplierProblem::Candidate candidate{combination.cost, &combination};
            bool possible = true;
            for (const Part& part : combination.parts) {
                possible = possible && domain.ways[part.flat] != 0;
                candidate.reduced_cost -= relaxed.lambda_of(part, lambda);
            }
            if (possible) problem.candidates.push_back(candidate);
        }
        if (!group.items.empty()) {
            open_totals(relaxed, group, domain, lambda, std::nullopt, problem);
            for (std::size_t d = 0; all && d < group.items.size(); ++d) {
                open_totals(relaxed, group, domain, lambda, Held{d, std::nullopt}, problem);
                for (std::size_t w = 0; w < group.items[d].size(); ++w)
                    open_totals(relaxed, group, domain, lambda, Held{d, w}, problem);
            }
        }
        if (problem.candidates.size() == before) continue;
        problem.ends.push_back(problem.candidates.size());
        problem.groups.push_back(g);
    }
}

void relax(const RelaxedModel& relaxed, const Domain& domain, const std::vector<double>& lambda,
           bool all, Relaxation& relaxation) {
    relaxation.value = 0;
    for (std::size_t d = 0; d < relaxed.own_ways.size(); ++d) {
        double lowest = lambda[d];
        for (const std::size_t flat : relaxed.own_ways[d])
            if (domain.ways[flat] != 0) lowest = std::min(lowest, relaxed.ways[flat].min_cost);
        relaxation.value += lowest;
    }
    const std::size_t suppliers = relaxed.modes.size();
    relaxation.suppliers.resize(suppliers);
    relaxation.values.resize(suppliers);
    relaxation.mode.assign(suppliers, 0);
    struct Gain {
        double value;
        std::size_t supplier;
    };
    std::vector<Gain> may;
    int must = 0;
    for (std::size_t s = 1; s < suppliers; ++s) {
        open_supplier(relaxed, s, domain, lambda, all, relaxation.suppliers[s]);
        relaxation.values[s].assign(relaxed.modes[s].size(), {});
        for (std::size_t m = 1; m < relaxed.modes[s].size(); ++m) {
            if ((domain.modes[s] >> m & 1U) == 0) continue;
            relaxation.values[s][m] = value_of(relaxation.suppliers[s], relaxed.modes[s][m]);
            relaxation.work +=
                static_cast<std::int64_t>(relaxation.suppliers[s].candidates.size() + 1);
        }
        const double best = choose_mode(relaxed, s, domain.modes[s], relaxation);
        if ((domain.modes[s] & 1U) == 0) {
            relaxation.value += best;
            ++must;
        } else if (best < 0) {
            may.push_back({best, s});
        } else {
            relaxation.mode[s] = 0;
        }
    }
    std::size_t open_at_most = may.size();
    if (relaxed.max_suppliers) {
        if (must > *relaxed.max_suppliers) relaxation.value = infinite;
        open_at_most = std::min(
            open_at_most, static_cast<std::size_t>(std::max(*relaxed.max_suppliers - must, 0)));
        std::stable_sort(may.begin(), may.end(),
                         [](const Gain& a, const Gain& b) { return a.value < b.value; });
    }
    for (std::size_t i = 0; i < may.size(); ++i) {
        if (i < open_at_most)
            relaxation.value += may[i].value;
        else
            relaxation.mode[may[i].supplier] = 0;
    }
}

} // namespace aumbry::procurement
