// A lower bound on the cost of all orders.
//
// Every demand is met once: that rule is set aside at a price for each demand (Lagrangian
// relaxation). What remains falls apart into suppliers, each in one of a few states: not used,
// collected, delivered within a band of mass, free delivery reached, with or without something
// oversize. Least order, free delivery and bands of mass tie the goods of one supplier together;
// within a state each is set aside at a price of its own, the strongest counts.
#pragma once

#include "procure_price.hpp"

namespace aumbry::procurement {

/// A way as the bound sees it. Money in minor units.
struct BoundWay {
    double least = 0; ///< goods, services, cuts at the least they can cost, whatever else is bought
    double listed = 0; ///< goods as listed by the supplier, at most
    double mass = 0;   ///< kg, at least
    bool goods = false;
    bool oversize = false;
    std::size_t demand = 0;
};

/// A state of a supplier's order.
struct BoundState {
    enum class Kind { closed, no_goods, open };
    Kind kind = Kind::open;
    bool allows_oversize = true;
    double fixed = 0;
    /// A rule on the sum of `listed` (by_mass: of mass) over the goods: sum >= at_least, or sum <=
    /// at_most.
    struct Rule {
        bool by_mass = false;
        double at_least = 0; ///< by mass: minus the mass at most
        double most_price = 0;
        bool hard = false; ///< the state is impossible when it cannot be met
    };
    std::vector<Rule> rules;
};

/// What is still open at a point of the search.
struct Domain {
    std::vector<std::uint8_t> ways;    ///< by flat way index
    std::vector<std::uint32_t> states; ///< by supplier: bit set of states
};

class Bound {
  public:
    Bound(const Model& model, const Pricer& pricer, std::optional<int> most_suppliers);

    [[nodiscard]] std::size_t way_count() const { return ways_.size(); }
    /// Flat index of the first way of a demand; of demand n: one past the last.
    [[nodiscard]] std::size_t first_way(std::size_t demand) const { return first_[demand]; }
    [[nodiscard]] const BoundWay& way(std::size_t flat) const { return ways_[flat]; }
    [[nodiscard]] const Way& model_way(std::size_t flat) const;
    [[nodiscard]] const std::vector<BoundState>& states(std::size_t supplier) const {
        return states_[supplier];
    }

    [[nodiscard]] Domain whole() const;
    /// Takes out what cannot be; false when nothing is left.
    [[nodiscard]] bool propagate(Domain& domain) const;

    struct Result {
        double value = 0;
        std::vector<std::size_t> state; ///< by supplier: the state in the best iteration
        std::vector<double>
            uncertainty; ///< by supplier: how evenly states took turns, times what is at stake
        std::vector<double> often; ///< by flat way: share of iterations in which it was taken
    };
    /// Raises the prices of the demands by up to `iterations` steps towards `target`, the best cost
    /// known; then takes out of the domain what cannot lead below it. The value is infinite when
    /// nothing can.
    [[nodiscard]] Result evaluate(Domain& domain, std::vector<double>& prices, int iterations,
                                  double target) const;

  private:
    struct Entry { // a way of one supplier
        std::size_t flat = 0;
        std::size_t demand = 0;
        double least = 0;
        double listed = 0;
        double mass = 0;
        bool goods = false;
        bool oversize = false;
    };
    struct Valued { // a state at given prices
        double value = 0;
        double price = 0; ///< of its strongest rule
        int rule = -1;
    };

    void read_ways(const Pricer& pricer);
    void read_states(const Pricer& pricer);
    [[nodiscard]] double state_sum(std::size_t supplier, const BoundState& state,
                                   const Domain& domain, const std::vector<double>& prices,
                                   const BoundState::Rule* rule, double price, double& slope,
                                   std::vector<double>* reduced,
                                   std::vector<std::size_t>* taken) const;
    [[nodiscard]] Valued value_state(std::size_t supplier, const BoundState& state,
                                     const Domain& domain, const std::vector<double>& prices) const;
    [[nodiscard]] static double fixed_value(const BoundState& state, const Valued& valued);
    void fix(Domain& domain, const std::vector<double>& prices, double target) const;
    [[nodiscard]] double relax(const Domain& domain, const std::vector<double>& prices,
                               std::vector<std::vector<Valued>>& valued,
                               std::vector<std::size_t>& state) const;

    const Model& model_;
    std::optional<int> most_suppliers_;
    std::vector<std::size_t> first_;
    std::vector<BoundWay> ways_;
    std::vector<std::vector<Entry>>
        entries_; ///< by supplier, by demand: ways of this supplier alone
    std::vector<std::vector<std::size_t>>
        loose_;                   ///< by demand: ways of none or of several suppliers
    std::vector<bool> has_loose_; ///< by supplier: part of a way of several
    std::vector<std::vector<BoundState>> states_; ///< by supplier; 0 is closed
    struct Stock {
        std::int64_t limit;
        std::vector<std::pair<std::size_t, std::int64_t>> counts; ///< flat way, count; by demand
    };
    std::vector<Stock> stocks_; ///< offers that several demands compete for
};

} // namespace aumbry::procurement
