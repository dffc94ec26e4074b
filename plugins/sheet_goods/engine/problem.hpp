// An order made ready for the search: checked, kerf taken in, counts unrolled.
//
// Cutting with kerf k parts from a sheet W x H is exactly cutting without kerf the parts enlarged
// by k each way from a sheet enlarged by k each way, so the search knows no kerf.
#pragma once

#include "sheet_goods/engine/cutting.hpp"

#include <array>
#include <cstdint>
#include <vector>

namespace aumbry::sheet_goods {

using GridSize = std::array<std::int32_t, 2>; ///< along length, along width

/// Ways a part may lie, as bits.
inline constexpr unsigned lies_straight = 1;
inline constexpr unsigned lies_turned = 2;

struct SheetKind {
    int format = 0;  ///< index in CuttingJob::formats
    GridSize size{}; ///< usable, enlarged by the kerf
    std::int64_t area = 0;
    std::int64_t price =
        0; ///< cost and, far below it, one for the sheet: orders by cost, then sheets
    std::int64_t limit = 0; ///< never more than the parts
};

struct PartKind {
    int part = 0;    ///< index in CuttingJob::parts
    GridSize size{}; ///< enlarged by the kerf
    std::int64_t area = 0;
    int count = 0;
    std::vector<unsigned>
        lies; ///< for each of Problem::sheets: the ways it may lie there and fits, as bits

    [[nodiscard]] GridSize turned() const { return {size[1], size[0]}; }
};

struct Problem {
    std::vector<SheetKind> sheets;
    std::vector<PartKind> parts;
    std::vector<int> items;         ///< every single part: index into parts
    std::int64_t sheet_price = 1;   ///< price = cost * sheet_price + 1 for each sheet
    std::int64_t largest_sheet = 0; ///< area
    Steps kerf = 0;
    Stop stop; ///< counts the steps of the search
};

/// Whether the part can lie on the sheet less its clean-up, grain considered.
[[nodiscard]] bool can_lie(const Part& part, const Format& on);

/// @throws FaultError with every fault of the order.
[[nodiscard]] Problem prepare(const CuttingJob& order);

} // namespace aumbry::sheet_goods
