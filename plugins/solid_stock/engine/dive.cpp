// Whole plans: board after board, and by fixing what the linear programme likes most.
#include "solid_stock/engine/covering_search.hpp"

#include <algorithm>

namespace aumbry::solid_stock {

/// The pattern worth most for its cost; a piece that stays uncut when no board is left for any.
Pattern Search::most_worth(const State& state, const std::vector<double>& worth) {
    Numbers values(parts_.size(), 0);
    for (std::size_t i = 0; i < parts_.size(); ++i)
        if (state.left[i] > 0) values[i] = std::max<std::int64_t>(1, whole_price(worth[i]));
    Pattern pick{Pattern::unmet, {}};
    Wide pick_value = 0;
    for (std::size_t s = 0; s < costs_.size(); ++s) {
        if (!stock_open(state, s)) continue;
        PricedPattern priced = source_.best(s, values, state.left,
                                            weighed_[s] * static_cast<std::int64_t>(scale_) >> 30);
        count(priced);
        if (priced.takes.empty()) continue;
        // value / cost, compared without dividing
        if (pick.takes.empty() ||
            Wide{priced.value} * weighed_[pick.stock] > pick_value * weighed_[s]) {
            pick = {s, std::move(priced.takes)};
            pick_value = priced.value;
        }
    }
    if (pick.takes.empty() && unmet_cost_ > 0)
        for (std::size_t i = 0; i < parts_.size(); ++i)
            if (state.left[i] > 0) return {Pattern::unmet, {Take{i, 1}}};
    return pick;
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
            const Pattern pick = most_worth(state, worth);
            if (pick.takes.empty()) break;
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

} // namespace aumbry::solid_stock
