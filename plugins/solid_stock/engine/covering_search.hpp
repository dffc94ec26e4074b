// The search behind `cover`: column generation, dives and refutation over one set of states.
//
// Patterns that pay come from a linear programme over those known so far (relaxation.cpp: column
// generation, Gilmore and Gomory 1961, from memory). Whole plans come from filling board after
// board and from fixing what the programme likes most (dive.cpp). That nothing is cheaper is shown
// by trying every board for the largest piece, or every purchase of less cost (refute.cpp). Doubles
// only propose; whole numbers prove.
#pragma once

#include "solid_stock/engine/covering.hpp"

#include <algorithm>
#include <limits>
#include <map>

namespace aumbry::solid_stock {

__extension__ using Wide = __int128;
using Numbers = std::vector<std::int64_t>;

inline constexpr std::int64_t ops_per_step = 1000;  // elementary operations in a step
inline constexpr std::int64_t search_step_ops = 28; // in a step of filling a board
inline constexpr std::int64_t none = std::numeric_limits<std::int64_t>::max();

/// a / b, rounded up.
[[nodiscard]] std::int64_t ceil_div(Wide a, Wide b);

/// What is still to be cut, from what, and what was paid so far.
struct State {
    Numbers left;  ///< pieces of each part
    Numbers limit; ///< boards of each stock; negative: no limit
    std::int64_t paid = 0;

    [[nodiscard]] bool finished() const;
};

using Used = std::vector<std::pair<Pattern, std::int64_t>>;

/// Whole-number prices that bound every plan: any pattern of stock s is worth at most
/// cost(s) x scale + rent[s], so a plan for `left` costs at least (value of left - rents) / scale.
struct Prices {
    Numbers part;
    Numbers rent;
    Numbers worth; ///< no pattern of stock s is worth more; 0 for stock that was not open
    std::int64_t scale = 1;
};

[[nodiscard]] Wide worth_scaled(const Prices& prices, const State& state);
[[nodiscard]] std::int64_t bound_of(const Prices& prices, const State& state);

/// What any purchase must satisfy: the boards bought are worth the parts wanted, by whatever
/// prices.
struct Cut {
    Numbers worth; ///< of a board of each stock
    Wide needed = 0;
};

/// The sums of costs that any number of boards can come to: a bound is lifted to the next of them.
class ReachableCosts {
  public:
    ReachableCosts() = default;
    ReachableCosts(const Numbers& costs, const Numbers& limits, std::int64_t up_to);

    /// The lowest possible sum that is not below `bound`.
    [[nodiscard]] std::int64_t lift(std::int64_t bound) const;

  private:
    static constexpr std::size_t max_sums = 50'000;
    Numbers sums_;
    std::int64_t step_ = 0;
    std::int64_t up_to_ = -1;
};

/// A solved linear programme of one state.
struct Relaxed {
    Prices prices;
    std::int64_t bound = 0; ///< of what is left to pay, not lifted
    bool hopeless = false;  ///< cannot lead to a plan better than the one known
    std::vector<Pattern> columns;
    std::vector<double> use;
};

class Search {
  public:
    enum class Answer { found, impossible, open };

    Search(const std::vector<CoverPart>& parts, const std::vector<CoverStock>& stocks,
           const PatternSource& source, std::int64_t effort, const Stop& stop);

    Cover run();

    /// Looks for a plan with no piece unmet from just the boards of the limits, all at no cost.
    Answer complete(const std::vector<Pattern>& pool);
    [[nodiscard]] const Used& best_used() const { return best_; }
    [[nodiscard]] Cut cut() const { return cut_of(root_prices_, start_); }
    [[nodiscard]] std::int64_t work() const { return work_; }

    /// Bounds what the cheapest plan costs, weighed; seeks no plan.
    std::int64_t run_bound() { return relax(start_, {}, true).bound; }
    [[nodiscard]] std::int64_t steps() const { return work_ / ops_per_step; }

  private:
    // covering.cpp
    void weigh_costs();
    void refuse_above(Wide sum) const;
    void find_alone();
    void choose_scale();
    void first_plan();
    [[nodiscard]] Cover told() const;
    void count(std::int64_t ops) {
        work_ += ops;
        stop_.step(ops);
    }
    void count(const PricedPattern& priced) { count(priced.steps * search_step_ops + 2000); }
    [[nodiscard]] bool stock_open(const State& state, std::size_t s) const {
        return state.limit[s] != 0;
    }
    [[nodiscard]] bool spent(std::int64_t until) const { return work_ >= until; }
    [[nodiscard]] bool done() const;
    [[nodiscard]] bool no_better(std::int64_t total) const {
        return reachable_.lift(total) >= best_cost_;
    }
    /// Any whole numbers make valid prices: large ones may be cut off.
    [[nodiscard]] std::int64_t whole_price(double price) const {
        return static_cast<std::int64_t>(std::min(price * scale_, static_cast<double>(max_price_)));
    }
    [[nodiscard]] Pattern clipped(const Pattern& pattern, const State& state) const;
    [[nodiscard]] std::int64_t fits_times(const Pattern& pattern, const State& state) const;
    void apply(const Pattern& pattern, std::int64_t copies, State& state) const;
    void offer(const State& state, const Used& used);

    // relaxation.cpp
    struct Programme;
    Relaxed relax(const State& state, const std::vector<Pattern>& pool, bool even_hopeless);
    Programme programme_of(const State& state, const std::vector<Pattern>& pool);
    Prices price_round(Programme& programme, int fineness, bool& improved);
    bool add_patterns(Programme& programme, std::size_t stock, int fineness, Prices& prices);
    void hand_on(const Programme& programme, Relaxed& relaxed) const;
    [[nodiscard]] Cut cut_of(Prices prices, const State& state) const;

    // dive.cpp
    void greedy(State state, Used used, std::vector<double> worth, std::int64_t rounds);
    [[nodiscard]] Pattern most_worth(const State& state, const std::vector<double>& worth);
    void dive(const State& state, Used& used, const std::vector<Pattern>& pool, int discrepancies,
              std::int64_t until);

    // refute.cpp
    bool exhaust(const State& state, Used& used, const std::vector<Pattern>& pool,
                 const Prices& inherited, std::int64_t until);
    using Children = std::vector<std::pair<std::int64_t, Pattern>>; // loss, pattern
    bool list_children(const State& state, std::size_t must, const Prices& prices,
                       Children& children);
    void settle_by_purchase(const std::vector<Pattern>& pool, std::int64_t until);
    bool list_purchases(const std::vector<Cut>& cuts, std::int64_t from, std::int64_t below,
                        std::vector<std::pair<std::int64_t, Numbers>>& listed) const;

    const std::vector<CoverPart>& parts_;
    const PatternSource& source_;
    Stop stop_;
    std::int64_t budget_;
    std::int64_t work_ = 0;

    Numbers costs_;   ///< as given
    Numbers weighed_; ///< cost x tie_ + 1: cost decides, then the number of boards
    std::int64_t pieces_ = 0;
    std::int64_t tie_ = 1;
    /// Weighed cost of a piece left uncut; 0: every piece finds a board.
    std::int64_t unmet_cost_ = 0;
    std::vector<Pattern> alone_; ///< by part: the pattern that holds it alone, without a limit
    std::vector<double> alone_cost_;
    std::int64_t max_price_ = 0;
    double scale_ = 1; ///< whole-number prices per unit of weighed cost

    State start_;
    ReachableCosts reachable_;
    Prices root_prices_;
    std::int64_t root_bound_ = 0;
    std::int64_t best_cost_ = none;
    Used best_;
    std::map<Numbers, std::int64_t> refuted_; ///< state -> most that could still be paid, in vain
    std::int64_t tie_budget_ = none;
};

} // namespace aumbry::solid_stock
