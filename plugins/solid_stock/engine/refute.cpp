// That no plan is better: every board for the largest piece, every purchase of less cost.
#include "solid_stock/engine/covering_search.hpp"

#include <algorithm>
#include <functional>

namespace aumbry::solid_stock {

/// Lists the patterns that hold part `must` and could belong to a better plan, with what each loses
/// by these prices. False when there are too many.
bool Search::list_children(const State& state, std::size_t must, const Prices& prices,
                           Children& children) {
    bool complete = true;
    // A plan better than the best known can only use patterns whose loss fits into the gap.
    const Wide gap = Wide{best_cost_ - 1 - state.paid} * prices.scale - worth_scaled(prices, state);
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
        count(steps * search_step_ops);
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
    return complete;
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

        const Prices& prices = relaxed.prices;
        Children children;
        complete = list_children(state, must, prices, children);
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
    std::vector<std::size_t> paid;
    Numbers bought(costs_.size(), 0);
    std::vector<double> have(cuts.size(), 0.0), needed(cuts.size());
    for (std::size_t s = 0; s < costs_.size(); ++s) {
        const std::int64_t most =
            start_.limit[s] < 0 ? pieces_ : std::min(start_.limit[s], pieces_);
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
        const std::int64_t most =
            start_.limit[s] < 0 ? pieces_ : std::min(start_.limit[s], pieces_);
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
    if (!list_purchases(cuts, reachable_.lift(root_bound_) / tie_, best_paid, purchases)) return;
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
                       std::max<std::int64_t>(1, (until - work_) / 4 / ops_per_step), stop_);
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

} // namespace aumbry::solid_stock
