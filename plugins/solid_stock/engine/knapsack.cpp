#include "solid_stock/engine/knapsack.hpp"

#include <algorithm>
#include <limits>
#include <numeric>

namespace aumbry::solid_stock {
namespace {

__extension__ using Wide = __int128;

struct Kind {
    std::int64_t length, value, most;
    std::size_t origin;
    double density; ///< value / length
};

/// Kinds that can take part, densest first; ties by the longer piece, then by the order given.
std::vector<Kind> sorted_kinds(const std::vector<FillItem>& items, std::int64_t capacity,
                               bool worthless_too) {
    std::vector<Kind> kinds;
    kinds.reserve(items.size());
    for (std::size_t i = 0; i < items.size(); ++i) {
        const FillItem& item = items[i];
        if (item.length > capacity || item.most <= 0) continue;
        if (item.value <= 0 && !worthless_too) continue;
        kinds.push_back({item.length, std::max<std::int64_t>(item.value, 0),
                         std::min(item.most, capacity / item.length), i,
                         static_cast<double>(std::max<std::int64_t>(item.value, 0)) /
                             static_cast<double>(item.length)});
    }
    std::sort(kinds.begin(), kinds.end(), [](const Kind& a, const Kind& b) {
        const Wide left = Wide{a.value} * b.length, right = Wide{b.value} * a.length;
        if (left != right) return left > right;
        if (a.length != b.length) return a.length > b.length;
        return a.origin < b.origin;
    });
    return kinds;
}

/// No filling of `capacity` with the kinds from `first` on is worth more than this. The share of
/// the last kind is taken in floating point, with more added than rounding can take away.
std::int64_t fractional(const std::vector<Kind>& kinds, std::size_t first, std::int64_t capacity) {
    std::int64_t value = 0;
    for (std::size_t k = first; k < kinds.size(); ++k) {
        const Kind& kind = kinds[k];
        const std::int64_t length = kind.most * kind.length; // most pieces still fit an empty board
        if (length > capacity) {
            const double share = static_cast<double>(capacity) * kind.density;
            return value + static_cast<std::int64_t>(share * (1.0 + 4e-15)) + 1;
        }
        value += kind.most * kind.value;
        capacity -= length;
        if (capacity == 0) return value;
    }
    return value;
}

class DepthFirst {
  public:
    DepthFirst(const std::vector<Kind>& kinds, std::int64_t slack, std::int64_t max_steps)
        : kinds_(kinds), slack_(slack), max_steps_(max_steps), now_(kinds.size(), 0),
          shortest_(kinds.size() + 1, std::numeric_limits<std::int64_t>::max()) {
        for (std::size_t k = kinds.size(); k-- > 0;)
            shortest_[k] = std::min(shortest_[k + 1], kinds[k].length);
        best_counts = now_;
        // For the last piece of a board: lengths ascending, each worth more than all shorter ones.
        std::vector<std::size_t> by_length(kinds.size());
        std::iota(by_length.begin(), by_length.end(), std::size_t{0});
        std::sort(by_length.begin(), by_length.end(), [&](std::size_t a, std::size_t b) {
            if (kinds[a].length != kinds[b].length) return kinds[a].length < kinds[b].length;
            return kinds[a].value != kinds[b].value ? kinds[a].value > kinds[b].value : a < b;
        });
        for (const std::size_t k : by_length)
            if (stairs_.empty() || kinds[k].value > kinds[stairs_.back()].value)
                stairs_.push_back(k);
    }

    /// True when the search ended by itself.
    bool run(std::int64_t capacity) {
        descend(0, capacity, 0);
        return steps_ <= max_steps_;
    }

    std::vector<std::int64_t> best_counts;          ///< nothing, until something better is found
    std::vector<std::vector<std::int64_t>> earlier; ///< the best before, and those before that
    std::int64_t best = 0;
    std::int64_t upper = 0; ///< largest bound that was cut off above the best then known
    [[nodiscard]] std::int64_t steps() const { return steps_; }

  private:
    void note(std::int64_t value) {
        if (value <= best) return;
        if (best > 0) {
            earlier.insert(earlier.begin(), std::move(best_counts));
            if (earlier.size() > 3) earlier.pop_back();
        }
        best = value;
        best_counts = now_;
    }

    /// Room for one more piece: the best of those that are not used up, whatever its place in the
    /// order.
    void last_piece(std::int64_t capacity, std::int64_t value) {
        auto at =
            std::upper_bound(stairs_.begin(), stairs_.end(), capacity,
                             [&](std::int64_t c, std::size_t k) { return c < kinds_[k].length; });
        std::size_t pick = kinds_.size();
        if (at != stairs_.begin() && now_[*--at] < kinds_[*at].most) {
            pick = *at;
        } else {
            steps_ += static_cast<std::int64_t>(kinds_.size() / 8);
            for (std::size_t k = 0; k < kinds_.size(); ++k)
                if (kinds_[k].length <= capacity && now_[k] < kinds_[k].most &&
                    (pick == kinds_.size() || kinds_[k].value > kinds_[pick].value))
                    pick = k;
        }
        if (pick == kinds_.size()) return note(value);
        if (value + kinds_[pick].value <= best) return;
        ++now_[pick];
        note(value + kinds_[pick].value);
        --now_[pick];
    }

    /// Lists the pairs that are worth more than every shorter pair and every shorter single piece.
    void list_pairs() {
        const std::size_t kinds = kinds_.size();
        std::vector<Pair> all;
        all.reserve(kinds * (kinds + 3) / 2);
        for (std::size_t a = 0; a < kinds; ++a) {
            all.push_back({kinds_[a].length, kinds_[a].value, a, kinds});
            for (std::size_t b = kinds_[a].most > 1 ? a : a + 1; b < kinds; ++b)
                all.push_back(
                    {kinds_[a].length + kinds_[b].length, kinds_[a].value + kinds_[b].value, a, b});
        }
        std::sort(all.begin(), all.end(), [](const Pair& one, const Pair& two) {
            if (one.length != two.length) return one.length < two.length;
            if (one.value != two.value) return one.value > two.value;
            return one.a != two.a ? one.a < two.a : one.b < two.b;
        });
        for (const Pair& pair : all)
            if (pairs_.empty() || pair.value > pairs_.back().value) pairs_.push_back(pair);
        steps_ += static_cast<std::int64_t>(all.size()); // sorting them is worth that many
    }

    /// Room for two more pieces at most: true when the best pair settles the matter.
    bool last_pair(std::int64_t capacity, std::int64_t value) {
        const auto after =
            std::upper_bound(pairs_.begin(), pairs_.end(), capacity,
                             [](std::int64_t c, const Pair& pair) { return c < pair.length; });
        if (after == pairs_.begin()) {
            note(value);
            return true;
        }
        const Pair& pair = *(after - 1);
        const std::int64_t bound = value + pair.value;
        if (bound <= best + (best > 0 ? slack_ : 0)) {
            upper = std::max(upper, bound);
            return true;
        }
        const bool single = pair.b == kinds_.size();
        const std::int64_t second = !single && pair.a == pair.b ? 2 : 1;
        if (now_[pair.a] + second > kinds_[pair.a].most) return false;
        if (!single && second == 1 && now_[pair.b] + 1 > kinds_[pair.b].most) return false;
        ++now_[pair.a];
        if (!single) ++now_[pair.b];
        note(bound);
        --now_[pair.a];
        if (!single) --now_[pair.b];
        return true;
    }

    void descend(std::size_t k, std::int64_t capacity, std::int64_t value) {
        ++steps_;
        if (capacity < shortest_[k]) return note(value);
        if (capacity - shortest_[k] < shortest_[k]) return last_piece(capacity, value);
        // A long search is worth a list of the pairs that may end a board.
        if (steps_ > pairs_from_ && pairs_.empty()) list_pairs();
        if (!pairs_.empty() && capacity / 3 < shortest_[0] && last_pair(capacity, value)) return;
        // The bound falls as fewer of the denser kind are taken, so the first miss ends the loop.
        const Kind& kind = kinds_[k];
        for (std::int64_t count = kind.most * kind.length <= capacity ? kind.most
                                                                      : capacity / kind.length;
             count >= 0; --count) {
            const std::int64_t left = capacity - count * kind.length;
            const std::int64_t worth = value + count * kind.value;
            const std::int64_t bound = worth + fractional(kinds_, k + 1, left);
            // Near the best is near enough only once there is something.
            if (bound <= best + (best > 0 ? slack_ : 0)) {
                upper = std::max(upper, bound);
                break;
            }
            now_[k] = count;
            descend(k + 1, left, worth);
            now_[k] = 0;
            if (steps_ > max_steps_) { // what was not tried is bounded by what led here
                upper = std::max(upper, bound);
                return;
            }
        }
    }

    struct Pair {
        std::int64_t length, value;
        std::size_t a, b; ///< kinds; b is the number of kinds when it is a single piece
    };

    const std::vector<Kind>& kinds_;
    std::int64_t slack_, max_steps_, steps_ = 0;
    std::int64_t pairs_from_ = static_cast<std::int64_t>(kinds_.size() * kinds_.size() / 2);
    std::vector<Pair> pairs_; ///< by length and value
    std::vector<std::int64_t> now_;
    std::vector<std::int64_t> shortest_;
    std::vector<std::size_t> stairs_;
};

/// One row of the table: `times` pieces of a kind taken together.
struct Bundle {
    std::size_t kind;
    std::int64_t times;
};

std::vector<Bundle> bundles_of(const std::vector<Kind>& kinds) {
    std::vector<Bundle> bundles;
    for (std::size_t k = 0; k < kinds.size(); ++k) {
        std::int64_t left = kinds[k].most;
        for (std::int64_t times = 1; left > 0; times *= 2) {
            const std::int64_t now = std::min(times, left);
            bundles.push_back({k, now});
            left -= now;
        }
    }
    return bundles;
}

/// The exact table over all lengths up to `capacity`.
std::int64_t fill_by_table(const std::vector<Kind>& kinds, const std::vector<Bundle>& bundles,
                           std::int64_t capacity, std::vector<std::int64_t>& counts) {
    const auto width = static_cast<std::size_t>(capacity) + 1;
    std::vector<std::int64_t> worth(width, 0);
    std::vector<bool> taken(bundles.size() * width, false);
    for (std::size_t b = 0; b < bundles.size(); ++b) {
        const Kind& kind = kinds[bundles[b].kind];
        const auto length = static_cast<std::size_t>(bundles[b].times * kind.length);
        const std::int64_t value = bundles[b].times * kind.value;
        for (std::size_t c = width; c-- > length;) {
            const std::int64_t with = worth[c - length] + value;
            if (with > worth[c]) {
                worth[c] = with;
                taken[b * width + c] = true;
            }
        }
    }
    counts.assign(kinds.size(), 0);
    std::size_t c = width - 1;
    for (std::size_t b = bundles.size(); b-- > 0;)
        if (taken[b * width + c]) {
            counts[bundles[b].kind] += bundles[b].times;
            c -= static_cast<std::size_t>(bundles[b].times * kinds[bundles[b].kind].length);
        }
    return worth[width - 1];
}

} // namespace

Filling fill_best(const std::vector<FillItem>& items, std::int64_t capacity, std::int64_t slack) {
    Filling filling;
    filling.counts.assign(items.size(), 0);
    const std::vector<Kind> kinds = sorted_kinds(items, capacity, false);
    filling.steps = 1 + 8 * static_cast<std::int64_t>(kinds.size());
    if (kinds.empty()) return filling;

    constexpr std::int64_t table_limit = 12'000'000; // cells; about the time of ten thousand steps
    constexpr std::int64_t long_search = 400'000;
    const std::vector<Bundle> bundles = bundles_of(kinds);
    const auto rows = static_cast<std::int64_t>(bundles.size());
    const bool table_fits = capacity < table_limit / rows;
    // A step of the search costs about as much as a few dozen cells of the table.
    const std::int64_t patience =
        table_fits ? std::max<std::int64_t>(64, rows * capacity / 32) : long_search;

    DepthFirst search(kinds, slack, patience);
    const bool ended = search.run(capacity);
    filling.steps += search.steps();
    std::vector<std::int64_t> counts = search.best_counts;
    if (ended) {
        filling.value = search.best;
        filling.upper = std::max(search.best, search.upper);
    } else if (table_fits) {
        filling.value = filling.upper = fill_by_table(kinds, bundles, capacity, counts);
        filling.steps += rows * capacity / 32;
    } else {
        filling.value = search.best;
        filling.upper =
            std::min(std::max(search.best, search.upper), fractional(kinds, 0, capacity));
    }
    const auto in_given_order = [&](const std::vector<std::int64_t>& sorted) {
        std::vector<std::int64_t> given(items.size(), 0);
        for (std::size_t k = 0; k < kinds.size(); ++k) given[kinds[k].origin] = sorted[k];
        return given;
    };
    filling.counts = in_given_order(counts);
    for (const auto& other : search.earlier) filling.earlier.push_back(in_given_order(other));
    return filling;
}

namespace {

class Lister {
  public:
    Lister(const std::vector<Kind>& kinds, std::size_t must, std::int64_t least,
           std::size_t most_listed, std::int64_t max_steps, std::size_t width,
           std::vector<Counts>& listed)
        : kinds_(kinds), must_(must), least_(least), most_listed_(most_listed),
          max_steps_(max_steps), width_(width), listed_(listed), now_(kinds.size(), 0) {}

    bool run(std::int64_t capacity) {
        descend(0, capacity, 0);
        return complete_;
    }
    [[nodiscard]] std::int64_t steps() const { return steps_; }

  private:
    void descend(std::size_t k, std::int64_t capacity, std::int64_t value) {
        if (++steps_ > max_steps_) complete_ = false;
        if (!complete_) return;
        if (k == kinds_.size()) {
            note(capacity);
            return;
        }
        const Kind& kind = kinds_[k];
        for (std::int64_t count = std::min(kind.most, capacity / kind.length); count >= 0;
             --count) {
            const std::int64_t left = capacity - count * kind.length;
            const std::int64_t worth = value + count * kind.value;
            if (worth + fractional(kinds_, k + 1, left) < least_) break;
            now_[k] = count;
            descend(k + 1, left, worth);
            now_[k] = 0;
            if (!complete_) return;
        }
    }

    void note(std::int64_t left) {
        for (std::size_t k = 0; k < kinds_.size(); ++k)
            if (now_[k] < kinds_[k].most && kinds_[k].length <= left) return; // one more would fit
        if (listed_.size() >= most_listed_) {
            complete_ = false;
            return;
        }
        Counts counts(width_, 0);
        for (std::size_t k = 0; k < kinds_.size(); ++k) counts[kinds_[k].origin] = now_[k];
        ++counts[must_];
        listed_.push_back(std::move(counts));
    }

    const std::vector<Kind>& kinds_;
    std::size_t must_;
    std::int64_t least_;
    std::size_t most_listed_;
    std::int64_t max_steps_, steps_ = 0;
    std::size_t width_;
    std::vector<Counts>& listed_;
    std::vector<std::int64_t> now_;
    bool complete_ = true;
};

} // namespace

bool list_fillings(const std::vector<FillItem>& items, std::int64_t capacity, std::size_t must,
                   std::int64_t least, std::size_t most_listed, std::int64_t max_steps,
                   std::vector<Counts>& listed, std::int64_t& steps) {
    if (items[must].most <= 0 || items[must].length > capacity) return true;
    // The piece that must be there is set aside first: what is left is an ordinary filling.
    std::vector<FillItem> others = items;
    --others[must].most;
    const std::int64_t room = capacity - items[must].length;
    const std::vector<Kind> kinds = sorted_kinds(others, room, true);
    Lister lister(kinds, must, least - std::max<std::int64_t>(items[must].value, 0), most_listed,
                  max_steps, items.size(), listed);
    const bool complete = lister.run(room);
    steps += lister.steps();
    return complete;
}

} // namespace aumbry::solid_stock
