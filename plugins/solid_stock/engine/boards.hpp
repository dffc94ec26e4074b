// Cutting pieces to length: which boards, which pieces from each, with kerf and end trim.
#pragma once

#include "aumbry/stop.hpp"
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace aumbry::solid_stock {

/// A length that can be bought, or boards at hand. Lengths are whole steps of the cutting grid.
struct Stock {
    std::string name;            ///< for messages only
    std::int64_t length = 0;     ///< as it lies there, ends included
    std::int64_t cost = 0;       ///< of one board, minor units; an owned board's preparation, or 0
    std::int64_t limit = -1;     ///< most boards of it; negative: as many as needed
    std::int64_t trim_start = 0; ///< cut away at the first end, saw cut included: bad ends, checks
    std::int64_t trim_end = 0;   ///< likewise at the far end
    bool owned = false;          ///< at hand already; carried through to the plan
};

/// Pieces of one finished length.
struct Part {
    std::string name;
    std::int64_t length = 0;
    std::int64_t count = 0;
};

struct BoardOrder {
    std::vector<Stock> stock;
    std::vector<Part> parts;
    std::int64_t kerf = 0; ///< width of one saw cut
};

/// One piece on a board.
struct PlacedPiece {
    std::size_t part = 0;      ///< index into the order's parts
    std::int64_t position = 0; ///< of its near end, from the board's first end
};

/// Boards that are cut alike.
struct CutBoard {
    std::size_t stock = 0; ///< index into the order's stock
    std::int64_t copies = 1;
    std::vector<PlacedPiece> pieces; ///< in order of position, longest first
    std::int64_t offcut = 0; ///< sound length left beyond the last cut; 0 when the kerf ate it
};

struct BoardPlan {
    std::vector<CutBoard> boards; ///< in the same order every time
    std::vector<std::int64_t>
        unmet; ///< pieces of each part that the limited stock did not suffice for
    std::int64_t cost = 0;
    std::int64_t used = 0;       ///< boards
    std::int64_t cost_bound = 0; ///< no plan costs less
    std::int64_t used_bound = 0; ///< no plan uses fewer boards
    bool proven = false;         ///< no plan leaves fewer pieces unmet, nor costs less
    std::int64_t steps = 0;      ///< effort spent
};

/// Steps for the efforts `draft`, `normal`, `thorough`; fails on another word.
[[nodiscard]] std::int64_t effort_steps(std::string_view effort);

/// Finds the cheapest plan for an order; among plans of equal cost one of few boards.
/// With kerf k, pieces a1..an fit a sound length L when a1 + .. + an + (n - 1) k <= L: the last
/// piece may end at the sound end without a cut. That is cutting without kerf with every piece and
/// the sound length longer by k, which is how it is solved. Fails with a sentence each for: no
/// stock, a length or count or kerf out of range, a piece longer than the sound length of every
/// board. Too few limited boards are no fault: see `unmet`.
[[nodiscard]] BoardPlan plan_boards(const BoardOrder& order, std::int64_t effort,
                                    const Stop& stop = {});

/// Says what is wrong with a plan, or nothing: pieces counted, inside the sound length, a kerf
/// apart, limits kept, cost, offcuts. Shares no code with the search.
[[nodiscard]] std::string check_plan(const BoardOrder& order, const BoardPlan& plan);

} // namespace aumbry::solid_stock
