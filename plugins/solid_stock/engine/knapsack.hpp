// Filling one board: the most valuable choice of pieces that fits a length.
#pragma once

#include <cstdint>
#include <vector>

namespace aumbry::solid_stock {

/// One kind of piece that may go on the board.
struct FillItem {
    std::int64_t length = 0; ///< what it takes of the board, at least 1
    std::int64_t value = 0;  ///< what it is worth; kinds worth nothing are left out
    std::int64_t most = 0;   ///< most pieces of this kind
};

/// A filling and how good any filling could be.
struct Filling {
    std::vector<std::int64_t> counts; ///< pieces of each kind, in the order given
    std::int64_t value = 0;           ///< sum of the values taken
    std::int64_t upper =
        0; ///< no filling is worth more; equals `value` when the search ended by itself
    std::int64_t steps = 0; ///< work done
    std::vector<std::vector<std::int64_t>>
        earlier; ///< up to three fillings found on the way, best first
};

/// The most valuable filling of `capacity`, by depth-first search over kinds in order of value per
/// length with the fractional bound; a search that grows long is finished by a table over lengths
/// when that table is small. `slack`: a filling within this much of the best is good enough
/// (`upper` says so). All arithmetic is on whole numbers; `upper` is safe. Products length x value
/// must fit 126 bits, sums of values 62 bits.
[[nodiscard]] Filling fill_best(const std::vector<FillItem>& items, std::int64_t capacity,
                                std::int64_t slack = 0);

/// One listed filling.
using Counts = std::vector<std::int64_t>;

/// Lists every filling to which no further piece can be added, that holds at least one piece of
/// kind `must` and is worth at least `least`. Kinds worth nothing take part here.
/// Returns false when more than `most_listed` were found or `max_steps` was used up: the list is
/// then not complete. `steps` grows by the work done.
[[nodiscard]] bool list_fillings(const std::vector<FillItem>& items, std::int64_t capacity,
                                 std::size_t must, std::int64_t least, std::size_t most_listed,
                                 std::int64_t max_steps, std::vector<Counts>& listed,
                                 std::int64_t& steps);

} // namespace aumbry::solid_stock
