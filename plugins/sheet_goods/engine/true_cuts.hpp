// A planned sheet as saws make it: every cut with the kerf of its saw, every part set at a fence.
//
// The search for a plan keeps one distance between neighbours. Saws take what they take: what lies
// behind a cut begins where its kerf ends, what is left over is wider than planned, and is cut to
// size by a cut of its own. A dealer's cuts come first, on the raw sheet, and leave blanks that the
// workshop trims.
#pragma once

#include "sheet_goods/engine/saws.hpp"

#include <array>
#include <functional>
#include <optional>
#include <span>
#include <vector>

namespace aumbry::sheet_goods {

enum class CutKind {
    trim,     ///< makes a reference edge; what lies before the position falls away
    rip,      ///< along the longer side of the piece that is cut off
    crosscut, ///< across it
};

struct MadeCut {
    int blank = 0; ///< index in `MadeSheet::blanks`, like `first` and `second`
    Axis axis = Axis::length;
    Steps position = 0;
    int first = -1, second = -1; ///< -1: falls away
    bool dealer = false;
    CutKind kind = CutKind::rip;
};

struct MadeSheet {
    std::vector<Blank>
        blanks; ///< [0] is the raw sheet; Blank::part is an index given by the caller
    std::vector<MadeCut> cuts; ///< the dealer's first, then in the order of the plan
    /// By axis: how much the parts want beyond the sheet; above 0, they do not come out.
    std::array<Steps, 2> short_by{};
};

/// `planned` may hold cuts beyond those of the search, as long as they divide its blanks; a blank's
/// `part` is any number from 0 on. `size_of(part, rotated)` is the sawn size as the part lies,
/// along length and width. `raw` is the size of the sheet as it is delivered. Of strips side by
/// side those of the positions `earlier` come first, in that order, then wide ones before narrow.
[[nodiscard]] MadeSheet
make_cuts(const SheetPlan& planned, const std::array<Steps, 2>& raw, const SawsOfSheet& saws,
          const std::function<std::array<Steps, 2>(int part, bool rotated)>& size_of,
          std::span<const Steps> earlier = {});

} // namespace aumbry::sheet_goods
