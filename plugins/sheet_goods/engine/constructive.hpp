// A first packing: parts in some order, each where it fits best on the sheets begun, else on a new
// sheet.
#pragma once

#include "sheet_goods/engine/packing.hpp"

#include <cstdint>
#include <vector>

namespace aumbry::sheet_goods {

/// What comes first when parts are laid out.
enum class Sequence { by_area, by_longer_side, by_length, by_width };
/// Which kind of sheet is begun when no sheet has room.
enum class Begin { best_value, cheapest, largest };

/// All items, in the order of the sequence; equal items keep together.
[[nodiscard]] std::vector<int> in_sequence(const Problem& problem, Sequence sequence);

/// The kind of sheet to begin for the part, -1 when none can be had for at most `most_price`.
[[nodiscard]] int kind_to_begin(const Problem& problem, const std::vector<std::int64_t>& used,
                                const PartKind& part, Begin begin, std::int64_t most_price);

/// Lays out the packing's unplaced items one after another, in their order, on its sheets and new
/// ones. Only the newest sheets stay open, as many as keep the work for one part below a constant,
/// so that the whole takes time in proportion to the parts.
void place_rest(const Problem& problem, Packing& packing, Begin begin, std::int64_t& steps);

/// The best of several sequences and ways to begin; fewer for large orders.
[[nodiscard]] Packing construct_best(const Problem& problem, std::int64_t& steps);

} // namespace aumbry::sheet_goods
