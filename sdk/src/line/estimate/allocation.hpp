// Costs split over lines, pieces and modules so that every view adds up to the cent.
#pragma once

#include "aumbry/estimate.hpp"

#include <map>
#include <string>
#include <utility>
#include <vector>

namespace aumbry {

enum class Category { goods, services, delivery, labour, tax_as_cost };

/// Where a cost belongs: the finest split that the estimate shows.
using Cell = std::pair<std::string, std::string>; ///< module, piece; empty: shared by all

/// One cost and where it belongs.
struct Charge {
    Cell cell;
    Category category = Category::goods;
    Money amount;
};

/// Collects costs in cells.
class Allocation {
  public:
    explicit Allocation(Currency currency) : currency_(std::move(currency)) {}

    void add(const Charge& charge) { add(charge.cell, charge.category, charge.amount); }
    void add(const Cell& cell, Category category, const Money& amount);

    [[nodiscard]] Money sum(Category category) const;

    /// The totals of all cells once contingency, markup and the tax charged are known; these are
    /// spread over the cells in proportion to their costs, cents by largest remainder. A job
    /// without any cost carries them in one cell of its own.
    struct Settled {
        Totals totals;
        std::map<Cell, Totals> cells;
    };
    [[nodiscard]] Settled settle(const Money& contingency, const Money& markup,
                                 const Money& tax_charged) const;

    /// The totals of the cells by one of the two keys.
    [[nodiscard]] static std::map<std::string, Totals> by_module(const Settled& settled,
                                                                 const Currency& currency);
    [[nodiscard]] static std::map<std::string, Totals> by_piece(const Settled& settled,
                                                                const Currency& currency);

  private:
    Currency currency_;
    std::map<Cell, std::map<Category, Money>> cells_;
};

/// All zero.
[[nodiscard]] Totals no_totals(const Currency& currency);

} // namespace aumbry
