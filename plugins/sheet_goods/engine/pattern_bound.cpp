#include "sheet_goods/engine/pattern_bound.hpp"

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

namespace aumbry::sheet_goods {

namespace {

// Cells of the grid along one axis. A sheet with more steps is worked out with its parts rounded
// down to cells, which keeps the bound sure.
constexpr std::int32_t most_cells = 128;
constexpr std::size_t most_kinds = 400;
// Values of all parts of one pattern stay below 2^30.
constexpr std::int64_t cells_per_step = 32; // of the table, in a step of the search
constexpr double largest_value = 1 << 20;

/// One way a part may lie, in cells.
struct Lie {
    std::size_t part = 0;
    std::int32_t length = 0, width = 0;
};

/// The most valuable pattern of one sheet, for given values of the parts.
class PatternTable {
  public:
    explicit PatternTable(const Problem& problem) {
        const GridSize& sheet = problem.sheets[0].size;
        length_ = std::min(sheet[0], most_cells);
        width_ = std::min(sheet[1], most_cells);
        const auto cells = [](std::int32_t size, std::int32_t whole, std::int32_t count) {
            return static_cast<std::int32_t>(std::int64_t{size} * count / whole);
        };
        for (std::size_t i = 0; i < problem.parts.size(); ++i) {
            const PartKind& part = problem.parts[i];
            if ((part.lies[0] & lies_straight) != 0)
                lies_.push_back({i, cells(part.size[0], sheet[0], length_),
                                 cells(part.size[1], sheet[1], width_)});
            if ((part.lies[0] & lies_turned) != 0)
                lies_.push_back({i, cells(part.size[1], sheet[0], length_),
                                 cells(part.size[0], sheet[1], width_)});
        }
        // A part thinner than a cell would fit without end: it is left out of the patterns, and of
        // the demand.
        for (const Lie& lie : lies_)
            if (lie.length == 0 || lie.width == 0) too_thin_.push_back(lie.part);
        std::erase_if(lies_, [&](const Lie& lie) { return is_too_thin(lie.part); });
        best_.resize(static_cast<std::size_t>(length_ + 1) * static_cast<std::size_t>(width_ + 1));
    }

    [[nodiscard]] bool is_too_thin(std::size_t part) const {
        return std::find(too_thin_.begin(), too_thin_.end(), part) != too_thin_.end();
    }
    /// Steps of one `solve`; its inner loops are short work.
    [[nodiscard]] std::int64_t work() const {
        return std::int64_t{length_} * width_ * (length_ + width_) / 64;
    }

    std::int32_t solve(const std::vector<std::int32_t>& values, const Stop& stop) {
        std::fill(best_.begin(), best_.end(), 0);
        for (const Lie& lie : lies_) {
            std::int32_t& cell = column(lie.length)[lie.width];
            cell = std::max(cell, values[lie.part]);
        }
        for (std::int32_t l = 1; l <= length_; ++l) {
            stop.step(1 + std::int64_t{width_} * (l + width_) / cells_per_step);
            std::int32_t* here = column(l);
            const std::int32_t* shorter = column(l - 1);
            for (std::int32_t w = 1; w <= width_; ++w) here[w] = std::max(here[w], shorter[w]);
            for (std::int32_t a = 1; 2 * a <= l; ++a) {
                const std::int32_t* first = column(a);
                const std::int32_t* second = column(l - a);
                for (std::int32_t w = 1; w <= width_; ++w)
                    here[w] = std::max(here[w], first[w] + second[w]);
            }
            for (std::int32_t w = 1; w <= width_; ++w) {
                here[w] = std::max(here[w], here[w - 1]);
                const std::int32_t value = here[w];
                const std::int32_t end = std::min(w, width_ - w);
                for (std::int32_t b = 1; b <= end; ++b)
                    here[w + b] = std::max(here[w + b], value + here[b]);
            }
        }
        return column(length_)[width_];
    }

    /// How often the best pattern of the last `solve` makes each part.
    [[nodiscard]] std::vector<double> pattern(const std::vector<std::int32_t>& values) {
        std::vector<double> counts(values.size(), 0.0);
        trace(values, length_, width_, counts);
        return counts;
    }

  private:
    std::int32_t* column(std::int32_t l) {
        return &best_[static_cast<std::size_t>(l) * static_cast<std::size_t>(width_ + 1)];
    }

    void trace(const std::vector<std::int32_t>& values, std::int32_t l, std::int32_t w,
               std::vector<double>& counts) {
        const std::int32_t value = column(l)[w];
        if (value == 0) return;
        while (column(l - 1)[w] == value) --l;
        while (column(l)[w - 1] == value) --w;
        for (const Lie& lie : lies_)
            if (lie.length == l && lie.width == w && values[lie.part] == value) {
                counts[lie.part] += 1;
                return;
            }
        for (std::int32_t a = 1; 2 * a <= l; ++a)
            if (column(a)[w] + column(l - a)[w] == value) {
                trace(values, a, w, counts);
                trace(values, l - a, w, counts);
                return;
            }
        for (std::int32_t b = 1; 2 * b <= w; ++b)
            if (column(l)[b] + column(l)[w - b] == value) {
                trace(values, l, b, counts);
                trace(values, l, w - b, counts);
                return;
            }
    }

    std::int32_t length_ = 0, width_ = 0;
    std::vector<Lie> lies_;
    std::vector<std::size_t> too_thin_;
    std::vector<std::int32_t> best_;
};

/// Least sum of x >= 0 with every part's demand met by its patterns: the simplex method with the
/// inverse kept.
class Mixture {
  public:
    /// Begins with one pattern a part, of one copy.
    explicit Mixture(const std::vector<double>& demand)
        : rows_(demand.size()), inverse_(rows_ * rows_, 0.0), x_(demand), cost_(rows_, 1.0),
          prices_(rows_, 1.0) {
        for (std::size_t i = 0; i < rows_; ++i) inverse_[i * rows_ + i] = 1.0;
    }

    [[nodiscard]] const std::vector<double>& prices() const { return prices_; }
    [[nodiscard]] double sum() const {
        double sum = 0;
        for (std::size_t i = 0; i < rows_; ++i) sum += x_[i] * cost_[i];
        return sum;
    }

    /// Takes a column into the mixture. False when that changes nothing any more.
    bool enter(const std::vector<double>& column, double cost) {
        std::vector<double> direction(rows_, 0.0);
        for (std::size_t j = 0; j < rows_; ++j) {
            if (column[j] == 0) continue;
            for (std::size_t i = 0; i < rows_; ++i)
                direction[i] += inverse_[i * rows_ + j] * column[j];
        }
        std::size_t leaving = rows_;
        for (std::size_t i = 0; i < rows_; ++i) {
            if (direction[i] <= 1e-9) continue;
            if (leaving == rows_ || x_[i] * direction[leaving] < x_[leaving] * direction[i])
                leaving = i;
        }
        if (leaving == rows_) return false;
        const double pivot = direction[leaving];
        double* pivot_row = &inverse_[leaving * rows_];
        for (std::size_t j = 0; j < rows_; ++j) pivot_row[j] /= pivot;
        x_[leaving] /= pivot;
        for (std::size_t i = 0; i < rows_; ++i) {
            if (i == leaving || direction[i] == 0) continue;
            const double factor = direction[i];
            double* row = &inverse_[i * rows_];
            for (std::size_t j = 0; j < rows_; ++j) row[j] -= factor * pivot_row[j];
            x_[i] = std::max(0.0, x_[i] - factor * x_[leaving]);
        }
        cost_[leaving] = cost;
        std::fill(prices_.begin(), prices_.end(), 0.0);
        for (std::size_t i = 0; i < rows_; ++i) {
            if (cost_[i] == 0) continue;
            const double* row = &inverse_[i * rows_];
            for (std::size_t j = 0; j < rows_; ++j) prices_[j] += cost_[i] * row[j];
        }
        return true;
    }

  private:
    std::size_t rows_;
    std::vector<double> inverse_, x_, cost_, prices_;
};

} // namespace

Bound pattern_bound(const CuttingJob& order, const Problem& problem, std::int64_t known,
                    std::int64_t enough, std::int64_t& steps, std::int64_t last_step) {
    Bound bound;
    const std::size_t kinds = problem.parts.size();
    if (problem.sheets.size() != 1 || kinds == 0 || kinds > most_kinds) return bound;
    bound.method = "patterns";
    PatternTable table(problem);
    std::vector<double> demand;
    for (std::size_t i = 0; i < kinds; ++i)
        demand.push_back(table.is_too_thin(i) ? 0.0 : problem.parts[i].count);
    Mixture mixture(demand);
    std::vector<double> centre(kinds, 0.0); // prices of the best bound so far
    std::vector<std::int32_t> values(kinds);
    double best_bound = 0;
    // Prices are drawn towards those of the best bound: fewer rounds.
    double pull = 0.6;
    while (steps < last_step) {
        const std::vector<double>& prices = mixture.prices();
        const auto lowest = std::min_element(prices.begin(), prices.end());
        if (*lowest < -1e-7) { // more is made of this part than wanted
            std::vector<double> surplus(kinds, 0.0);
            surplus[static_cast<std::size_t>(lowest - prices.begin())] = -1.0;
            if (!mixture.enter(surplus, 0.0)) break;
            steps += static_cast<std::int64_t>(kinds * kinds / 16);
            continue;
        }
        std::int64_t worth = 0;
        for (std::size_t i = 0; i < kinds; ++i) {
            const double value =
                best_bound > 0 ? pull * centre[i] + (1 - pull) * prices[i] : prices[i];
            values[i] = static_cast<std::int32_t>(std::clamp(value, 0.0, 1.0) * largest_value);
            if (demand[i] == 0) values[i] = 0;
            worth += std::int64_t{values[i]} * problem.parts[i].count;
        }
        const std::int32_t most = table.solve(values, problem.stop);
        steps += table.work() + static_cast<std::int64_t>(kinds * kinds / 16);
        if (most <= 0) break;
        bound.sheets = std::max(bound.sheets, (worth + most - 1) / most);
        const double fraction = static_cast<double>(worth) / most;
        if (fraction > best_bound) {
            best_bound = fraction;
            for (std::size_t i = 0; i < kinds; ++i)
                centre[i] = values[i] / static_cast<double>(most);
        }
        const double sum = mixture.sum();
        if (bound.sheets >= enough ||
            std::ceil(sum - 1e-6) <= static_cast<double>(std::max(known, bound.sheets)))
            break;
        const std::vector<double> pattern = table.pattern(values);
        double gain = -1.0;
        for (std::size_t i = 0; i < kinds; ++i) gain += pattern[i] * prices[i];
        if (gain > 1e-7) {
            if (!mixture.enter(pattern, 1.0)) break;
        } else if (pull > 0) {
            pull = 0; // the pulled prices no longer find anything new
        } else {
            break;
        }
    }
    bound.cost =
        bound.sheets * order.formats[static_cast<std::size_t>(problem.sheets[0].format)].cost;
    return bound;
}

} // namespace aumbry::sheet_goods
