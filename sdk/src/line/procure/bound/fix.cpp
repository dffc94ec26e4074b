#include "line/procure/bound/fix.hpp"

#include <algorithm>
#include <map>

namespace aumbry::procurement {

namespace {

/// Suppliers that some demand cannot do without; nothing when a demand has no way left.
std::optional<std::vector<bool>> needed_suppliers(const RelaxedModel& relaxed,
                                                  const Domain& domain) {
    std::vector<bool> needed(relaxed.modes.size(), false);
    for (std::size_t d = 0; d + 1 < relaxed.first_way.size(); ++d) {
        std::vector<std::size_t> common;
        bool first = true;
        for (std::size_t flat = relaxed.first_way[d]; flat < relaxed.first_way[d + 1]; ++flat) {
            if (domain.ways[flat] == 0) continue;
            const Way& way = relaxed.way(flat);
            if (first)
                common = way.suppliers;
            else
                std::erase_if(common, [&](std::size_t s) {
                    return !std::binary_search(way.suppliers.begin(), way.suppliers.end(), s);
                });
            first = false;
        }
        if (first) return std::nullopt;
        for (const std::size_t s : common) needed[s] = true;
    }
    return needed;
}

/// Whether the goods left can reach what a mode demands of them.
bool reachable(const SupplierProblem& problem, const OrderMode& mode) {
    for (const OrderMode::Constraint& constraint : mode.constraints) {
        if (!constraint.hard || constraint.by_mass) continue;
        double sum = 0;
        std::size_t at = 0;
        for (const std::size_t end : problem.ends) {
            double highest = 0;
            for (; at < end; ++at)
                if (allowed(mode, *problem.candidates[at].combination))
                    highest = std::max(highest, problem.candidates[at].combination->listed);
            sum += highest;
        }
        if (sum + tiny < constraint.min) return false;
    }
    return true;
}

/// What the open modes of a supplier allow between them.
struct OpenModes {
    bool any = false;
    bool goods = false;
    bool oversize = false;
    bool delivers = false;
};

/// Calls `drop` with every way whose only part no open mode of the supplier allows.
template <class Drop>
void drop_excluded(const std::vector<DemandGroup>& groups, const OpenModes& open,
                   const Drop& drop) {
    if (open.any && open.goods && open.oversize && open.delivers) return;
    const auto excluded = [&](const Combination& combination) {
        return !open.any || (combination.goods && !open.goods) ||
               (combination.oversize && !open.oversize) ||
               (combination.must_be_delivered && !open.delivers);
    };
    for (const DemandGroup& group : groups) {
        for (const Combination& combination : group.combinations)
            if (combination.parts.size() == 1 && excluded(combination))
                drop(combination.parts.front().flat);
        for (const auto& of_demand : group.items)
            for (const DemandGroup::Item& item : of_demand) {
                const auto& total = group.totals[static_cast<std::size_t>(item.count)];
                if (!total || excluded(*total)) drop(item.part.flat);
            }
    }
}

/// Calls `drop` with every way that takes more of a stock than the others leave; false when the
/// stock does not suffice at all.
template <class Drop>
bool propagate_stock(const RelaxedModel& relaxed, const RelaxedModel::Stock& stock,
                     const Domain& domain, const Drop& drop) {
    // A demand with a way that leaves this stock alone need not take of it.
    std::map<std::size_t, std::int64_t> min_count;
    std::int64_t sum = 0;
    for (const std::size_t demand : stock.demands) {
        std::int64_t lowest = no_limit;
        for (std::size_t flat = relaxed.first_way[demand]; flat < relaxed.first_way[demand + 1];
             ++flat) {
            if (domain.ways[flat] == 0) continue;
            const auto found = std::lower_bound(stock.counts.begin(), stock.counts.end(),
                                                std::pair(flat, std::int64_t{0}));
            lowest = std::min(
                lowest, found == stock.counts.end() || found->first != flat ? 0 : found->second);
        }
        min_count[demand] = lowest;
        sum = std::min(sum + lowest, no_limit);
    }
    if (sum > stock.limit) return false;
    for (const auto& [flat, count] : stock.counts)
        if (domain.ways[flat] != 0 &&
            sum - min_count[relaxed.ways[flat].demand] + count > stock.limit)
            drop(flat);
    return true;
}

} // namespace

bool propagate(const RelaxedModel& relaxed, Domain& domain) {
    SupplierProblem problem;
    const std::vector<double> no_lambda(relaxed.multiplier_count, 0);
    for (bool changed = true; changed;) {
        changed = false;
        const auto drop = [&](std::size_t flat) {
            if (domain.ways[flat] == 0) return;
            domain.ways[flat] = 0;
            changed = true;
        };
        const std::optional<std::vector<bool>> needed = needed_suppliers(relaxed, domain);
        if (!needed) return false;
        for (std::size_t s = 1; s < relaxed.modes.size(); ++s) {
            std::uint32_t& modes = domain.modes[s];
            const std::uint32_t before = modes;
            if ((*needed)[s]) modes &= ~1U;
            open_supplier(relaxed, s, domain, no_lambda, false, problem);
            OpenModes open;
            for (std::size_t m = 1; m < relaxed.modes[s].size(); ++m) {
                if ((modes >> m & 1U) == 0) continue;
                const OrderMode& mode = relaxed.modes[s][m];
                if (!reachable(problem, mode)) {
                    modes &= ~(1U << m);
                    continue;
                }
                open.any = true;
                if (mode.kind == OrderMode::Kind::open) {
                    open.goods = true;
                    open.oversize = open.oversize || mode.allows_oversize;
                    open.delivers = open.delivers || mode.delivers;
                }
            }
            if (modes == 0) return false;
            changed = changed || modes != before;
            drop_excluded(relaxed.groups[s], open, drop);
        }
        for (const RelaxedModel::Stock& stock : relaxed.stocks)
            if (!propagate_stock(relaxed, stock, domain, drop)) return false;
    }
    return true;
}

namespace {

/// What the relaxation would cost with a way taken, a mode chosen or a demand met elsewhere.
class ReducedCosts {
  public:
    ReducedCosts(const RelaxedModel& relaxed, const Domain& domain, const Relaxation& relaxation)
        : relaxed_(relaxed), domain_(domain), relaxation_(relaxation),
          demands_(relaxed.model->demands.size()), without_(relaxed.modes.size()),
          with_(relaxed.modes.size()), losses_(demands_, 0) {
        for (std::size_t s = 1; s < relaxed.modes.size(); ++s) read_supplier(s);
    }

    [[nodiscard]] double chosen(std::size_t s) const {
        const std::size_t mode = relaxation_.mode[s];
        return mode == 0 ? 0.0 : relaxation_.values[s][mode].value;
    }

    /// What another mode of a supplier adds to L; nothing when that is not known.
    [[nodiscard]] std::optional<double> of_mode(std::size_t s, std::size_t mode) const {
        const double value = mode == 0 ? 0 : relaxation_.values[s][mode].value;
        if (relaxed_.max_suppliers && (relaxation_.mode[s] == 0 ? value < 0 : mode == 0))
            return std::nullopt;
        return value - chosen(s);
    }

    /// What taking a way adds to L; nothing when that is not known.
    [[nodiscard]] std::optional<double> of_way(std::size_t flat,
                                               const std::vector<double>& lambda) const {
        const std::size_t d = relaxed_.ways[flat].demand;
        double more = losses_[d];
        double own = 0; // what a way without a supplier gains
        for (const std::size_t other : relaxed_.own_ways[d])
            if (domain_.ways[other] != 0)
                own = std::min(own, relaxed_.ways[other].min_cost - lambda[d]);
        const auto& suppliers = relaxed_.way(flat).suppliers;
        if (suppliers.empty())
            more += relaxed_.ways[flat].min_cost - lambda[d] - own;
        else
            more -= own;
        bool known = true;
        for (const std::size_t s : suppliers) {
            const auto entry = with_[s].find(flat);
            if (entry == with_[s].end()) return known ? std::optional(infinite) : std::nullopt;
            if (relaxed_.max_suppliers && relaxation_.mode[s] == 0 && entry->second < 0)
                known = false;
            more += entry->second - chosen(s) - (without_[s][d] - chosen(s));
        }
        return known ? std::optional(more) : std::nullopt;
    }

  private:
    /// By demand the least value of a supplier that does not meet it.
    struct Without {
        std::vector<double> min;
        std::vector<bool> here;
    };

    void read_supplier(std::size_t s) {
        const bool may_close = (domain_.modes[s] & 1U) != 0;
        without_[s].assign(demands_, chosen(s));
        Without without{std::vector<double>(demands_, may_close ? 0 : infinite),
                        std::vector<bool>(demands_, false)};
        for (std::size_t m = 1; m < relaxed_.modes[s].size(); ++m)
            if ((domain_.modes[s] >> m & 1U) != 0 && relaxation_.values[s][m].value != infinite)
                read_mode(s, m, without);
        if (relaxed_.max_suppliers) return; // who is used depends on all of them: leave this out
        for (std::size_t d = 0; d < demands_; ++d) {
            if (!without.here[d] || without.min[d] == infinite) continue;
            without_[s][d] = std::max(chosen(s), without.min[d]);
            losses_[d] += without_[s][d] - chosen(s);
        }
    }

    void read_mode(std::size_t s, std::size_t m, Without& without) {
        const SupplierProblem& problem = relaxation_.suppliers[s];
        const OrderMode& mode = relaxed_.modes[s][m];
        const ModeValue& of = relaxation_.values[s][m];
        const auto cost_of = [&](std::size_t at) {
            return problem.candidates[at].reduced_cost -
                   of.mu * coefficient(*problem.candidates[at].combination, of.relaxed);
        };
        // The value before the rule that something must be taken, which what follows replaces.
        double sum = mode.fixed + (of.relaxed ? of.mu * of.relaxed->min : 0);
        std::vector<double> bests; // by group
        std::size_t at = 0;
        for (const std::size_t end : problem.ends) {
            double best = 0;
            for (; at < end; ++at)
                if (allowed(mode, *problem.candidates[at].combination))
                    best = std::min(best, cost_of(at));
            bests.push_back(best);
            sum += best;
        }
        at = 0;
        for (std::size_t g = 0; g < problem.ends.size(); ++g) {
            const DemandGroup& group = relaxed_.groups[s][problem.groups[g]];
            std::vector<double> elsewhere(group.demands.size(), 0);
            for (; at < problem.ends[g]; ++at) {
                const Combination& combination = *problem.candidates[at].combination;
                if (!allowed(mode, combination)) continue;
                const double cost = cost_of(at);
                const double value = std::max(sum - bests[g] + cost, of.value);
                for (const Part& part : combination.parts) {
                    const auto [entry, is_new] = with_[s].try_emplace(part.flat, value);
                    if (!is_new) entry->second = std::min(entry->second, value);
                }
                for (std::size_t i = 0; i < group.demands.size(); ++i)
                    if (!meets(combination, group.demands[i]))
                        elsewhere[i] = std::min(elsewhere[i], cost);
            }
            for (std::size_t i = 0; i < group.demands.size(); ++i) {
                const std::size_t d = group.demands[i];
                without.here[d] = true;
                without.min[d] =
                    std::min(without.min[d], std::max(sum - bests[g] + elsewhere[i], of.value));
            }
        }
    }

    [[nodiscard]] bool meets(const Combination& combination, std::size_t demand) const {
        return std::any_of(
            combination.parts.begin(), combination.parts.end(),
            [&](const Part& part) { return relaxed_.ways[part.flat].demand == demand; });
    }

    const RelaxedModel& relaxed_;
    const Domain& domain_;
    const Relaxation& relaxation_;
    std::size_t demands_;
    std::vector<std::vector<double>> without_;        // by supplier, demand
    std::vector<std::map<std::size_t, double>> with_; // by supplier: way taken -> least value
    std::vector<double> losses_; // by demand: what meeting it nowhere adds, over all suppliers
};

} // namespace

void fix(const RelaxedModel& relaxed, Domain& domain, const std::vector<double>& lambda,
         double target, Relaxation& relaxation) {
    relax(relaxed, domain, lambda, true, relaxation);
    const double room = target - 1 + tiny - relaxation.value;
    if (!(room > 0) || relaxation.value == infinite) return;
    const ReducedCosts costs(relaxed, domain, relaxation);
    for (std::size_t s = 1; s < relaxed.modes.size(); ++s)
        for (std::size_t m = 0; m < relaxed.modes[s].size(); ++m) {
            if ((domain.modes[s] >> m & 1U) == 0) continue;
            const std::optional<double> more = costs.of_mode(s, m);
            if (more && *more > room) domain.modes[s] &= ~(1U << m);
        }
    for (std::size_t flat = 0; flat < relaxed.ways.size(); ++flat) {
        if (domain.ways[flat] == 0) continue;
        const std::optional<double> more = costs.of_way(flat, lambda);
        if (more && *more > room) domain.ways[flat] = 0;
    }
}

} // namespace aumbry::procurement
