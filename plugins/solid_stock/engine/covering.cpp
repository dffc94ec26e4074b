#include "solid_stock/engine/covering.hpp"

#include "solid_stock/engine/covering_search.hpp"

#include "aumbry/fault.hpp"

#include <algorithm>
#include <numeric>

namespace aumbry::solid_stock {

namespace {

/// A few milliseconds' work.
constexpr std::int64_t ops_between_questions = 4 * 1000 * ops_per_step;

} // namespace

std::int64_t ceil_div(Wide a, Wide b) {
    return static_cast<std::int64_t>(a >= 0 ? (a + b - 1) / b : -((-a) / b));
}

bool State::finished() const {
    return std::all_of(left.begin(), left.end(), [](std::int64_t n) { return n == 0; });
}

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

ReachableCosts::ReachableCosts(const Numbers& costs, const Numbers& limits, std::int64_t up_to)
    : up_to_(up_to) {
    for (const std::int64_t cost : costs) step_ = std::gcd(step_, cost);
    std::vector<std::pair<std::int64_t, std::int64_t>> kinds; // cost, limit (summed over equals)
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
                if (more.size() > 4 * max_sums) break;
            }
            if (more.size() > 4 * max_sums) break;
        }
        std::sort(more.begin(), more.end());
        more.erase(std::unique(more.begin(), more.end()), more.end());
        if (more.size() > max_sums) { // too many to list: the common divisor must do
            sums_.clear();
            return;
        }
        sums_ = std::move(more);
    }
}

std::int64_t ReachableCosts::lift(std::int64_t bound) const {
    if (bound > up_to_) return bound;
    if (sums_.empty()) return step_ > 1 ? ceil_div(bound, step_) * step_ : bound;
    const auto at = std::lower_bound(sums_.begin(), sums_.end(), bound);
    return at == sums_.end() ? up_to_ + 1 : *at;
}

Search::Search(const std::vector<CoverPart>& parts, const std::vector<CoverStock>& stocks,
               const PatternSource& source, std::int64_t effort, const Stop& stop)
    : parts_(parts), source_(source), stop_(stop.every(ops_between_questions)),
      budget_(effort * ops_per_step) {
    for (const CoverStock& stock : stocks) {
        costs_.push_back(stock.cost);
        start_.limit.push_back(stock.limit < 0 ? -1 : stock.limit);
    }
    for (const CoverPart& part : parts) {
        start_.left.push_back(part.count);
        pieces_ += part.count;
    }
    weigh_costs();
}

/// Sums of weighed costs stay below 2^60.
void Search::refuse_above(Wide sum) const {
    if (sum <= std::int64_t{1} << 60) return;
    const std::int64_t dearest = *std::max_element(costs_.begin(), costs_.end());
    fail("order-too-large", {},
         "an order of " + std::to_string(pieces_) + " pieces from boards that cost up to " +
             std::to_string(dearest) + " minor units is too large to plan",
         "split the order, or give the cost in larger units");
}

/// Folds the number of boards into the cost as tie-breaker, and finds a price for what stays uncut.
void Search::weigh_costs() {
    const std::int64_t dearest = *std::max_element(costs_.begin(), costs_.end());
    tie_ = pieces_ + 1; // above any number of boards
    refuse_above((Wide{dearest} * tie_ + 1) * tie_);
    for (const std::int64_t cost : costs_) weighed_.push_back(cost * tie_ + 1);
    find_alone();
    choose_scale();
}

/// For each part the cheapest board without a limit that holds it, or that it stays uncut.
void Search::find_alone() {
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
            count(priced);
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
        // More than all the boards that any plan could buy: fewer uncut pieces_ always win.
        unmet_cost_ = 1;
        for (std::size_t s = 0; s < weighed_.size(); ++s) {
            const std::int64_t count =
                start_.limit[s] < 0 ? pieces_ : std::min(start_.limit[s], pieces_);
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
}

/// As fine as whole-number prices can be.
void Search::choose_scale() {
    max_price_ = (std::int64_t{1} << 60) / tie_; // the value of any board stays within 62 bits
    const double ceiling = 281474976710656.0;    // 2^48
    const double dearest = static_cast<double>(*std::max_element(weighed_.begin(), weighed_.end()));
    const double largest = std::max(static_cast<double>(unmet_cost_), 64.0 * dearest);
    scale_ = std::max(1.0, static_cast<double>(static_cast<std::int64_t>(ceiling / largest)));
}

bool Search::done() const {
    const std::int64_t lifted = reachable_.lift(root_bound_);
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

/// A first plan by size alone.
void Search::first_plan() {
    std::vector<double> worth(parts_.size());
    std::int64_t largest = 1;
    for (const CoverPart& part : parts_) largest = std::max(largest, part.size);
    for (std::size_t i = 0; i < parts_.size(); ++i) {
        const double size = static_cast<double>(parts_[i].size) / static_cast<double>(largest);
        worth[i] = size * (1.0 + 0.05 * size) * static_cast<double>(weighed_[0]) + 1e-3;
    }
    reachable_ = ReachableCosts{};
    root_bound_ = 0;
    greedy(start_, {}, worth, 4);
}

Cover Search::run() {
    // A first plan, then the linear programme, then plans led by its prices.
    first_plan();
    std::vector<Pattern> pool;
    for (const auto& [pattern, copies] : best_) pool.push_back(pattern);
    reachable_ =
        unmet_cost_ > 0 ? ReachableCosts{} : ReachableCosts(weighed_, start_.limit, best_cost_);
    Relaxed root = relax(start_, pool, true);
    root_prices_ = root.prices;
    root_bound_ = root.bound;
    tie_budget_ = work_ + budget_ / 8;

    if (!done()) {
        std::vector<double> worth(parts_.size());
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

    return told();
}

/// The plan as cut: pieces beyond the counts taken off, equal boards together.
Cover Search::told() const {
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
    const std::int64_t lifted = std::min(reachable_.lift(root_bound_), best_cost_);
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

Cover cover(const std::vector<CoverPart>& parts, const std::vector<CoverStock>& stocks,
            const PatternSource& source, std::int64_t effort, const Stop& stop) {
    Search search(parts, stocks, source, effort, stop);
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
        Search counting(parts, free, source, effort, stop);
        found.board_bound = std::min(found.boards, counting.run_bound());
        found.steps += counting.steps();
    }
    return found;
}

} // namespace aumbry::solid_stock
