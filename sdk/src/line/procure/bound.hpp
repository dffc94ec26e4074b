// A lower bound on the cost of all orders.
//
// Every demand is met once: that rule is set aside at a price for each demand (Lagrangian
// relaxation). What remains falls apart into suppliers, each in one of a few states: not used,
// collected, delivered within a band of mass or in several loads, free delivery reached, with or
// without something oversize. Least order, free delivery and bands of mass tie the goods of one
// supplier together; within a state each is set aside at a price of its own, the strongest counts.
// Demands that buy the same sku of a supplier are weighed together, so quantity breaks, least
// quantities and stock hold exactly there.
#pragma once

#include "line/procure/price.hpp"

#include <deque>

namespace aumbry::procurement {

/// A state of a supplier's order.
struct BoundState {
    enum class Kind { closed, no_goods, open };
    Kind kind = Kind::open;
    bool allows_oversize = true;
    double fixed = 0;
    double most_mass = 1e300; ///< kg, of the band
    /// A rule on the sum over the goods of `listed`, or of minus `mass`: at least so much.
    struct Rule {
        bool by_mass = false;
        double at_least = 0;
        double most_price = 0; ///< what missing one unit costs at most
        bool hard = false;     ///< the state is impossible when it cannot be met
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
    [[nodiscard]] std::size_t demand_of(std::size_t flat) const { return ways_[flat].demand; }
    /// Goods, services and cuts of a way at the least they can cost, in minor units.
    [[nodiscard]] double least(std::size_t flat) const { return ways_[flat].least; }

    /// Prices to begin with: of each demand what it costs at least, then those between parts of a
    /// way.
    [[nodiscard]] std::vector<double> first_prices() const;
    [[nodiscard]] Domain whole() const;
    /// Takes out what cannot be; false when nothing is left.
    [[nodiscard]] bool propagate(Domain& domain) const;

    struct Result {
        double value = 0;
        std::vector<std::size_t> state;  ///< by supplier: the state in the best iteration
        std::vector<double> uncertainty; ///< by supplier: how evenly states took turns, 0 to 1
        std::vector<double> often;       ///< by flat way: share of iterations in which it was taken
        std::int64_t work = 0;           ///< combinations valued, over states and iterations
    };
    /// Moves the prices of the demands by up to `iterations` steps towards `target`, the best cost
    /// known; then takes out of the domain what cannot lead below it. The value is infinite when
    /// nothing can.
    [[nodiscard]] Result evaluate(Domain& domain, std::vector<double>& prices, int iterations,
                                  double target) const;

  private:
    struct WayFigures {
        std::size_t demand = 0;
        double least = 0;
    };
    static constexpr std::size_t none = static_cast<std::size_t>(-1);
    /// What a way brings to one of its suppliers. It carries a share of the price of its demand;
    /// between the parts of one way further prices shift it from one to the next.
    struct Part {
        std::size_t flat = 0;
        double share = 1;
        std::size_t from_next = none;   ///< price that the next part gives to this one
        std::size_t to_previous = none; ///< price that this one gives to the part before
    };
    /// Ways of different demands together, as they meet at one supplier.
    struct Combination {
        double cost = 0;
        double listed = 0; ///< goods, in the supplier's minor units, at most
        double mass = 0;   ///< kg, at least
        bool goods = false;
        bool oversize = false;
        std::vector<Part> parts; ///< one a demand
    };
    /// Demands of which each may be met here or elsewhere; one combination of them is taken, or
    /// none. All combinations, or, where all of them buy one and the same offer, what each takes of
    /// it and what any total of it comes to.
    struct Bundle {
        std::vector<std::size_t> demands;
        std::vector<Combination> combinations;
        struct Item {
            Part part;
            std::int64_t count = 0;
            double cost = 0; ///< beside the common offer
        };
        std::vector<std::vector<Item>> items; ///< by entry of `demands`
        std::vector<std::optional<Combination>>
            totals; ///< by count; without parts; empty when there is not as much
    };
    /// A combination in a given domain at given prices.
    struct Open {
        double reduced = 0; ///< cost less the prices of its demands
        const Combination* combination = nullptr;
    };
    /// What is open at a supplier, bundle after bundle.
    struct Market {
        std::deque<Combination> made; ///< of bundles by total
        std::vector<Open> open;
        std::vector<std::size_t> ends; ///< one past the last of each bundle
        std::vector<std::size_t> bundles;
    };
    /// A state at given prices.
    struct Valued {
        double value = 0;
        const BoundState::Rule* rule = nullptr; ///< the strongest
        double price = 0;
        const BoundState::Rule* exact =
            nullptr;          ///< the rule that was counted out instead, if that says more
        bool binding = false; ///< some rule does not hold by itself
    };

    /// The relaxation at given prices.
    struct Relaxed {
        double value = 0;
        std::vector<Market> markets;             ///< by supplier
        std::vector<std::vector<Valued>> valued; ///< by supplier, state
        std::vector<std::size_t> state;          ///< by supplier: what is chosen
        std::int64_t work = 0;                   ///< over all relaxations so far
    };

    void read_ways(const Pricer& pricer);
    void read_bundles(const Pricer& pricer);
    void read_states(const Pricer& pricer);
    [[nodiscard]] const Way& model_way(std::size_t flat) const;
    [[nodiscard]] double price_of(const Part& part, const std::vector<double>& prices) const;
    [[nodiscard]] static bool allowed(const BoundState& state, const Combination& combination);
    [[nodiscard]] static double part_of(const Combination& combination,
                                        const BoundState::Rule* rule);
    /// With `all`, for every way the best combinations with it, and for every demand those without
    /// it; otherwise only what can be best.
    void open_market(std::size_t supplier, const Domain& domain, const std::vector<double>& prices,
                     bool all, Market& market) const;
    void open_totals(const Bundle& bundle, const Domain& domain, const std::vector<double>& prices,
                     std::optional<std::size_t> demand, std::optional<std::size_t> way,
                     Market& market) const;
    void relax(const Domain& domain, const std::vector<double>& prices, bool all,
               Relaxed& relaxed) const;
    [[nodiscard]] static double value_at(const Market& market, const BoundState& state,
                                         const BoundState::Rule* rule, double price, double& slope,
                                         std::vector<const Combination*>* taken);
    [[nodiscard]] static Valued value_of(const Market& market, const BoundState& state);
    /// As value_at, the rule kept by counting (in a hundred steps, rounded so that nothing possible
    /// is missed).
    [[nodiscard]] static double count_out(const Market& market, const BoundState& state,
                                          const BoundState::Rule& rule,
                                          std::vector<const Combination*>* taken);
    static void sharpen(const Market& market, const BoundState& state, Valued& valued);

    void fix(Domain& domain, const std::vector<double>& prices, double target,
             Relaxed& relaxed) const;

    const Model& model_;
    std::optional<int> most_suppliers_;
    std::vector<std::size_t> first_;
    std::vector<WayFigures> ways_;
    std::vector<std::vector<Part>> parts_; ///< by flat way, by entry of its suppliers
    std::size_t price_count_ = 0;
    std::vector<std::vector<std::size_t>> own_;   ///< by demand: ways without a supplier
    std::vector<std::vector<Bundle>> bundles_;    ///< by supplier
    std::vector<std::vector<BoundState>> states_; ///< by supplier; 0 is closed
    struct Stock {
        std::int64_t limit = 0;
        std::vector<std::size_t> demands;
        std::vector<std::pair<std::size_t, std::int64_t>> counts; ///< flat way, count; rising
    };
    std::vector<Stock> stocks_; ///< offers that several demands compete for
};

} // namespace aumbry::procurement
