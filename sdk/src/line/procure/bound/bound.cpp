#include "line/procure/bound/bound.hpp"

#include "line/procure/bound/fix.hpp"

#include <algorithm>

namespace aumbry::procurement {

namespace {

/// A cost from here on is none: nothing has been found yet.
constexpr double unknown_cost = 1e17;

/// The subgradient method: what it has seen so far.
class Ascent {
  public:
    Ascent(const RelaxedModel& relaxed, const Domain& domain)
        : relaxed_(relaxed), domain_(domain), gaps_(relaxed.multiplier_count),
          turns_(relaxed.modes.size()) {
        for (std::size_t s = 0; s < turns_.size(); ++s)
            turns_[s].assign(relaxed.modes[s].size(), 0);
        frequency_.assign(relaxed.ways.size(), 0);
    }

    /// Counts what the solution at this lambda takes; the subgradient is in `gaps` then.
    void count(const Relaxation& relaxation, const std::vector<double>& lambda, double weight) {
        std::fill(gaps_.begin(), gaps_.end(), 0.0);
        weights_ += weight;
        for (std::size_t d = 0; d < relaxed_.own_ways.size(); ++d) {
            gaps_[d] += 1;
            double lowest = lambda[d];
            std::size_t at = relaxed_.ways.size();
            for (const std::size_t flat : relaxed_.own_ways[d])
                if (domain_.ways[flat] != 0 && relaxed_.ways[flat].min_cost < lowest) {
                    lowest = relaxed_.ways[flat].min_cost;
                    at = flat;
                }
            if (at == relaxed_.ways.size()) continue;
            gaps_[d] -= 1;
            frequency_[at] += weight;
        }
        for (std::size_t s = 1; s < turns_.size(); ++s) {
            turns_[s][relaxation.mode[s]] += weight;
            if (relaxation.mode[s] != 0) count_supplier(relaxation, s, weight);
        }
    }

    /// One step up; false when the solution meets every demand just once.
    bool step(std::vector<double>& lambda, double length) const {
        double norm = 0;
        for (const double gap : gaps_) norm += gap * gap;
        if (norm < 1e-9) return false;
        const double step = length / norm;
        for (std::size_t i = 0; i < gaps_.size(); ++i) lambda[i] += step * gaps_[i];
        return true;
    }

    void tell(Bound::Result& result) {
        const double weights = std::max(weights_, 1.0);
        for (double& of : frequency_) of /= weights;
        result.frequency = std::move(frequency_);
        for (std::size_t s = 1; s < turns_.size(); ++s)
            result.uncertainty[s] =
                std::max(0.0, 1 - *std::max_element(turns_[s].begin(), turns_[s].end()) / weights);
    }

  private:
    void count_supplier(const Relaxation& relaxation, std::size_t s, double weight) {
        const OrderMode& mode = relaxed_.modes[s][relaxation.mode[s]];
        const ModeValue& of = relaxation.values[s][relaxation.mode[s]];
        taken_.clear();
        double subgradient = 0;
        if (of.exact)
            (void)value_by_knapsack(relaxation.suppliers[s], mode, *of.exact, &taken_);
        else
            (void)value_at(relaxation.suppliers[s], mode, of.relaxed, of.mu, subgradient, &taken_);
        for (const Combination* combination : taken_)
            for (const Part& part : combination->parts) {
                gaps_[relaxed_.ways[part.flat].demand] -= part.share;
                if (part.from_next != no_multiplier) gaps_[part.from_next] -= 1;
                if (part.to_previous != no_multiplier) gaps_[part.to_previous] += 1;
                frequency_[part.flat] += weight * part.share;
            }
    }

    const RelaxedModel& relaxed_;
    const Domain& domain_;
    std::vector<double> gaps_;               // by multiplier: what moving it up by one would gain
    std::vector<std::vector<double>> turns_; // by supplier, mode
    std::vector<double> frequency_;
    std::vector<const Combination*> taken_;
    double weights_ = 0;
};

} // namespace

Bound::Bound(const Model& model, const Pricer& pricer, std::optional<int> max_suppliers) {
    relaxed_.model = &model;
    relaxed_.max_suppliers = max_suppliers;
    read_ways(relaxed_, pricer);
    read_groups(relaxed_, pricer);
    read_modes(relaxed_, pricer);
}

std::vector<double> Bound::first_lambda() const {
    std::vector<double> lambda(relaxed_.multiplier_count, 0);
    for (std::size_t d = 0; d < relaxed_.own_ways.size(); ++d) {
        lambda[d] = infinite;
        for (std::size_t flat = first_way(d); flat < first_way(d + 1); ++flat)
            lambda[d] = std::min(lambda[d], min_cost(flat));
    }
    return lambda;
}

Domain Bound::full_domain() const {
    Domain domain;
    domain.ways.assign(relaxed_.ways.size(), 1);
    for (const auto& modes : relaxed_.modes) domain.modes.push_back((1U << modes.size()) - 1);
    return domain;
}

bool Bound::propagate(Domain& domain) const {
    return procurement::propagate(relaxed_, domain);
}

Bound::Result Bound::evaluate(Domain& domain, std::vector<double>& lambda, int iterations,
                              double target, const Stop& stop) const {
    Result result;
    result.value = -infinite;
    result.mode.assign(relaxed_.modes.size(), 0);
    result.uncertainty.assign(relaxed_.modes.size(), 0);
    std::vector<double> best_lambda = lambda;
    Ascent ascent(relaxed_, domain);
    Relaxation relaxation;
    const bool known = target < unknown_cost;
    double pace = 1;
    int since = 0;
    for (int iteration = 0; iteration < iterations; ++iteration) {
        relax(relaxed_, domain, lambda, false, relaxation);
        stop.step(1 + relaxation.work - result.work);
        result.work = relaxation.work;
        if (relaxation.value > result.value) {
            since = 0;
            result.value = relaxation.value;
            best_lambda = lambda;
            result.mode = relaxation.mode;
        } else if (++since >= 6) {
            pace /= 2;
            since = 0;
            if (pace < 0.01) break;
            lambda = best_lambda;
            continue;
        }
        if (result.value > target - 1 + tiny) {
            result.value = infinite;
            result.frequency.assign(relaxed_.ways.size(), 0);
            return result;
        }
        ascent.count(relaxation, lambda, 1 + iteration); // late iterations tell more
        const double aim = known ? target : result.value * 1.05 + 1;
        if (!ascent.step(lambda, pace * (aim - relaxation.value))) break;
    }
    lambda = best_lambda;
    ascent.tell(result);
    if (known) fix(relaxed_, domain, lambda, target, relaxation);
    return result;
}

} // namespace aumbry::procurement
