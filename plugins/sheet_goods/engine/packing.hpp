// Sheets laid out so far and the parts not yet on one.
#pragma once

#include "sheet_goods/engine/layout.hpp"

#include <cstdint>
#include <vector>

namespace aumbry::sheet_goods {

struct Packing {
    std::vector<Layout> sheets;
    std::vector<int> unplaced; ///< items

    [[nodiscard]] std::int64_t price(const Problem& problem) const;
    /// Area of the parts not on a sheet.
    [[nodiscard]] std::int64_t unplaced_area(const Problem& problem) const;
    [[nodiscard]] std::int64_t largest_offcut() const;
    /// How many sheets of each kind are in use.
    [[nodiscard]] std::vector<std::int64_t> sheets_used(const Problem& problem) const;
};

/// Whether all parts of the layout may lie on that kind of sheet as they do, and there is room.
[[nodiscard]] bool can_move(const Problem& problem, const Layout& layout, int sheet);

/// The cheapest kind of sheet, cheaper than its own, that takes the layout and can still be had; -1
/// when none.
[[nodiscard]] int cheaper_kind(const Problem& problem, const Layout& layout,
                               const std::vector<std::int64_t>& used);

/// Moves each layout to the cheapest kind of sheet that takes it and can still be had.
void move_to_cheaper_sheets(const Problem& problem, Packing& packing);

/// Whether `a` is the better result: more placed, then cheaper, then fewer sheets, then the larger
/// offcut.
[[nodiscard]] bool better(const Problem& problem, const Packing& a, const Packing& b);

} // namespace aumbry::sheet_goods
