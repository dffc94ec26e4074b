#include "solid_stock/knapsack.hpp"

#include <algorithm>
#include <limits>
#include <numeric>

namespace aumbry::solid_stock {
namespace {

__extension__ using Wide = __int128;

struct Kind {
    std::int64_t length, value, most;
    std::size_t origin;
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
                         std::min(item.most, capacity / item.length), i});
    }
    std::sort(kinds.begin(), kinds.end(), [](const Kind& a, const Kind& b) {
        const Wide left = Wide{a.value} * b.length, right = Wide{b.value} * a.length;
        if (left != right) return left > right;
        if (a.length != b.length) return a.length > b.length;
        return a.origin < b.origin;
    });
    return kinds;
}

/// Value of the fractional filling of `capacity` with the kinds from `first` on, rounded down.
std::int64_t fractional(const std::vector<Kind>& kinds, std::size_t first, std::int64_t capacity) {
    std::int64_t value = 0;
    for (std::size_t k = first; k < kinds.size(); ++k) {
        const Kind& kind = kinds[k];
        const std::int64_t whole = capacity / kind.length;
        if (whole < kind.most)
            return value + static_cast<std::int64_t>(Wide{capacity} * kind.value / kind.length);
        value += kind.most * kind.value;
        capacity -= kind.most * kind.length;
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
    }

    /// True when the search ended by itself.
    bool run(std::int64_t capacity) {
        descend(0, capacity, 0);
        return steps_ <= max_steps_;
    }

    std::vector<std::int64_t> best_counts;
    std::int64_t best = -1;
    std::int64_t upper = 0; ///< largest bound that was cut off above the best then known
    [[nodiscard]] std::int64_t steps() const { return steps_; }

  private:
    void descend(std::size_t k, std::int64_t capacity, std::int64_t value) {
        ++steps_;
        if (capacity < shortest_[k]) {
            if (value > best) {
                best = value;
                best_counts = now_;
            }
            return;
        }
        // The bound falls as fewer of the denser kind are taken, so the first miss ends the loop.
        const Kind& kind = kinds_[k];
        for (std::int64_t count = std::min(kind.most, capacity / kind.length); count >= 0;
             --count) {
            const std::int64_t left = capacity - count * kind.length;
            const std::int64_t worth = value + count * kind.value;
            const std::int64_t bound = worth + fractional(kinds_, k + 1, left);
            if (bound <= best + slack_) {
                upper = std::max(upper, bound);
                break;
            }
            now_[k] = count;
            descend(k + 1, left, worth);
            now_[k] = 0;
            if (steps_ > max_steps_) return;
        }
    }

    const std::vector<Kind>& kinds_;
    std::int64_t slack_, max_steps_, steps_ = 0;
    std::vector<std::int64_t> now_;
    std::vector<std::int64_t> shortest_;
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
    filling.steps = 1 + static_cast<std::int64_t>(kinds.size());
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
        filling.upper = fractional(kinds, 0, capacity);
    }
    for (std::size_t k = 0; k < kinds.size(); ++k) filling.counts[kinds[k].origin] = counts[k];
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
