#include "solid_stock/engine/covering.hpp"

#include "aumbry/fault.hpp"

#include <algorithm>
#include <functional>
#include <limits>
#include <map>
#include <numeric>

namespace aumbry::solid_stock {
namespace {

__extension__ using Wide = __int128;
using Numbers = std::vector<std::int64_t>;

constexpr std::int64_t ops_per_step = 1000;  // elementary operations in a step
constexpr std::int64_t search_step_ops = 28; // elementary operations in a step of filling a board
constexpr std::int64_t none = std::numeric_limits<std::int64_t>::max();

std::int64_t ceil_div(Wide a, Wide b) {
    return static_cast<std::int64_t>(a >= 0 ? (a + b - 1) / b : -((-a) / b));
}

/// What is still to be cut, from what, and what was paid so far.
struct State {
    Numbers left;  ///< pieces of each part
    Numbers limit; ///< boards of each stock; negative: no limit
    std::int64_t paid = 0;

    [[nodiscard]] bool finished() const {
        return std::all_of(left.begin(), left.end(), [](std::int64_t n) { return n == 0; });
    }
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

/// What any purchase must satisfy: the boards bought are worth the parts wanted, by whatever
/// prices.
struct Cut {
    Numbers worth; ///< of a board of each stock
    Wide needed = 0;
};

Wide worth_scaled(const Prices& prices, const State& state) {
    Wide sum = 0;
    for (std::size_t i = 0; i < state.left.size(); ++i) sum += Wide{prices.part[i]} * state.left[i];
    for (std::size_t s = 0; s < state.limit.size(); ++s)
        if (state.limit[s] > 0) sum -= Wide{prices.rent[s]} * state.limit[s];
    return sum;
}

std::int64_t bound_of(const Prices& prices, const State& state) {
    return std::max<std::int64_t>(0, ceil_div(worth_scaled(prices, state), prices.scale));
}

/// The sums of costs that any number of boards can come to: a bound is lifted to the next of them.
class Totals {
  public:
    Totals() = default;
    Totals(const Numbers& costs, const Numbers& limits, std::int64_t up_to) : up_to_(up_to) {
        for (const std::int64_t cost : costs) step_ = std::gcd(step_, cost);
        std::vector<std::pair<std::int64_t, std::int64_t>>
            kinds; // cost, limit (summed over equals)
        for (std::size_t s = 0; s < costs.size(); ++s) kinds.emplace_back(costs[s], limits[s]);
        std::sort(kinds.begin(), kinds.end());
        sums_ = {0};
        for (const auto& [cost, limit] : kinds) {
            if (cost == 0) continue;
            Numbers more;
            for (const std::int64_t sum : sums_) {
                std::int64_t total = sum;
                for (std::int64_t k = 0; total <= up_to && (limit < 0 || k <= limit);
                     ++k, total += cost) {
                    more.push_back(total);
                    if (more.size() > 4 * most_sums) break;
                }
                if (more.size() > 4 * most_sums) break;
            }
            std::sort(more.begin(), more.end());
            more.erase(std::unique(more.begin(), more.end()), more.end());
            if (more.size() > most_sums) { // too many to list: the common divisor must do
                sums_.clear();
                return;
            }
            sums_ = std::move(more);
        }
    }

    /// The least possible total that is not below `bound`.
    [[nodiscard]] std::int64_t lift(std::int64_t bound) const {
        if (bound > up_to_) return bound;
        if (sums_.empty()) return step_ > 1 ? ceil_div(bound, step_) * step_ : bound;
        const auto at = std::lower_bound(sums_.begin(), sums_.end(), bound);
        return at == sums_.end() ? up_to_ + 1 : *at;
    }

  private:
    static constexpr std::size_t most_sums = 50'000;
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
           const PatternSource& source, std::int64_t effort)
        : parts_(parts), source_(source), budget_(effort * ops_per_step) {
        for (const CoverStock& stock : stocks) {
            costs_.push_back(stock.cost);
            start_.limit.push_back(stock.limit < 0 ? -1 : stock.limit);
        }
        for (const CoverPart& part : parts) start_.left.push_back(part.count);
        weigh_costs();
    }

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
    void weigh_costs();
    void choose_scale();
    [[nodiscard]] Cut cut_of(Prices prices, const State& state) const;
    void settle_by_purchase(const std::vector<Pattern>& pool, std::int64_t until);
    bool list_purchases(const std::vector<Cut>& cuts, std::int64_t from, std::int64_t below,
                        std::vector<std::pair<std::int64_t, Numbers>>& listed) const;
    [[nodiscard]] bool stock_open(const State& state, std::size_t s) const {
        return state.limit[s] != 0;
    }
    [[nodiscard]] bool spent(std::int64_t until) const { return work_ >= until; }
    [[nodiscard]] bool done() const;
    [[nodiscard]] bool no_better(std::int64_t total) const {
        return totals_.lift(total) >= best_cost_;
    }

    /// Any whole numbers make valid prices: large ones may be cut off.
    [[nodiscard]] std::int64_t whole_price(double price) const {
        return static_cast<std::int64_t>(
            std::min(price * scale_, static_cast<double>(most_price_)));
    }
    [[nodiscard]] Pattern clipped(const Pattern& pattern, const State& state) const;
    [[nodiscard]] std::int64_t fits_times(const Pattern& pattern, const State& state) const;
    void apply(const Pattern& pattern, std::int64_t copies, State& state) const;
    void offer(const State& state, const Used& used);

    Relaxed relax(const State& state, const std::vector<Pattern>& pool, bool even_hopeless);
    void greedy(State state, Used used, std::vector<double> worth, std::int64_t rounds);
    void dive(const State& state, Used& used, const std::vector<Pattern>& pool, int discrepancies,
              std::int64_t until);
    bool exhaust(const State& state, Used& used, const std::vector<Pattern>& pool,
                 const Prices& inherited, std::int64_t until);

    const std::vector<CoverPart>& parts_;
    const PatternSource& source_;
    std::int64_t budget_;
    std::int64_t work_ = 0;

    Numbers costs_;   ///< as given
    Numbers weighed_; ///< cost x tie_ + 1: cost decides, then the number of boards
    std::int64_t tie_ = 1;
    std::int64_t unmet_cost_ =
        0; ///< weighed cost of a piece left uncut; 0: every piece finds a board
    std::vector<Pattern>
        alone_; ///< for each part: the pattern that holds it alone, without a limit
    std::vector<double> alone_cost_;
    std::int64_t most_price_ = 0;
    double scale_ = 1; ///< whole-number prices per unit of weighed cost

    State start_;
    Totals totals_;
    Prices root_prices_;
    std::int64_t root_bound_ = 0;
    std::int64_t best_cost_ = none;
    Used best_;
    std::map<Numbers, std::int64_t> refuted_; ///< state -> most that could still be paid, in vain
    std::int64_t tie_budget_ = none;
};

/// Folds the number of boards into the cost as tie-breaker, and finds a price for what stays uncut.
void Search::weigh_costs() {
    std::int64_t pieces = 0;
    for (const CoverPart& part : parts_) pieces += part.count;
    const std::int64_t dearest = *std::max_element(costs_.begin(), costs_.end());
    tie_ = pieces + 1;                                   // above any number of boards
    constexpr std::int64_t most = std::int64_t{1} << 60; // sums of weighed costs stay below this
    const auto refuse_above = [&](Wide sum) {
        if (sum > most)
            fail("order-too-large", {},
                 "an order of " + std::to_string(pieces) + " pieces from boards that cost up to " +
                     std::to_string(dearest) + " minor units is too large to plan",
                 "split the order, or give the cost in larger units");
    };
    refuse_above((Wide{dearest} * tie_ + 1) * tie_);
    for (const std::int64_t cost : costs_) weighed_.push_back(cost * tie_ + 1);

    const Numbers one(parts_.size(), 1);
    std::vector<bool> homeless(parts_.size(), true);
    alone_.resize(parts_.size());
    alone_cost_.resize(parts_.size());
    for (std::size_t i = 0; i < parts_.size(); ++i) {
        Numbers only(parts_.size(), 0), most_of(parts_.size(), 0);
        only[i] = 1;
        most_of[i] = parts_[i].count;
        for (std::size_t s = 0; s < costs_.size(); ++s) {
            if (start_.limit[s] >= 0) continue;
            const PricedPattern priced = source_.best(s, only, most_of, 0);
            work_ += priced.steps * search_step_ops + 2000;
            if (priced.takes.empty()) continue;
            const double each =
                static_cast<double>(weighed_[s]) / static_cast<double>(priced.takes[0].count);
            const double before =
                alone_cost_[i] /
                (homeless[i] ? 1.0 : static_cast<double>(alone_[i].takes[0].count));
            if (homeless[i] || each < before) {
                homeless[i] = false;
                alone_[i] = {s, priced.takes};
                alone_cost_[i] = static_cast<double>(weighed_[s]);
            }
        }
    }
    if (std::any_of(homeless.begin(), homeless.end(), [](bool h) { return h; })) {
        // More than all the boards that any plan could buy: fewer uncut pieces always win.
        unmet_cost_ = 1;
        for (std::size_t s = 0; s < weighed_.size(); ++s) {
            const std::int64_t count =
                start_.limit[s] < 0 ? pieces : std::min(start_.limit[s], pieces);
            refuse_above(Wide{unmet_cost_} + Wide{weighed_[s]} * count);
            unmet_cost_ += weighed_[s] * count;
        }
        refuse_above(Wide{unmet_cost_} * tie_);
    }
    for (std::size_t i = 0; i < parts_.size(); ++i)
        if (homeless[i]) {
            alone_[i] = {Pattern::unmet, {Take{i, 1}}};
            alone_cost_[i] = static_cast<double>(unmet_cost_);
        }
    choose_scale();
}

/// As fine as whole-number prices can be.
void Search::choose_scale() {
    most_price_ = (std::int64_t{1} << 60) / tie_; // the value of any board stays within 62 bits
    const double ceiling = 281474976710656.0;     // 2^48
    const double dearest = static_cast<double>(*std::max_element(weighed_.begin(), weighed_.end()));
    const double largest = std::max(static_cast<double>(unmet_cost_), 64.0 * dearest);
    scale_ = std::max(1.0, static_cast<double>(static_cast<std::int64_t>(ceiling / largest)));
}

bool Search::done() const {
    const std::int64_t lifted = totals_.lift(root_bound_);
    if (lifted >= best_cost_) return true;
    // The cost itself is proven; only the tie-breaker is open, and that is worth only so much.
    return lifted / tie_ >= best_cost_ / tie_ && work_ > tie_budget_;
}

Pattern Search::clipped(const Pattern& pattern, const State& state) const {
    Pattern clip{pattern.stock, {}};
    for (const Take& take : pattern.takes) {
        const std::int64_t count = std::min(take.count, state.left[take.part]);
        if (count > 0) clip.takes.push_back({take.part, count});
    }
    return clip;
}

/// How often the pattern can be used whole.
std::int64_t Search::fits_times(const Pattern& pattern, const State& state) const {
    std::int64_t times = none;
    for (const Take& take : pattern.takes)
        times = std::min(times, state.left[take.part] / take.count);
    if (pattern.stock != Pattern::unmet && state.limit[pattern.stock] >= 0)
        times = std::min(times, state.limit[pattern.stock]);
    return times == none ? 0 : times;
}

void Search::apply(const Pattern& pattern, std::int64_t copies, State& state) const {
    for (const Take& take : pattern.takes)
        state.left[take.part] =
            std::max<std::int64_t>(0, state.left[take.part] - take.count * copies);
    if (pattern.stock == Pattern::unmet) {
        state.paid += unmet_cost_ * copies;
        return;
    }
    if (state.limit[pattern.stock] >= 0) state.limit[pattern.stock] -= copies;
    state.paid += weighed_[pattern.stock] * copies;
}

void Search::offer(const State& state, const Used& used) {
    if (state.paid >= best_cost_) return;
    best_cost_ = state.paid;
    best_ = used;
}

/// Solves the linear programme of a state by adding patterns as they pay. A state that cannot lead
/// to a better plan is left as soon as that shows, unless its bound is wanted all the same.
Relaxed Search::relax(const State& state, const std::vector<Pattern>& pool, bool even_hopeless) {
    // Only the parts still wanted get a row.
    std::vector<std::size_t> part_of;
    std::vector<std::size_t> row_of(parts_.size(), 0);
    Numbers demand;
    for (std::size_t i = 0; i < parts_.size(); ++i)
        if (state.left[i] > 0) {
            row_of[i] = part_of.size();
            part_of.push_back(i);
            demand.push_back(state.left[i]);
        }
    const auto to_rows = [&](Pattern pattern) {
        for (Take& take : pattern.takes) take.part = row_of[take.part];
        return pattern;
    };
    std::vector<Pattern> start;
    std::vector<double> start_cost;
    for (const std::size_t i : part_of) {
        start.push_back(to_rows(clipped(alone_[i], state)));
        start_cost.push_back(alone_cost_[i]);
    }
    Master master(demand, state.limit, start, start_cost);
    work_ += static_cast<std::int64_t>(20'000 + 200 * pool.size() + 400 * part_of.size());
    for (const Pattern& pattern : pool) {
        if (pattern.stock != Pattern::unmet && !stock_open(state, pattern.stock)) continue;
        Pattern clip = clipped(pattern, state);
        if (clip.takes.empty()) continue;
        const double cost = clip.stock == Pattern::unmet
                                ? static_cast<double>(unmet_cost_)
                                : static_cast<double>(weighed_[clip.stock]);
        master.add(to_rows(std::move(clip)), cost);
    }

    // At first a longer piece may stand in for the next shorter one, which holds the prices
    // together while few patterns are known. Such stand-ins are priced out before the end.
    std::vector<std::size_t> stand_ins;
    if (source_.next_fits_in_place())
        for (std::size_t r = 0; r + 1 < part_of.size(); ++r)
            stand_ins.push_back(master.add({Pattern::unmet, {Take{r, -1}, Take{r + 1, 1}}}, 0.0));

    Relaxed relaxed;
    relaxed.bound = -1;
    const auto scale = static_cast<std::int64_t>(scale_);
    std::int64_t counted = 0;
    Numbers values(parts_.size(), 0);
    // Near-best patterns will do as long as they still pay: within 2^-fineness of a board's cost.
    constexpr int coarsest = 5, finest = 23;
    int fineness = coarsest;
    for (int round = 0; round < 4000; ++round) {
        master.optimise(20'000);
        work_ += master.work() - counted;
        counted = master.work();

        for (std::size_t r = 0; r < part_of.size(); ++r) {
            double price = std::max(0.0, master.part_price(r));
            if (unmet_cost_ > 0) price = std::min(price, static_cast<double>(unmet_cost_));
            values[part_of[r]] = whole_price(price);
        }
        Prices prices{values, Numbers(costs_.size(), 0), Numbers(costs_.size(), 0), scale};
        Numbers& upper = prices.worth;
        bool improved = false;
        for (std::size_t s = 0; s < costs_.size(); ++s) {
            if (!stock_open(state, s)) continue;
            const std::int64_t worth = weighed_[s] * scale;
            const auto rent =
                static_cast<std::int64_t>(std::max(0.0, -master.stock_price(s)) * scale_);
            const PricedPattern priced = source_.best(s, values, state.left, worth >> fineness);
            work_ += priced.steps * search_step_ops + 2000;
            upper[s] = priced.upper;
            const auto pays = [&](std::int64_t value) {
                return value > worth + rent + (worth >> 30) + 1;
            };
            const auto add = [&](const std::vector<Take>& takes) {
                master.add(to_rows({s, takes}), static_cast<double>(weighed_[s]));
                improved = true;
            };
            if (pays(priced.value)) add(priced.takes);
            for (const std::vector<Take>& takes : priced.earlier) {
                std::int64_t value = 0;
                for (const Take& take : takes) value += values[take.part] * take.count;
                if (pays(value)) add(takes);
            }
            // More patterns of other parts: where there are many parts, one pattern tells little.
            Numbers others = values;
            PricedPattern more = priced;
            for (std::size_t extra = 0; extra < part_of.size() / 16 && pays(more.value); ++extra) {
                for (const Take& take : more.takes) others[take.part] = 0;
                more = source_.best(s, others, state.left, worth >> 5);
                work_ += more.steps * search_step_ops + 2000;
                if (pays(more.value)) add(more.takes);
            }
            if (state.limit[s] < 0)
                prices.scale = std::max(prices.scale, ceil_div(priced.upper, weighed_[s]));
        }
        for (std::size_t s = 0; s < costs_.size(); ++s)
            if (state.limit[s] > 0)
                prices.rent[s] = static_cast<std::int64_t>(
                    std::max<Wide>(0, Wide{upper[s]} - Wide{weighed_[s]} * prices.scale));
        const std::int64_t bound = bound_of(prices, state);
        if (bound > relaxed.bound) {
            relaxed.bound = bound;
            relaxed.prices = std::move(prices);
        }
        if (!even_hopeless && no_better(state.paid + relaxed.bound)) {
            relaxed.hopeless = true;
            return relaxed;
        }
        if (spent(budget_)) break;
        // When the programme's value would be lifted to the same total, its end would tell no more.
        const double value = master.objective() * (1.0 - 1e-9);
        if (value < 9e15 && totals_.lift(state.paid + static_cast<std::int64_t>(value) + 1) <=
                                totals_.lift(state.paid + relaxed.bound))
            fineness = finest;
        else if (improved)
            continue;
        if (fineness < finest) {
            fineness += 6;
            continue;
        }
        if (stand_ins.empty()) break;
        const double dear =
            2.0 * static_cast<double>(*std::max_element(weighed_.begin(), weighed_.end()));
        master.set_cost(stand_ins, dear);
        stand_ins.clear();
        fineness = coarsest;
    }
    relaxed.hopeless = no_better(state.paid + relaxed.bound);

    // Hand on what is in use, then what nearly pays.
    const std::vector<double> use = master.use();
    std::vector<std::pair<double, std::size_t>> order;
    for (std::size_t c = 0; c < use.size(); ++c)
        if (master.columns()[c].takes[0].count > 0)
            order.emplace_back(use[c] > 0 ? -use[c] : std::max(0.0, master.reduced_cost(c)), c);
    std::sort(order.begin(), order.end());
    const std::size_t keep = std::min(order.size(), 6 * part_of.size() + 30);
    for (std::size_t k = 0; k < keep; ++k) {
        Pattern pattern = master.columns()[order[k].second];
        for (Take& take : pattern.takes) take.part = part_of[take.part];
        relaxed.columns.push_back(std::move(pattern));
        relaxed.use.push_back(std::max(0.0, use[order[k].second]));
    }
    return relaxed;
}

/// Board after board, each filled with what is worth most; what ends up in wasteful boards is worth
/// more in the next round.
void Search::greedy(State state, Used used, std::vector<double> worth, std::int64_t rounds) {
    const State begin = state;
    const std::size_t kept = used.size();
    for (std::int64_t round = 0; round < rounds && !done(); ++round) {
        if (spent(budget_) && best_cost_ != none) return; // a first plan is always made
        state = begin;
        used.resize(kept);
        std::vector<double> next = worth;
        while (!state.finished() && state.paid < best_cost_) {
            Numbers values(parts_.size(), 0);
            for (std::size_t i = 0; i < parts_.size(); ++i)
                if (state.left[i] > 0) values[i] = std::max<std::int64_t>(1, whole_price(worth[i]));
            Pattern pick{Pattern::unmet, {}};
            Wide pick_value = 0;
            for (std::size_t s = 0; s < costs_.size(); ++s) {
                if (!stock_open(state, s)) continue;
                PricedPattern priced = source_.best(
                    s, values, state.left, weighed_[s] * static_cast<std::int64_t>(scale_) >> 30);
                work_ += priced.steps * search_step_ops + 2000;
                if (priced.takes.empty()) continue;
                // value / cost, compared without dividing
                if (pick.takes.empty() ||
                    Wide{priced.value} * weighed_[pick.stock] > pick_value * weighed_[s]) {
                    pick = {s, std::move(priced.takes)};
                    pick_value = priced.value;
                }
            }
            if (pick.takes.empty()) { // nothing left to cut it from
                if (unmet_cost_ == 0) break;
                for (std::size_t i = 0; i < parts_.size(); ++i)
                    if (state.left[i] > 0) {
                        pick = {Pattern::unmet, {Take{i, 1}}};
                        break;
                    }
            }
            const std::int64_t copies = fits_times(pick, state);
            if (pick.stock != Pattern::unmet) {
                double size = 0;
                for (const Take& take : pick.takes)
                    size += static_cast<double>(parts_[take.part].size) *
                            static_cast<double>(take.count);
                for (const Take& take : pick.takes) {
                    const double fair = static_cast<double>(weighed_[pick.stock]) *
                                        static_cast<double>(parts_[take.part].size) / size;
                    next[take.part] = (next[take.part] * 3 + fair) / 4;
                }
            }
            used.emplace_back(pick, copies);
            apply(pick, copies, state);
        }
        if (state.finished()) offer(state, used);
        worth = std::move(next);
    }
}

/// Fixes what the linear programme likes most, solves again, and so on to the bottom;
/// `discrepancies` times on the way something else than the favourite is taken.
void Search::dive(const State& state, Used& used, const std::vector<Pattern>& pool,
                  int discrepancies, std::int64_t until) {
    if (state.finished()) {
        offer(state, used);
        return;
    }
    if (spent(until) || done()) return;
    const Relaxed relaxed = relax(state, pool, false);
    if (relaxed.hopeless) return;
    {
        std::vector<double> worth(parts_.size());
        for (std::size_t i = 0; i < parts_.size(); ++i)
            worth[i] = static_cast<double>(relaxed.prices.part[i]) / scale_;
        greedy(state, used, worth, 2);
    }
    if (done() || relaxed.hopeless) return;

    const std::size_t kept = used.size();
    State fixed = state;
    for (std::size_t c = 0; c < relaxed.columns.size(); ++c) {
        const auto whole = static_cast<std::int64_t>(relaxed.use[c] + 0.02);
        const std::int64_t copies = std::min(whole, fits_times(relaxed.columns[c], fixed));
        if (copies <= 0) continue;
        used.emplace_back(relaxed.columns[c], copies);
        apply(relaxed.columns[c], copies, fixed);
    }
    if (used.size() > kept) {
        dive(fixed, used, relaxed.columns, discrepancies, until);
        used.resize(kept);
        return;
    }
    // Columns come in order of use: the first are the favourites.
    int taken = 0;
    for (std::size_t c = 0; c < relaxed.columns.size() && taken <= discrepancies; ++c) {
        if (relaxed.use[c] < 0.01) break;
        if (fits_times(relaxed.columns[c], state) == 0) continue;
        State child = state;
        used.emplace_back(relaxed.columns[c], 1);
        apply(relaxed.columns[c], 1, child);
        dive(child, used, relaxed.columns, discrepancies - taken, until);
        used.resize(kept);
        ++taken;
        if (spent(until) || done()) return;
    }
}

/// Tries every board that can hold the largest piece left, unless a bound says that it cannot lead
/// to a better plan. True: everything was tried, there is none better than the best known.
bool Search::exhaust(const State& state, Used& used, const std::vector<Pattern>& pool,
                     const Prices& inherited, std::int64_t until) {
    if (state.finished()) {
        offer(state, used);
        return true;
    }
    if (no_better(state.paid + bound_of(inherited, state))) return true;
    Numbers key = state.left;
    key.insert(key.end(), state.limit.begin(), state.limit.end());
    if (const auto known = refuted_.find(key);
        known != refuted_.end() && best_cost_ - state.paid <= known->second)
        return true;
    if (spent(until) || !source_.can_list()) return false;

    const Relaxed relaxed = relax(state, pool, false);
    bool complete = true;
    if (!relaxed.hopeless) {
        std::size_t must = parts_.size();
        for (std::size_t i = 0; i < parts_.size(); ++i)
            if (state.left[i] > 0 && (must == parts_.size() || parts_[i].size > parts_[must].size))
                must = i;

        // A plan better than the best known can only use patterns whose loss fits into the gap.
        const Prices& prices = relaxed.prices;
        const Wide gap =
            Wide{best_cost_ - 1 - state.paid} * prices.scale - worth_scaled(prices, state);
        std::vector<std::pair<std::int64_t, Pattern>> children; // loss, pattern
        for (std::size_t s = 0; s < costs_.size(); ++s) {
            if (!stock_open(state, s)) continue;
            const Wide dues =
                Wide{weighed_[s]} * prices.scale + (state.limit[s] > 0 ? prices.rent[s] : 0);
            const Wide least = dues - gap;
            std::vector<Pattern> listed;
            std::int64_t steps = 0;
            if (!source_.list(s, must, prices.part, state.left,
                              static_cast<std::int64_t>(std::max<Wide>(least, 0)), 4000, 200'000,
                              listed, steps))
                complete = false;
            work_ += steps * search_step_ops;
            for (Pattern& pattern : listed) {
                Wide value = 0;
                for (const Take& take : pattern.takes)
                    value += Wide{prices.part[take.part]} * take.count;
                children.emplace_back(static_cast<std::int64_t>(dues - value), std::move(pattern));
            }
        }
        if (unmet_cost_ > 0)
            children.emplace_back(
                static_cast<std::int64_t>(Wide{unmet_cost_} * prices.scale - prices.part[must]),
                Pattern{Pattern::unmet, {Take{must, 1}}});
        std::stable_sort(children.begin(), children.end(),
                         [](const auto& a, const auto& b) { return a.first < b.first; });
        for (const auto& [loss, pattern] : children) {
            if (done()) return false;
            State child = state;
            used.emplace_back(pattern, 1);
            apply(pattern, 1, child);
            if (!exhaust(child, used, relaxed.columns, prices, until)) complete = false;
            used.pop_back();
            if (!complete && spent(until)) return false;
        }
    }
    if (complete) {
        auto& known = refuted_[key];
        known = std::max(known, best_cost_ - state.paid);
    }
    return complete;
}

/// The cut that prices imply. Stock that was closed when they were found is valued now.
Cut Search::cut_of(Prices prices, const State& state) const {
    Cut cut{std::move(prices.worth), 0};
    for (std::size_t s = 0; s < costs_.size(); ++s)
        if (state.limit[s] == 0) cut.worth[s] = source_.best(s, prices.part, state.left, 0).upper;
    for (std::size_t i = 0; i < parts_.size(); ++i)
        cut.needed += Wide{prices.part[i]} * state.left[i];
    return cut;
}

Search::Answer Search::complete(const std::vector<Pattern>& pool) {
    std::int64_t boards = 0;
    for (const std::int64_t limit : start_.limit) boards += limit;
    best_cost_ = boards + 1;
    // Even a small fraction of a piece unmet must show in the bound.
    if (unmet_cost_ < (std::int64_t{1} << 40)) unmet_cost_ *= 4096;
    for (std::size_t i = 0; i < parts_.size(); ++i)
        if (alone_[i].stock == Pattern::unmet) alone_cost_[i] = static_cast<double>(unmet_cost_);
    choose_scale();
    Relaxed root = relax(start_, pool, true);
    root_prices_ = root.prices;
    if (root.hopeless) return Answer::impossible;
    Used used;
    const auto found = [&] { return best_cost_ <= boards; };
    std::int64_t slice = budget_ / 16;
    for (int discrepancies = 0; !found() && !spent(budget_); ++discrepancies) {
        if (discrepancies > 2 && !source_.can_list()) break;
        dive(start_, used, root.columns, discrepancies, std::min(budget_, work_ + slice));
        if (found()) break;
        if (exhaust(start_, used, root.columns, root_prices_, std::min(budget_, work_ + slice)) &&
            !found())
            return Answer::impossible;
        slice = std::min(2 * slice, budget_);
    }
    return found() ? Answer::found : Answer::open;
}

/// Lists what could be bought for a cost in [from, below), cheapest first, that no cut forbids.
/// Boards at no cost are all taken along. False when there are too many.
bool Search::list_purchases(const std::vector<Cut>& cuts, std::int64_t from, std::int64_t below,
                            std::vector<std::pair<std::int64_t, Numbers>>& listed) const {
    std::int64_t pieces = 0;
    for (const CoverPart& part : parts_) pieces += part.count;
    std::vector<std::size_t> paid;
    Numbers bought(costs_.size(), 0);
    std::vector<double> have(cuts.size(), 0.0), needed(cuts.size());
    for (std::size_t s = 0; s < costs_.size(); ++s) {
        const std::int64_t most = start_.limit[s] < 0 ? pieces : std::min(start_.limit[s], pieces);
        if (costs_[s] > 0) {
            if (most > 0) paid.push_back(s);
            continue;
        }
        bought[s] = most;
        for (std::size_t c = 0; c < cuts.size(); ++c)
            have[c] += static_cast<double>(cuts[c].worth[s]) * static_cast<double>(most);
    }
    // Dear boards first; the tolerance is far above what rounding can do and far below a piece's
    // worth.
    std::stable_sort(paid.begin(), paid.end(),
                     [&](std::size_t a, std::size_t b) { return costs_[a] > costs_[b]; });
    for (std::size_t c = 0; c < cuts.size(); ++c)
        needed[c] = static_cast<double>(cuts[c].needed) * (1.0 - 1e-12);
    std::vector<std::vector<double>> ratio(cuts.size(), std::vector<double>(paid.size() + 1, 0.0));
    for (std::size_t c = 0; c < cuts.size(); ++c)
        for (std::size_t k = paid.size(); k-- > 0;)
            ratio[c][k] = std::max(ratio[c][k + 1], static_cast<double>(cuts[c].worth[paid[k]]) /
                                                        static_cast<double>(costs_[paid[k]]));
    constexpr std::size_t most_listed = 4000;
    std::int64_t steps = 0;
    const auto go = [&](const auto& self, std::size_t k, std::int64_t cost) -> bool {
        if (++steps > 2'000'000) return false;
        for (std::size_t c = 0; c < cuts.size(); ++c)
            if (have[c] + static_cast<double>(below - 1 - cost) * ratio[c][k] * (1.0 + 1e-12) <
                needed[c])
                return true;
        if (k == paid.size()) {
            if (cost < from) return true;
            if (listed.size() >= most_listed) return false;
            listed.emplace_back(cost, bought);
            return true;
        }
        const std::size_t s = paid[k];
        const std::int64_t most = start_.limit[s] < 0 ? pieces : std::min(start_.limit[s], pieces);
        bool complete = true;
        std::int64_t n = 0;
        for (; complete && n <= most && cost + n * costs_[s] < below; ++n) {
            bought[s] = n;
            complete = self(self, k + 1, cost + n * costs_[s]);
            for (std::size_t c = 0; c < cuts.size(); ++c)
                have[c] += static_cast<double>(cuts[c].worth[s]);
        }
        for (std::size_t c = 0; c < cuts.size(); ++c)
            have[c] -= static_cast<double>(cuts[c].worth[s]) * static_cast<double>(n);
        bought[s] = 0;
        return complete;
    };
    if (!go(go, 0, 0)) return false;
    std::stable_sort(listed.begin(), listed.end());
    return true;
}

/// What is bought fixes what is paid. So purchases are taken cheapest first, and each is asked only
/// whether the parts can be cut from it; a purchase that linear prices refute refutes others with
/// it.
void Search::settle_by_purchase(const std::vector<Pattern>& pool, std::int64_t until) {
    std::int64_t pieces = 0;
    for (const CoverPart& part : parts_) pieces += part.count;
    std::vector<Cut> cuts{cut_of(root_prices_, start_)};
    Prices lengths{Numbers(parts_.size()), {}, Numbers(costs_.size()), 1};
    for (std::size_t i = 0; i < parts_.size(); ++i) lengths.part[i] = parts_[i].size;
    for (std::size_t s = 0; s < costs_.size(); ++s)
        lengths.worth[s] = source_.best(s, lengths.part, start_.left, 0).upper;
    cuts.push_back(cut_of(lengths, start_));

    std::vector<std::pair<std::int64_t, Numbers>> purchases;
    std::int64_t best_paid = 0;
    for (const auto& [pattern, copies] : best_) {
        if (pattern.stock == Pattern::unmet) return; // boards run out: cost is not what decides
        best_paid += costs_[pattern.stock] * copies;
    }
    if (!list_purchases(cuts, totals_.lift(root_bound_) / tie_, best_paid, purchases)) return;
    std::vector<Numbers> refuted;
    bool open = false;
    for (const auto& [cost, bought] : purchases) {
        if (spent(until)) return;
        const auto too_little = [&](const Cut& cut) {
            Wide have = 0;
            for (std::size_t s = 0; s < bought.size(); ++s) have += Wide{cut.worth[s]} * bought[s];
            return have < cut.needed;
        };
        if (std::any_of(cuts.begin(), cuts.end(), too_little)) continue;
        if (std::any_of(refuted.begin(), refuted.end(), [&](const Numbers& more) {
                return std::equal(bought.begin(), bought.end(), more.begin(), std::less_equal<>());
            }))
            continue;
        std::vector<CoverStock> given;
        for (const std::int64_t count : bought) given.push_back({0, count});
        Search packing(parts_, given, source_,
                       std::max<std::int64_t>(1, (until - work_) / 4 / ops_per_step));
        const Answer answer = packing.complete(pool);
        work_ += packing.work();
        if (answer == Answer::open) {
            open = true;
            continue;
        }
        if (answer == Answer::impossible) {
            cuts.push_back(packing.cut());
            refuted.push_back(bought);
            continue;
        }
        State state = start_;
        for (const auto& [pattern, copies] : packing.best_used()) apply(pattern, copies, state);
        offer(state, packing.best_used());
        break;
    }
    // All that costs less than the best is refuted, unless something was left open.
    if (!open) root_bound_ = std::max(root_bound_, best_cost_ / tie_ * tie_);
}

Cover Search::run() {
    // A first plan by size alone, then the linear programme, then plans led by its prices.
    std::vector<double> worth(parts_.size());
    std::int64_t largest = 1;
    for (const CoverPart& part : parts_) largest = std::max(largest, part.size);
    for (std::size_t i = 0; i < parts_.size(); ++i) {
        const double size = static_cast<double>(parts_[i].size) / static_cast<double>(largest);
        worth[i] = size * (1.0 + 0.05 * size) * static_cast<double>(weighed_[0]) + 1e-3;
    }
    totals_ = Totals{};
    root_bound_ = 0;
    greedy(start_, {}, worth, 4);
    std::vector<Pattern> pool;
    for (const auto& [pattern, copies] : best_) pool.push_back(pattern);

    Numbers limits = start_.limit;
    totals_ = unmet_cost_ > 0 ? Totals{} : Totals(weighed_, limits, best_cost_);
    Relaxed root = relax(start_, pool, true);
    root_prices_ = root.prices;
    root_bound_ = root.bound;
    tie_budget_ = work_ + budget_ / 8;

    if (!done()) {
        for (std::size_t i = 0; i < parts_.size(); ++i)
            worth[i] = static_cast<double>(root.prices.part[i]) / scale_ + 1e-3;
        greedy(start_, {}, worth, 10);
    }
    // Small orders are often settled outright; large ones by diving first.
    Used used;
    std::int64_t slice = budget_ / 64;
    if (!done()) dive(start_, used, root.columns, 0, std::min(budget_, work_ + 4 * slice));
    if (!done() && costs_.size() > 1)
        settle_by_purchase(root.columns, std::min(budget_, work_ + budget_ / 2));
    bool exhausted = false;
    for (int discrepancies = costs_.size() > 1 ? 1 : 0; !done() && !exhausted && !spent(budget_);
         ++discrepancies) {
        if (discrepancies > 6 && !source_.can_list())
            break; // by now the dives only repeat themselves
        const std::int64_t before = work_;
        dive(start_, used, root.columns, discrepancies, std::min(budget_, work_ + 4 * slice));
        if (done() || spent(budget_)) break;
        exhausted =
            exhaust(start_, used, root.columns, root_prices_, std::min(budget_, work_ + slice));
        slice = std::min(2 * slice, budget_);
        // A round that finds little to do still counts, so that rounds come to an end.
        work_ = std::max(work_, before + budget_ / 256 + 1);
    }
    if (exhausted) root_bound_ = best_cost_;

    Cover result;
    result.unmet.assign(parts_.size(), 0);
    State state = start_;
    std::int64_t unmet = 0;
    for (const auto& [pattern, copies] : best_)
        for (std::int64_t c = 0; c < copies;) {
            // Pieces cut beyond the count are left off the plan, so copies may come to differ.
            Pattern clip = clipped(pattern, state);
            if (clip.takes.empty()) break;
            const std::int64_t same =
                std::min(copies - c, std::max<std::int64_t>(1, fits_times(clip, state)));
            apply(clip, same, state);
            c += same;
            if (clip.stock == Pattern::unmet) {
                result.unmet[clip.takes[0].part] += same;
                unmet += same;
                continue;
            }
            result.cost += costs_[clip.stock] * same;
            result.boards += same;
            const auto at = std::find_if(result.patterns.begin(), result.patterns.end(),
                                         [&](const auto& p) { return p.first == clip; });
            if (at != result.patterns.end())
                at->second += same;
            else
                result.patterns.emplace_back(std::move(clip), same);
        }
    const std::int64_t lifted = std::min(totals_.lift(root_bound_), best_cost_);
    if (unmet == 0) {
        result.cost_bound = std::min(result.cost, lifted / tie_);
        result.proven = result.cost_bound == result.cost;
    } else {
        result.cost_bound = 0;
        result.proven = lifted >= best_cost_;
        if (result.proven) result.cost_bound = result.cost;
    }
    result.steps = work_ / ops_per_step;
    return result;
}

} // namespace

Cover cover(const std::vector<CoverPart>& parts, const std::vector<CoverStock>& stocks,
            const PatternSource& source, std::int64_t effort) {
    Search search(parts, stocks, source, effort);
    Cover found = search.run();
    const bool all_cut =
        std::all_of(found.unmet.begin(), found.unmet.end(), [](auto n) { return n == 0; });
    const bool one_price = std::all_of(stocks.begin(), stocks.end(), [&](const CoverStock& s) {
        return s.cost == stocks[0].cost;
    });
    if (all_cut && one_price && stocks[0].cost > 0) {
        found.board_bound =
            found.cost_bound / stocks[0].cost; // the bound is a multiple of the price
    } else if (all_cut) {
        // Every board at no price is weighed 1: the cost is the number of boards.
        std::vector<CoverStock> free = stocks;
        for (CoverStock& stock : free) stock.cost = 0;
        Search counting(parts, free, source, effort);
        found.board_bound = std::min(found.boards, counting.run_bound());
        found.steps += counting.steps();
    }
    return found;
}

} // namespace aumbry::solid_stock
