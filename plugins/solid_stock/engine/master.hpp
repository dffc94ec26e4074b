// The linear programme behind a cutting plan: how often each pattern is used, parts of boards
// allowed.
#pragma once

#include "aumbry/stop.hpp"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

namespace aumbry::solid_stock {

/// How many pieces of one kind a pattern yields.
struct Take {
    std::size_t part = 0;
    std::int64_t count = 0;
    bool operator==(const Take&) const = default;
};

/// What comes out of one board. `stock` is the index of the board bought, or `unmet` when the
/// pattern stands for a piece that stays uncut.
struct Pattern {
    static constexpr std::size_t unmet = static_cast<std::size_t>(-1);
    std::size_t stock = 0;
    std::vector<Take> takes; ///< in order of part, counts above zero
    bool operator==(const Pattern&) const = default;
};

/// Minimise cost over columns x >= 0: every part's demand is covered, no limited stock is overrun.
/// Primal simplex with an explicit inverse. Its doubles only ever propose: which patterns, which
/// prices. Nothing that is reported as a bound comes from here. Only + - * / are used, so that
/// every machine computes the same bits.
class Master {
  public:
    /// `demand[i]` pieces of part i; `limit[s]` boards of stock s, negative when unlimited.
    /// `start[i]` is a pattern that holds part i alone and no limited stock, costing
    /// `start_cost[i]`.
    Master(const std::vector<std::int64_t>& demand, const std::vector<std::int64_t>& limit,
           const std::vector<Pattern>& start, const std::vector<double>& start_cost);

    std::size_t add(Pattern pattern, double cost);

    /// Gives columns another cost; the next pivots go by it.
    void set_cost(const std::vector<std::size_t>& columns, double cost);

    /// Pivots until no column known improves, or `max_pivots` were made. Counts `work` at `stop`.
    void optimise(std::int64_t max_pivots, const Stop& stop);

    [[nodiscard]] const std::vector<Pattern>& columns() const { return patterns_; }
    /// Use of each column, in the order of `columns()`.
    [[nodiscard]] std::vector<double> use() const;
    [[nodiscard]] double part_price(std::size_t part) const { return price_[part]; }
    /// Zero or below; zero for unlimited stock.
    [[nodiscard]] double stock_price(std::size_t stock) const;
    [[nodiscard]] double reduced_cost(std::size_t column) const;
    [[nodiscard]] double objective() const;
    /// Elementary operations done so far.
    [[nodiscard]] std::int64_t work() const { return work_; }

  private:
    struct Entering {
        std::ptrdiff_t column = 0; ///< below zero: slack of row -1 - column
        double reduced = 0;
    };
    /// The column that saves most per use.
    std::optional<Entering> most_saving();
    void direct(std::ptrdiff_t entering, std::vector<double>& dense,
                std::vector<double>& direction);
    void pivot(std::size_t leaving, double ratio, double reduced,
               const std::vector<double>& direction, std::vector<std::size_t>& filled);
    void swap_basis(std::size_t leaving, std::ptrdiff_t entering);
    void load_column(std::size_t column, std::vector<double>& direction);
    void refactor();

    std::size_t parts_ = 0;
    std::size_t rows_ = 0;
    std::vector<std::ptrdiff_t> stock_row_; ///< row of each limited stock, -1 when unlimited
    std::vector<double> right_;             ///< right-hand side, nudged against ties
    std::vector<Pattern> patterns_;
    std::vector<double> cost_;
    std::vector<std::ptrdiff_t> basis_; ///< column of each row; slack of row r is -1 - r
    std::vector<char> in_basis_;
    std::vector<char> slack_in_basis_;
    std::vector<double> inverse_; ///< rows_ x rows_, row by row
    std::vector<double> level_;   ///< value of the basic column of each row
    std::vector<double> price_;   ///< dual price of each row
    std::int64_t pivots_since_refactor_ = 0;
    std::int64_t work_ = 0;
};

} // namespace aumbry::solid_stock
