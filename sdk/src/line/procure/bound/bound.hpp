// A lower bound on the cost of all orders, by Lagrangian relaxation.
//
// The problem, with x_w = 1 when way w is taken, S(w) the suppliers of w, f_s what the whole order
// of supplier s costs:
//
//     min  sum_s f_s(x)
//     sum over the ways w of demand d of x_w = 1        for every demand d             (1)
//     a way is taken at all of its suppliers or at none: x_(w,s) = x_(w,s')            (2)
//
// (1) is relaxed with a multiplier lambda_d for each demand, (2) with one more between each two
// neighbouring suppliers of a way. The rest decomposes by supplier, and for every lambda
//
//     L(lambda) = sum_d lambda_d + sum_s min over the modes m of s of V(s, m)  <=  optimum.
//
// A mode is how an order is charged: none at all, services only, collected, delivered within a band
// of mass, in several loads, or free from a value on, each with or without something oversize. A
// minimum order, free delivery or a band ties the goods of a supplier together: sum a_c >= b. In a
// mode each of them is relaxed with a multiplier mu of its own, or kept exactly by a knapsack; the
// strongest counts:
//
//     V(s, m) = fixed_m + max over mu of
//               [ mu b + sum over groups g of min(0, min over c in g of rc(c) - mu a_c) ]
//     rc(c)   = cost of combination c - sum of the lambdas of the ways in it.
//
// A group holds the demands that buy the same sku of the supplier. Its combinations are priced
// together, so quantity breaks, minimum quantities and stock hold exactly there.
//
// lambda moves along the subgradient (1 - how often each demand is met), with the step length
// pace (target - L) / |g|^2. Afterwards ways and modes are fixed by reduced cost: what would lift L
// to the best known cost or above is taken out. Sources, from memory: Held and Karp, The
// traveling-salesman problem and minimum spanning trees II (1971), for the steps; Fisher, The
// Lagrangian relaxation method for solving integer programming problems (1981), for the rest.
//
// All of it is reckoned in doubles, minor units as whole numbers; see aumbry/procure.hpp for the
// limit that follows.
#pragma once

#include "aumbry/stop.hpp"
#include "line/procure/bound/relaxed_model.hpp"

namespace aumbry::procurement {

class Bound {
  public:
    Bound(const Model& model, const Pricer& pricer, std::optional<int> max_suppliers);

    [[nodiscard]] std::size_t way_count() const { return relaxed_.ways.size(); }
    /// Flat index of the first way of a demand; of demand n: one past the last.
    [[nodiscard]] std::size_t first_way(std::size_t demand) const {
        return relaxed_.first_way[demand];
    }
    [[nodiscard]] std::size_t demand_of(std::size_t flat) const {
        return relaxed_.ways[flat].demand;
    }
    /// Goods, services and cuts of a way at the least they can cost, in minor units.
    [[nodiscard]] double min_cost(std::size_t flat) const { return relaxed_.ways[flat].min_cost; }

    /// Multipliers to begin with: of each demand what it costs at least, and 0 between suppliers.
    [[nodiscard]] std::vector<double> first_lambda() const;
    [[nodiscard]] Domain full_domain() const;
    /// Takes out what cannot be; false when nothing is left.
    [[nodiscard]] bool propagate(Domain& domain) const;

    struct Result {
        double value = 0;
        std::vector<std::size_t> mode;   ///< by supplier: the mode in the best iteration
        std::vector<double> uncertainty; ///< by supplier: how evenly modes took turns, 0 to 1
        std::vector<double> frequency;   ///< by way: share of iterations in which it was taken
        std::int64_t work = 0;           ///< combinations valued, over modes and iterations
    };
    /// Moves lambda by up to `iterations` subgradient steps towards `target`, the best cost known;
    /// then takes out of the domain what cannot lead below it. The value is infinite when nothing
    /// can. Counts `work` at `stop`.
    [[nodiscard]] Result evaluate(Domain& domain, std::vector<double>& lambda, int iterations,
                                  double target, const Stop& stop) const;

  private:
    RelaxedModel relaxed_;
};

} // namespace aumbry::procurement
