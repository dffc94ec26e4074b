// The relaxation L(lambda): each supplier at its cheapest mode.
#pragma once

#include "line/procure/bound/relaxed_model.hpp"

#include <deque>

namespace aumbry::procurement {

/// What is open at a supplier in a given domain, at a given lambda.
struct SupplierProblem {
    struct Candidate {
        double reduced_cost = 0; ///< cost less the lambdas of what it meets
        const Combination* combination = nullptr;
    };
    std::deque<Combination> made; ///< of groups by total
    std::vector<Candidate> candidates;
    std::vector<std::size_t> ends; ///< one past the last candidate of each group
    std::vector<std::size_t> groups;
};

/// V(s, m): a mode of a supplier at a given lambda.
struct ModeValue {
    double value = 0;
    const OrderMode::Constraint* relaxed = nullptr; ///< the strongest of those at a mu
    double mu = 0;
    /// The constraint that was kept exactly instead, where that says more.
    const OrderMode::Constraint* exact = nullptr;
    bool binding = false; ///< some constraint does not hold by itself
};

/// The relaxation at a given lambda.
struct Relaxation {
    double value = 0;
    std::vector<SupplierProblem> suppliers;
    std::vector<std::vector<ModeValue>> values; ///< by supplier, mode
    std::vector<std::size_t> mode;              ///< by supplier: what is chosen
    std::int64_t work = 0;                      ///< over all relaxations so far
};

[[nodiscard]] bool allowed(const OrderMode& mode, const Combination& combination);
/// a_c of a combination in a constraint; 0 without one.
[[nodiscard]] double coefficient(const Combination& combination,
                                 const OrderMode::Constraint* constraint);
/// The fixed charge of a mode and whatever pays to take, one constraint relaxed at `mu`; in
/// `subgradient` what that gains for each unit of mu. A supplier that is used meets at least one
/// demand.
[[nodiscard]] double value_at(const SupplierProblem& problem, const OrderMode& mode,
                              const OrderMode::Constraint* constraint, double mu,
                              double& subgradient, std::vector<const Combination*>* taken);
/// As value_at, the constraint kept by a knapsack (in a hundred steps, rounded so that nothing
/// possible is missed).
[[nodiscard]] double value_by_knapsack(const SupplierProblem& problem, const OrderMode& mode,
                                       const OrderMode::Constraint& constraint,
                                       std::vector<const Combination*>* taken);

/// With `all`, for every way the best combinations with it, and for every demand those without it;
/// otherwise only what can be best.
void open_supplier(const RelaxedModel& relaxed, std::size_t supplier, const Domain& domain,
                   const std::vector<double>& lambda, bool all, SupplierProblem& problem);

void relax(const RelaxedModel& relaxed, const Domain& domain, const std::vector<double>& lambda,
           bool all, Relaxation& relaxation);

} // namespace aumbry::procurement
