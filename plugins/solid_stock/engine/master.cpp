#include "solid_stock/engine/master.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace aumbry::solid_stock {
namespace {
constexpr double tiny = 1e-9;
} // namespace

Master::Master(const std::vector<std::int64_t>& demand, const std::vector<std::int64_t>& limit,
               const std::vector<Pattern>& start, const std::vector<double>& start_cost)
    : parts_(demand.size()), rows_(demand.size()), stock_row_(limit.size(), -1) {
    for (std::size_t s = 0; s < limit.size(); ++s)
        if (limit[s] >= 0) stock_row_[s] = static_cast<std::ptrdiff_t>(rows_++);
    right_.resize(rows_);
    // Nudging the right-hand sides apart keeps the simplex from circling on ties; prices stay valid
    // for any right-hand side, and the use of patterns moves by less than it is ever read to.
    std::uint32_t mix = 12345;
    const auto nudge = [&mix] {
        mix = mix * 1664525u + 1013904223u;
        return 1e-6 * (1.0 + static_cast<double>(mix >> 16) / 65536.0);
    };
    for (std::size_t i = 0; i < parts_; ++i) right_[i] = static_cast<double>(demand[i]) + nudge();
    for (std::size_t s = 0; s < limit.size(); ++s)
        if (stock_row_[s] >= 0)
            right_[static_cast<std::size_t>(stock_row_[s])] =
                static_cast<double>(limit[s]) + nudge();

    slack_in_basis_.assign(rows_, 0);
    basis_.resize(rows_);
    for (std::size_t i = 0; i < parts_; ++i) {
        basis_[i] = static_cast<std::ptrdiff_t>(add(start[i], start_cost[i]));
        in_basis_[i] = 1;
    }
    for (std::size_t r = parts_; r < rows_; ++r) {
        basis_[r] = -1 - static_cast<std::ptrdiff_t>(r);
        slack_in_basis_[r] = 1;
    }
    refactor();
}

std::size_t Master::add(Pattern pattern, double cost) {
    patterns_.push_back(std::move(pattern));
    cost_.push_back(cost);
    in_basis_.push_back(0);
    return patterns_.size() - 1;
}

double Master::stock_price(std::size_t stock) const {
    return stock_row_[stock] < 0 ? 0.0 : price_[static_cast<std::size_t>(stock_row_[stock])];
}

double Master::reduced_cost(std::size_t column) const {
    const Pattern& pattern = patterns_[column];
    double cost = cost_[column];
    for (const Take& take : pattern.takes)
        cost -= price_[take.part] * static_cast<double>(take.count);
    if (pattern.stock != Pattern::unmet) cost -= stock_price(pattern.stock);
    return cost;
}

std::vector<double> Master::use() const {
    std::vector<double> use(patterns_.size(), 0.0);
    for (std::size_t r = 0; r < rows_; ++r)
        if (basis_[r] >= 0) use[static_cast<std::size_t>(basis_[r])] = level_[r];
    return use;
}

double Master::objective() const {
    double total = 0;
    for (std::size_t r = 0; r < rows_; ++r)
        if (basis_[r] >= 0) total += cost_[static_cast<std::size_t>(basis_[r])] * level_[r];
    return total;
}

void Master::load_column(std::size_t column, std::vector<double>& dense) {
    const Pattern& pattern = patterns_[column];
    for (const Take& take : pattern.takes) dense[take.part] = static_cast<double>(take.count);
    if (pattern.stock != Pattern::unmet && stock_row_[pattern.stock] >= 0)
        dense[static_cast<std::size_t>(stock_row_[pattern.stock])] = 1.0;
}

void Master::refactor() {
    // Gauss-Jordan with row exchange on [B | I].
    const std::size_t n = rows_;
    std::vector<double> matrix(n * n, 0.0);
    inverse_.assign(n * n, 0.0);
    std::vector<double> dense(n);
    std::vector<std::size_t> in_matrix, in_inverse;
    for (std::size_t r = 0; r < n; ++r) {
        std::fill(dense.begin(), dense.end(), 0.0);
        if (basis_[r] >= 0)
            load_column(static_cast<std::size_t>(basis_[r]), dense);
        else {
            const auto row = static_cast<std::size_t>(-1 - basis_[r]);
            dense[row] = row < parts_ ? -1.0 : 1.0; // a demand's surplus, a limit's slack
        }
        for (std::size_t i = 0; i < n; ++i) matrix[i * n + r] = dense[i];
        inverse_[r * n + r] = 1.0;
    }
    for (std::size_t c = 0; c < n; ++c) {
        std::size_t best = c;
        for (std::size_t r = c + 1; r < n; ++r)
            if (std::fabs(matrix[r * n + c]) > std::fabs(matrix[best * n + c])) best = r;
        if (std::fabs(matrix[best * n + c]) < 1e-12) continue;
        if (best != c)
            for (std::size_t k = 0; k < n; ++k) {
                std::swap(matrix[best * n + k], matrix[c * n + k]);
                std::swap(inverse_[best * n + k], inverse_[c * n + k]);
            }
        const double scale = 1.0 / matrix[c * n + c];
        in_matrix.clear();
        in_inverse.clear();
        for (std::size_t k = 0; k < n; ++k) {
            if (matrix[c * n + k] != 0.0) {
                matrix[c * n + k] *= scale;
                in_matrix.push_back(k);
            }
            if (inverse_[c * n + k] != 0.0) {
                inverse_[c * n + k] *= scale;
                in_inverse.push_back(k);
            }
        }
        for (std::size_t r = 0; r < n; ++r) {
            const double factor = matrix[r * n + c];
            if (r == c || factor == 0.0) continue;
            work_ += static_cast<std::int64_t>(in_matrix.size() + in_inverse.size());
            for (const std::size_t k : in_matrix) matrix[r * n + k] -= factor * matrix[c * n + k];
            for (const std::size_t k : in_inverse)
                inverse_[r * n + k] -= factor * inverse_[c * n + k];
        }
    }
    level_.assign(n, 0.0);
    price_.assign(n, 0.0);
    for (std::size_t r = 0; r < n; ++r) {
        const double cost = basis_[r] >= 0 ? cost_[static_cast<std::size_t>(basis_[r])] : 0.0;
        for (std::size_t k = 0; k < n; ++k) {
            level_[r] += inverse_[r * n + k] * right_[k];
            price_[k] += cost * inverse_[r * n + k];
        }
    }
    pivots_since_refactor_ = 0;
    work_ += static_cast<std::int64_t>(2 * n * n);
}

void Master::set_cost(const std::vector<std::size_t>& columns, double cost) {
    for (const std::size_t column : columns) cost_[column] = cost;
    refactor();
}

std::optional<Master::Entering> Master::most_saving() {
    std::optional<Entering> best;
    const auto see = [&](double reduced, double scale, std::ptrdiff_t column) {
        if (reduced < -tiny * (1.0 + std::fabs(scale)) && reduced < (best ? best->reduced : 0.0))
            best = {column, reduced};
    };
    for (std::size_t c = 0; c < patterns_.size(); ++c) {
        work_ += 4;
        if (!in_basis_[c]) see(reduced_cost(c), cost_[c], static_cast<std::ptrdiff_t>(c));
    }
    for (std::size_t r = 0; r < rows_; ++r)
        if (!slack_in_basis_[r])
            see(r < parts_ ? price_[r] : -price_[r], price_[r],
                -1 - static_cast<std::ptrdiff_t>(r));
    return best;
}

/// How the basic columns give way to the entering one.
void Master::direct(std::ptrdiff_t entering, std::vector<double>& dense,
                    std::vector<double>& direction) {
    std::fill(dense.begin(), dense.end(), 0.0);
    if (entering >= 0)
        load_column(static_cast<std::size_t>(entering), dense);
    else {
        const auto row = static_cast<std::size_t>(-1 - entering);
        dense[row] = row < parts_ ? -1.0 : 1.0;
    }
    std::fill(direction.begin(), direction.end(), 0.0);
    for (std::size_t k = 0; k < rows_; ++k) {
        if (dense[k] == 0.0) continue;
        for (std::size_t r = 0; r < rows_; ++r) direction[r] += inverse_[r * rows_ + k] * dense[k];
    }
}

void Master::pivot(std::size_t leaving, double ratio, double reduced,
                   const std::vector<double>& direction, std::vector<std::size_t>& filled) {
    // The inverse of a cutting programme is mostly zeros: only the others are touched.
    double* pivot_row = &inverse_[leaving * rows_];
    const double scale = 1.0 / direction[leaving];
    filled.clear();
    for (std::size_t k = 0; k < rows_; ++k) {
        if (std::fabs(pivot_row[k]) < 1e-13) {
            pivot_row[k] = 0.0;
            continue;
        }
        pivot_row[k] *= scale;
        filled.push_back(k);
    }
    for (std::size_t r = 0; r < rows_; ++r) {
        if (r == leaving || direction[r] == 0.0) continue;
        const double factor = direction[r];
        double* row = &inverse_[r * rows_];
        for (const std::size_t k : filled) row[k] -= factor * pivot_row[k];
        level_[r] -= factor * ratio;
        work_ += static_cast<std::int64_t>(filled.size());
    }
    level_[leaving] = ratio;
    for (std::size_t k = 0; k < rows_; ++k) price_[k] += reduced * pivot_row[k];
}

void Master::swap_basis(std::size_t leaving, std::ptrdiff_t entering) {
    const auto mark = [&](std::ptrdiff_t column, char in) {
        if (column >= 0)
            in_basis_[static_cast<std::size_t>(column)] = in;
        else
            slack_in_basis_[static_cast<std::size_t>(-1 - column)] = in;
    };
    mark(basis_[leaving], 0);
    basis_[leaving] = entering;
    mark(entering, 1);
}

void Master::optimise(std::int64_t max_pivots, const Stop& stop) {
    std::vector<double> dense(rows_), direction(rows_);
    std::vector<std::size_t> filled;
    for (std::int64_t pivots = 0; pivots < max_pivots; ++pivots) {
        const std::int64_t before = work_;
        const std::optional<Entering> entering = most_saving();
        if (!entering) return;
        direct(entering->column, dense, direction);
        std::size_t leaving = rows_;
        double ratio = 0.0;
        for (std::size_t r = 0; r < rows_; ++r) {
            if (direction[r] <= 1e-8) continue;
            const double now = std::max(level_[r], 0.0) / direction[r];
            if (leaving == rows_ || now < ratio - 1e-12 ||
                (now <= ratio + 1e-12 && direction[r] > direction[leaving])) {
                leaving = r;
                ratio = now;
            }
        }
        if (leaving == rows_) { // only rounding can bring this about: costs are not negative
            if (pivots_since_refactor_ == 0) return;
            refactor();
            continue;
        }
        pivot(leaving, ratio, entering->reduced, direction, filled);
        swap_basis(leaving, entering->column);
        stop.step(work_ - before);
        if (++pivots_since_refactor_ >= 100 + static_cast<std::int64_t>(rows_)) refactor();
    }
}

} // namespace aumbry::solid_stock
