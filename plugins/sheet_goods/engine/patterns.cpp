#include "sheet_goods/engine/patterns.hpp"

#include <algorithm>
#include <utility>

namespace aumbry::sheet_goods {

namespace {

constexpr std::int64_t cells_per_step = 32; // of the table, in a step of the search

std::int32_t cells(std::int32_t size, std::int32_t whole, std::int32_t count) {
    return static_cast<std::int32_t>(std::int64_t{size} * count / whole);
}

/// How many cells along an axis: by as many the parts lose least when they are rounded down.
std::int32_t best_cells(const Problem& problem, std::size_t kind, std::size_t axis,
                        std::int32_t most) {
    const std::int32_t whole = problem.sheets[kind].size[axis];
    if (whole <= most) return whole;
    std::int32_t best = most;
    double least = 1e300;
    for (std::int32_t count = most; 4 * count >= 3 * most; --count) {
        double lost = 0; // share of the parts' area
        const auto add = [&](const PartKind& part, std::size_t side) {
            const double exact = static_cast<double>(part.size[side]) * count / whole;
            lost += static_cast<double>(part.area) * part.count *
                    (exact - cells(part.size[side], whole, count)) / exact;
        };
        for (const PartKind& part : problem.parts) {
            if ((part.lies[kind] & lies_straight) != 0) add(part, axis);
            if ((part.lies[kind] & lies_turned) != 0) add(part, 1 - axis);
        }
        if (lost >= least) continue;
        least = lost;
        best = count;
    }
    return best;
}

} // namespace

PatternTable::PatternTable(const Problem& problem, std::size_t kind, std::int32_t most_cells) {
    const GridSize& sheet = problem.sheets[kind].size;
    length_ = best_cells(problem, kind, 0, most_cells);
    width_ = best_cells(problem, kind, 1, most_cells);
    for (std::size_t i = 0; i < problem.parts.size(); ++i) {
        const PartKind& part = problem.parts[i];
        if ((part.lies[kind] & lies_straight) != 0)
            lies_.push_back(
                {i, cells(part.size[0], sheet[0], length_), cells(part.size[1], sheet[1], width_)});
        if ((part.lies[kind] & lies_turned) != 0)
            lies_.push_back(
                {i, cells(part.size[1], sheet[0], length_), cells(part.size[0], sheet[1], width_)});
    }
    for (const Lie& lie : lies_)
        if (lie.length == 0 || lie.width == 0) too_thin_.push_back(lie.part);
    std::erase_if(lies_, [&](const Lie& lie) { return is_too_thin(lie.part); });
    best_.resize(static_cast<std::size_t>(length_ + 1) * static_cast<std::size_t>(width_ + 1));
}

bool PatternTable::is_too_thin(std::size_t part) const {
    return std::find(too_thin_.begin(), too_thin_.end(), part) != too_thin_.end();
}

double PatternTable::largest_scale(const std::vector<double>& values) const {
    constexpr double largest_value = 1 << 20; // of one part: fine enough
    constexpr double largest_sum = 1 << 30;
    double scale = largest_value;
    for (const Lie& lie : lies_) {
        const double value = values[lie.part];
        if (value <= 0) continue;
        scale = std::min(scale, largest_value / value);
        const double most =
            static_cast<double>(length_) * width_ / (static_cast<double>(lie.length) * lie.width);
        scale = std::min(scale, largest_sum / (value * most));
    }
    return scale;
}

std::int32_t PatternTable::solve(const std::vector<std::int32_t>& values, const Stop& stop) {
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

std::vector<double> PatternTable::pattern(const std::vector<std::int32_t>& values) {
    std::vector<double> counts(values.size(), 0.0);
    trace(values, length_, width_, counts);
    return counts;
}

void PatternTable::trace(const std::vector<std::int32_t>& values, std::int32_t l, std::int32_t w,
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

Mixture::Mixture(const std::vector<double>& demand, const std::vector<double>& costs)
    : rows_(demand.size()), inverse_(rows_ * rows_, 0.0), x_(demand), cost_(costs), prices_(costs) {
    for (std::size_t i = 0; i < rows_; ++i) inverse_[i * rows_ + i] = 1.0;
}

double Mixture::cost() const {
    double sum = 0;
    for (std::size_t i = 0; i < rows_; ++i) sum += x_[i] * cost_[i];
    return sum;
}

bool Mixture::enter(const std::vector<double>& column, double cost) {
    std::vector<double> direction(rows_, 0.0);
    for (std::size_t j = 0; j < rows_; ++j) {
        if (column[j] == 0) continue;
        for (std::size_t i = 0; i < rows_; ++i) direction[i] += inverse_[i * rows_ + j] * column[j];
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

} // namespace aumbry::sheet_goods
