// Cutting parts out of wide boards in two stages: rip then crosscut, or crosscut then rip.
#pragma once

#include "aumbry/stop.hpp"
#include <cstdint>
#include <string>
#include <vector>

namespace aumbry::solid_stock {

/// A board with a width. Lengths are whole steps of the cutting grid.
struct WideStock {
    std::string name;
    std::int64_t length = 0;
    std::int64_t width = 0;
    std::int64_t cost = 0;       ///< of one board, minor units
    std::int64_t limit = -1;     ///< most boards of it; negative: as many as needed
    std::int64_t trim_start = 0; ///< bad end cut away, saw cut included
    std::int64_t trim_end = 0;
    std::int64_t trim_edge =
        0; ///< taken off one edge of the board before ripping, saw cut included
    bool owned = false;
};

/// Pieces of one finished size; length runs with the grain.
struct WidePart {
    std::string name;
    std::int64_t length = 0;
    std::int64_t width = 0;
    std::int64_t count = 0;
};

enum class CutOrder {
    rip_first,     ///< strips over the whole length, each then crosscut: wood that keeps still
    crosscut_first ///< blanks of rough length, each then ripped, straightened and finish-cut: wood
                   ///< that moves
};

struct RipOrder {
    std::vector<WideStock> stock;
    std::vector<WidePart> parts;
    std::int64_t kerf = 0;
    CutOrder order = CutOrder::crosscut_first;
    std::int64_t length_allowance =
        0; ///< rough length less finished length; removed by the finish-cuts
    std::int64_t width_allowance =
        0; ///< ripped width less finished width; removed by straightening
};

/// A piece as it leaves the second stage; x along the board's length, y along its width.
struct RoughPiece {
    std::size_t part = 0;
    std::int64_t x = 0, y = 0;
    std::int64_t length = 0, width = 0; ///< with allowances
};

/// What the first stage makes: a strip (rip first) or a blank (crosscut first).
struct Section {
    std::int64_t start = 0; ///< along the width (strip) or the length (blank)
    std::int64_t size = 0;
    std::vector<RoughPiece> pieces; ///< in order of the second stage's cuts
};

struct RippedBoard {
    std::size_t stock = 0;
    std::int64_t copies = 1;
    std::vector<Section> sections;
};

/// Saw and plane work over all boards, for labour.
struct CutCounts {
    std::int64_t crosscuts = 0; ///< to rough length
    std::int64_t rips = 0;
    std::int64_t straightened = 0; ///< pieces whose edges are straightened
    std::int64_t finish_cuts = 0;  ///< two a piece when there is a length allowance
};

struct RipPlan {
    std::vector<RippedBoard> boards;
    std::vector<std::int64_t> unmet;
    CutCounts cuts;
    std::int64_t cost = 0;
    std::int64_t used = 0;
    std::int64_t cost_bound = 0; ///< no two-stage plan costs less
    std::int64_t used_bound = 0; ///< no two-stage plan uses fewer boards
    bool proven = false;
    std::int64_t steps = 0;
};

/// Finds a cheap two-stage plan and bounds the cheapest. Rip first: a strip holds parts of its own
/// ripped width only. Crosscut first: a blank may hold shorter parts as well, the finish-cut brings
/// them to length. Fails like plan_boards, and for a part wider than every board.
[[nodiscard]] RipPlan plan_ripping(const RipOrder& order, std::int64_t effort,
                                   const Stop& stop = {});

/// Says what is wrong with a plan, or nothing. Shares no code with the search.
[[nodiscard]] std::string check_ripping(const RipOrder& order, const RipPlan& plan);

} // namespace aumbry::solid_stock
