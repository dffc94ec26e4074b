#include "sheet_goods/engine/cost_bound.hpp"

#include "sheet_goods/engine/patterns.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

namespace aumbry::sheet_goods {

namespace {

constexpr std::size_t most_part_kinds = 400;        // of parts
constexpr std::size_t most_conditions = 64;         // looked at together
constexpr std::int64_t most_sets_tried = 4'000'000; // of sheets

/// What the sheets of a plan must hold between them.
struct Condition {
    std::vector<std::int64_t> most; ///< that a sheet of each kind holds
    std::int64_t wanted = 0;
};

/// The least cost of whole sheets that keep every condition.
class LeastSet {
  public:
    LeastSet(const std::vector<Holding>& sheets, const std::vector<Condition>& conditions)
        : sheets_(sheets), conditions_(conditions) {
        // Free sheets are all taken; of the others the dearest first, so that few are tried.
        for (std::size_t kind = 0; kind < sheets.size(); ++kind)
            if (sheets[kind].cost > 0) order_.push_back(kind);
        std::stable_sort(order_.begin(), order_.end(), [&](std::size_t a, std::size_t b) {
            return sheets_[a].cost > sheets_[b].cost;
        });
        for (const Condition& condition : conditions_) {
            std::int64_t wanted = condition.wanted;
            for (std::size_t kind = 0; kind < sheets.size(); ++kind)
                if (sheets[kind].cost == 0) wanted -= sheets[kind].limit * condition.most[kind];
            missing_.push_back(wanted);
        }
    }

    /// Not above `known`; nothing when that takes too long.
    std::optional<std::int64_t> cost(std::int64_t least, std::int64_t known) {
        least_ = least;
        best_ = known;
        choose(0, 0);
        if (tried_ > most_sets_tried) return std::nullopt;
        return best_;
    }

    [[nodiscard]] std::int64_t tried() const { return tried_; }

  private:
    /// How many more of the kind the conditions ask for, all others left out.
    [[nodiscard]] std::int64_t asked(std::size_t kind) const {
        std::int64_t count = 0;
        for (std::size_t c = 0; c < conditions_.size(); ++c) {
            if (missing_[c] <= 0) continue;
            const std::int64_t most = conditions_[c].most[kind];
            if (most <= 0) return sheets_[kind].limit + 1;
            count = std::max(count, (missing_[c] + most - 1) / most);
        }
        return count;
    }

    void take(std::size_t kind, std::int64_t count) {
        for (std::size_t c = 0; c < conditions_.size(); ++c)
            missing_[c] -= count * conditions_[c].most[kind];
    }

    void choose(std::size_t at, std::int64_t cost) {
        if (++tried_ > most_sets_tried || best_ <= least_ || cost >= best_) return;
        if (std::all_of(missing_.begin(), missing_.end(), [](std::int64_t m) { return m <= 0; })) {
            best_ = cost;
            return;
        }
        if (at == order_.size()) return;
        const std::size_t kind = order_[at];
        const Holding& sheet = sheets_[kind];
        const std::int64_t most =
            std::min({sheet.limit, asked(kind), (best_ - 1 - cost) / sheet.cost});
        if (at + 1 == order_.size()) {
            if (asked(kind) <= most) best_ = cost + asked(kind) * sheet.cost;
            return;
        }
        for (std::int64_t n = 0; n <= most; ++n) {
            take(kind, n);
            choose(at + 1, cost + n * sheet.cost);
            take(kind, -n);
        }
    }

    const std::vector<Holding>& sheets_;
    const std::vector<Condition>& conditions_;
    std::vector<std::size_t> order_;    ///< of kinds
    std::vector<std::int64_t> missing_; ///< by condition
    std::int64_t least_ = 0;
    std::int64_t best_ = 0;
    std::int64_t tried_ = 0;
};

class CostBound {
  public:
    CostBound(const CuttingJob& order, const Problem& problem, const CostBoundDetail& detail)
        : problem_(problem), detail_(detail) {
        for (const SheetKind& sheet : problem.sheets)
            sheets_.push_back({order.formats[static_cast<std::size_t>(sheet.format)].cost,
                               sheet.area, sheet.limit});
        for (std::size_t kind = 0; kind < sheets_.size(); ++kind)
            tables_.emplace_back(problem, kind, detail.cells);
        const std::size_t parts = problem.parts.size();
        demand_.assign(parts + sheets_.size(), 0.0);
        costs_.assign(parts + sheets_.size(), 0.0);
        std::int64_t dearest = 1;
        for (const Holding& sheet : sheets_) dearest = std::max(dearest, sheet.cost);
        for (std::size_t i = 0; i < parts; ++i) {
            const bool thin = std::any_of(tables_.begin(), tables_.end(),
                                          [&](const PatternTable& t) { return t.is_too_thin(i); });
            demand_[i] = thin ? 0.0 : problem.parts[i].count;
            // One sheet a part, of a kind that costs more than any: they leave the mixture.
            costs_[i] = 2.0 * static_cast<double>(dearest);
        }
        // A row a kind: patterns of it and unused sheets make up its limit.
        for (std::size_t kind = 0; kind < sheets_.size(); ++kind)
            demand_[parts + kind] = static_cast<double>(sheets_[kind].limit);
    }

    Bound run(std::int64_t known, std::int64_t enough, std::int64_t& steps) {
        const std::int64_t last_step = steps + detail_.steps;
        Bound bound;
        bound.method = "patterns";
        bound.cost = known;
        Mixture mixture(demand_, costs_);
        int idle = 0; // rounds since the bound rose
        while (steps < last_step && bound.cost < enough && idle < detail_.idle) {
            if (drop_surplus(mixture, steps)) continue;
            const std::vector<double>& prices = mixture.prices();
            const std::int64_t before = bound.cost;
            if (!round(prices, bound, steps)) break;
            idle =
                bound.cost > before || mixture.cost() > static_cast<double>(enough) ? 0 : idle + 1;
            if (bound.cost < enough && !enter_best(mixture, prices, steps)) break;
        }
        all_at_once(bound, enough, steps);
        return bound;
    }

  private:
    /// What is made beyond the demand of a part, or a limit that does not bind, as a column.
    bool drop_surplus(Mixture& mixture, std::int64_t& steps) {
        const std::vector<double>& prices = mixture.prices();
        const std::size_t parts = problem_.parts.size();
        for (std::size_t row = 0; row < demand_.size(); ++row) {
            const double sign = row < parts ? -1.0 : 1.0;
            if (sign * prices[row] <= 1e-6) continue;
            std::vector<double> column(demand_.size(), 0.0);
            column[row] = sign;
            steps += static_cast<std::int64_t>(demand_.size() * demand_.size() / 16);
            return mixture.enter(column, 0.0);
        }
        return false;
    }

    /// The best pattern of each kind at those prices, and what they prove. False when the prices
    /// are nothing.
    bool round(const std::vector<double>& prices, Bound& bound, std::int64_t& steps) {
        const std::size_t parts = problem_.parts.size();
        std::vector<double> wanted(parts, 0.0);
        for (std::size_t i = 0; i < parts; ++i)
            if (demand_[i] > 0) wanted[i] = std::max(0.0, prices[i]);
        double scale = 1e18;
        for (const PatternTable& table : tables_)
            scale = std::min(scale, table.largest_scale(wanted));
        values_.assign(parts, 0);
        Condition condition;
        for (std::size_t i = 0; i < parts; ++i) {
            values_[i] = static_cast<std::int32_t>(wanted[i] * scale);
            condition.wanted += std::int64_t{values_[i]} * problem_.parts[i].count;
        }
        scale_ = scale;
        if (condition.wanted == 0) return false;
        std::vector<Holding> holding = sheets_;
        for (std::size_t kind = 0; kind < tables_.size(); ++kind) {
            condition.most.push_back(tables_[kind].solve(values_, problem_.stop));
            holding[kind].most = condition.most.back();
            steps += tables_[kind].work();
        }
        bound.cost = std::max(bound.cost, least_cost_of_holding(holding, condition.wanted));
        most_ = condition.most;
        if (conditions_.size() == most_conditions) conditions_.erase(conditions_.begin());
        conditions_.push_back(std::move(condition));
        return true;
    }

    /// False when no pattern makes the mixture cheaper.
    bool enter_best(Mixture& mixture, const std::vector<double>& prices, std::int64_t& steps) {
        const std::size_t parts = problem_.parts.size();
        std::size_t best = tables_.size();
        double most = 1e-6;
        for (std::size_t kind = 0; kind < tables_.size(); ++kind) {
            const double gain = static_cast<double>(most_[kind]) / scale_ + prices[parts + kind] -
                                static_cast<double>(sheets_[kind].cost);
            // What rounding leaves is no gain.
            if (gain <= most + 1e-4 * static_cast<double>(sheets_[kind].cost)) continue;
            most = gain;
            best = kind;
        }
        if (best == tables_.size()) return false;
        tables_[best].solve(values_, problem_.stop);
        std::vector<double> column = tables_[best].pattern(values_);
        column.resize(demand_.size(), 0.0);
        column[parts + best] = 1.0;
        steps +=
            tables_[best].work() + static_cast<std::int64_t>(demand_.size() * demand_.size() / 16);
        return mixture.enter(column, static_cast<double>(sheets_[best].cost));
    }

    void all_at_once(Bound& bound, std::int64_t enough, std::int64_t& steps) {
        if (conditions_.empty() || bound.cost >= enough) return;
        Condition area;
        for (const Holding& sheet : sheets_) area.most.push_back(sheet.most);
        for (const PartKind& part : problem_.parts) area.wanted += part.area * part.count;
        conditions_.push_back(std::move(area));
        LeastSet sets(sheets_, conditions_);
        if (const auto cost = sets.cost(bound.cost, enough))
            bound.cost = std::max(bound.cost, *cost);
        steps += sets.tried() * static_cast<std::int64_t>(conditions_.size());
    }

    const Problem& problem_;
    CostBoundDetail detail_;
    std::vector<Holding> sheets_; ///< by kind; `most` is the area
    std::vector<PatternTable> tables_;
    std::vector<double> demand_, costs_; ///< of parts, then of kinds
    std::vector<Condition> conditions_;
    std::vector<std::int32_t> values_; ///< of the last round
    std::vector<std::int64_t> most_;
    double scale_ = 1;
};

} // namespace

Bound cost_bound(const CuttingJob& order, const Problem& problem, std::int64_t known,
                 std::int64_t enough, const CostBoundDetail& detail, std::int64_t& steps) {
    if (problem.parts.empty() || problem.parts.size() > most_part_kinds || known >= enough)
        return {};
    return CostBound(order, problem, detail).run(known, enough, steps);
}

} // namespace aumbry::sheet_goods
