// The linear programme of a state, grown pattern by pattern, and the whole-number bound it implies.
#include "solid_stock/engine/covering_search.hpp"

#include <algorithm>

namespace aumbry::solid_stock {

/// The programme over the parts still wanted: only these get a row.
struct Search::Programme {
    const State& state;
    std::vector<std::size_t> part_of; ///< by row
    std::vector<std::size_t> row_of;  ///< by part
    Master master;
    Numbers values; ///< by part: whole-number prices of the last round

    [[nodiscard]] static Pattern to_rows(Pattern pattern, const std::vector<std::size_t>& row_of) {
        for (Take& take : pattern.takes) take.part = row_of[take.part];
        return pattern;
    }
};

Search::Programme Search::programme_of(const State& state, const std::vector<Pattern>& pool) {
    std::vector<std::size_t> part_of;
    std::vector<std::size_t> row_of(parts_.size(), 0);
    Numbers demand;
    for (std::size_t i = 0; i < parts_.size(); ++i)
        if (state.left[i] > 0) {
            row_of[i] = part_of.size();
            part_of.push_back(i);
            demand.push_back(state.left[i]);
        }
    std::vector<Pattern> start;
    std::vector<double> start_cost;
    for (const std::size_t i : part_of) {
        start.push_back(Programme::to_rows(clipped(alone_[i], state), row_of));
        start_cost.push_back(alone_cost_[i]);
    }
    Master master(demand, state.limit, start, start_cost);
    count(static_cast<std::int64_t>(20'000 + 200 * pool.size() + 400 * part_of.size()));
    for (const Pattern& pattern : pool) {
        if (pattern.stock != Pattern::unmet && !stock_open(state, pattern.stock)) continue;
        Pattern clip = clipped(pattern, state);
        if (clip.takes.empty()) continue;
        const double cost = clip.stock == Pattern::unmet
                                ? static_cast<double>(unmet_cost_)
                                : static_cast<double>(weighed_[clip.stock]);
        master.add(Programme::to_rows(std::move(clip), row_of), cost);
    }
    return {state, std::move(part_of), std::move(row_of), std::move(master),
            Numbers(parts_.size(), 0)};
}

/// Adds what pays of one stock: its best pattern and others met on the way.
bool Search::add_patterns(Programme& programme, std::size_t s, int fineness, Prices& prices) {
    const State& state = programme.state;
    const Numbers& values = programme.values;
    const auto scale = static_cast<std::int64_t>(scale_);
    const std::int64_t worth = weighed_[s] * scale;
    const auto rent =
        static_cast<std::int64_t>(std::max(0.0, -programme.master.stock_price(s)) * scale_);
    const PricedPattern priced = source_.best(s, values, state.left, worth >> fineness);
    count(priced);
    prices.worth[s] = priced.upper;
    bool improved = false;
    const auto pays = [&](std::int64_t value) { return value > worth + rent + (worth >> 30) + 1; };
    const auto add = [&](const std::vector<Take>& takes) {
        programme.master.add(Programme::to_rows({s, takes}, programme.row_of),
                             static_cast<double>(weighed_[s]));
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
    for (std::size_t extra = 0; extra < programme.part_of.size() / 16 && pays(more.value);
         ++extra) {
        for (const Take& take : more.takes) others[take.part] = 0;
        more = source_.best(s, others, state.left, worth >> 5);
        count(more);
        if (pays(more.value)) add(more.takes);
    }
    if (state.limit[s] < 0)
        prices.scale = std::max(prices.scale, ceil_div(priced.upper, weighed_[s]));
    return improved;
}

/// Whole-number prices by the programme's duals; patterns that pay at them are added.
Prices Search::price_round(Programme& programme, int fineness, bool& improved) {
    for (std::size_t r = 0; r < programme.part_of.size(); ++r) {
        double price = std::max(0.0, programme.master.part_price(r));
        if (unmet_cost_ > 0) price = std::min(price, static_cast<double>(unmet_cost_));
        programme.values[programme.part_of[r]] = whole_price(price);
    }
    Prices prices{programme.values, Numbers(costs_.size(), 0), Numbers(costs_.size(), 0),
                  static_cast<std::int64_t>(scale_)};
    improved = false;
    for (std::size_t s = 0; s < costs_.size(); ++s)
        if (stock_open(programme.state, s) && add_patterns(programme, s, fineness, prices))
            improved = true;
    for (std::size_t s = 0; s < costs_.size(); ++s)
        if (programme.state.limit[s] > 0)
            prices.rent[s] = static_cast<std::int64_t>(
                std::max<Wide>(0, Wide{prices.worth[s]} - Wide{weighed_[s]} * prices.scale));
    return prices;
}

/// What is in use, then what nearly pays.
void Search::hand_on(const Programme& programme, Relaxed& relaxed) const {
    const Master& master = programme.master;
    const std::vector<double> use = master.use();
    std::vector<std::pair<double, std::size_t>> order;
    for (std::size_t c = 0; c < use.size(); ++c)
        if (master.columns()[c].takes[0].count > 0)
            order.emplace_back(use[c] > 0 ? -use[c] : std::max(0.0, master.reduced_cost(c)), c);
    std::sort(order.begin(), order.end());
    const std::size_t keep = std::min(order.size(), 6 * programme.part_of.size() + 30);
    for (std::size_t k = 0; k < keep; ++k) {
        Pattern pattern = master.columns()[order[k].second];
        for (Take& take : pattern.takes) take.part = programme.part_of[take.part];
        relaxed.columns.push_back(std::move(pattern));
        relaxed.use.push_back(std::max(0.0, use[order[k].second]));
    }
}

/// Solves the linear programme of a state by adding patterns as they pay. A state that cannot lead
/// to a better plan is left as soon as that shows, unless its bound is wanted all the same.
Relaxed Search::relax(const State& state, const std::vector<Pattern>& pool, bool even_hopeless) {
    Programme programme = programme_of(state, pool);
    Master& master = programme.master;
    // At first a longer piece may stand in for the next shorter one, which holds the prices
    // together while few patterns are known. Such stand-ins are priced out before the end.
    std::vector<std::size_t> stand_ins;
    if (source_.next_fits_in_place())
        for (std::size_t r = 0; r + 1 < programme.part_of.size(); ++r)
            stand_ins.push_back(master.add({Pattern::unmet, {Take{r, -1}, Take{r + 1, 1}}}, 0.0));

    Relaxed relaxed;
    relaxed.bound = -1;
    std::int64_t counted = 0;
    // Near-best patterns will do as long as they still pay: within 2^-fineness of a board's cost.
    constexpr int coarsest = 5, finest = 23;
    int fineness = coarsest;
    for (int round = 0; round < 4000; ++round) {
        master.optimise(20'000, stop_);
        work_ += master.work() - counted;
        counted = master.work();

        bool improved = false;
        Prices prices = price_round(programme, fineness, improved);
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
        if (value < 9e15 && reachable_.lift(state.paid + static_cast<std::int64_t>(value) + 1) <=
                                reachable_.lift(state.paid + relaxed.bound))
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
    hand_on(programme, relaxed);
    return relaxed;
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

} // namespace aumbry::solid_stock
