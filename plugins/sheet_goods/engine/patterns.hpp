// What one sheet can yield, and mixtures of such patterns: the two halves of a bound by column
// generation (Gilmore and Gomory 1965).
#pragma once

#include "sheet_goods/engine/problem.hpp"

#include <cstdint>
#include <vector>

namespace aumbry::sheet_goods {

/// The most valuable pattern of one kind of sheet, for given values of the parts; a part may be
/// repeated beyond its count. Worked out on a grid with every part rounded down to its cells, so no
/// pattern is worth more than it says.
class PatternTable {
  public:
    /// At most so many cells of the grid along one axis.
    PatternTable(const Problem& problem, std::size_t kind, std::int32_t most_cells);

    /// A part thinner than a cell would fit without end: it is left out of the patterns, and must
    /// be left out of the demand.
    [[nodiscard]] bool is_too_thin(std::size_t part) const;
    /// Steps of one `solve`; its inner loops are short work.
    [[nodiscard]] std::int64_t work() const {
        return std::int64_t{length_} * width_ * (length_ + width_) / 64;
    }
    /// The most that values may be scaled by, so that no pattern's exceeds 2^30.
    [[nodiscard]] double largest_scale(const std::vector<double>& values) const;
    /// The value of the best pattern, at most 2^30.
    std::int32_t solve(const std::vector<std::int32_t>& values, const Stop& stop);
    /// How often the best pattern of the last `solve` makes each part.
    [[nodiscard]] std::vector<double> pattern(const std::vector<std::int32_t>& values);

  private:
    /// One way a part may lie, in cells.
    struct Lie {
        std::size_t part = 0;
        std::int32_t length = 0, width = 0;
    };

    std::int32_t* column(std::int32_t l) {
        return &best_[static_cast<std::size_t>(l) * static_cast<std::size_t>(width_ + 1)];
    }
    void trace(const std::vector<std::int32_t>& values, std::int32_t l, std::int32_t w,
               std::vector<double>& counts);

    std::int32_t length_ = 0, width_ = 0;
    std::vector<Lie> lies_;
    std::vector<std::size_t> too_thin_;
    std::vector<std::int32_t> best_;
};

/// Least cost of columns x >= 0 that make up every row's demand: the simplex method with the
/// inverse kept.
class Mixture {
  public:
    /// Begins with one column a row, of one unit, at that cost.
    Mixture(const std::vector<double>& demand, const std::vector<double>& costs);

    /// What one unit of each row is worth.
    [[nodiscard]] const std::vector<double>& prices() const { return prices_; }
    [[nodiscard]] double cost() const;
    /// Takes a column into the mixture. False when that changes nothing any more.
    bool enter(const std::vector<double>& column, double cost);

  private:
    std::size_t rows_;
    std::vector<double> inverse_, x_, cost_, prices_;
};

} // namespace aumbry::sheet_goods
