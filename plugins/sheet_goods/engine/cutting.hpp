// Cutting rectangles from sheets by edge-to-edge (guillotine) cuts.
//
// Whole-number lengths of any one unit (grid steps, millimetres, unitless instances); x runs along
// a sheet's length, y along its width, origin at one corner of the raw sheet, so clean-up is
// included in coordinates.
#pragma once

#include "aumbry/stop.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace aumbry::sheet_goods {

using Steps = std::int64_t;

enum class Grain { none, along_length, along_width };
/// fixed: the part's length lies along the sheet's length. free: either way. with_grain,
/// across_grain: the part's length lies along or across the sheet's grain; on a sheet without grain
/// such a part may lie either way.
enum class Turn { fixed, free, with_grain, across_grain };
enum class Effort { draft, normal, thorough };
enum class Axis { length, width };

/// Strip lost along each edge of a raw sheet, the saw's kerf included. The first blank is what
/// remains.
struct CleanUp {
    Steps left = 0, right = 0, bottom = 0, top = 0;
};

struct Format {
    std::string name = {}; ///< only for sentences: "offcut_3", "2500 x 1250"
    Steps length = 0, width = 0;
    std::int64_t cost = 0;                  ///< of one sheet, minor units, at least 0
    std::optional<std::int64_t> limit = {}; ///< sheets that can be had; none: as many as needed
    CleanUp clean_up = {};
    Grain grain = Grain::none;
};

struct Part {
    std::string name = {}; ///< only for sentences
    Steps length = 0, width = 0;
    std::int64_t count = 1;
    Turn turn = Turn::free;
};

struct Placement {
    int part = 0;                ///< index in CuttingJob::parts
    Steps x = 0, y = 0;          ///< corner nearest the origin
    Steps length = 0, width = 0; ///< as it lies: exchanged when rotated
    bool rotated = false;
    bool operator==(const Placement&) const = default;
};

struct Offcut {
    Steps x = 0, y = 0, length = 0, width = 0;
    bool operator==(const Offcut&) const = default;
};

/// A rectangle that exists on the way from the sheet to the parts.
struct Blank {
    Steps x = 0, y = 0, length = 0, width = 0;
    int part = -1;         ///< when it is a finished part: index in CuttingJob::parts
    bool rotated = false;  ///< of the part
    bool offcut = false;   ///< left over
    bool in_order = false; ///< the parts that it holds keep their places, side by side
    bool operator==(const Blank&) const = default;
};

/// Cuts in order. A cut divides blank `blank` square to `axis` into blanks `first` (of size
/// `position` from the blank's corner nearest the origin: the fence setting) and `second` (beyond
/// the kerf). `second` is -1 when the kerf leaves nothing.
struct Cut {
    int blank = 0;
    Axis axis = Axis::length; ///< the position is measured along this axis
    Steps position = 0;
    int first = -1, second = -1;
    bool dealer = false; ///< made by the dealer, before the sheet is handed over
    bool operator==(const Cut&) const = default;
};

struct SheetPlan {
    int format = 0;                    ///< index in CuttingJob::formats
    std::int64_t copies = 1;           ///< sheets cut alike
    std::vector<Blank> blanks;         ///< [0] is the sheet less its clean-up
    std::vector<Cut> cuts;             ///< in order; the dealer's come first
    std::vector<Placement> placements; ///< of one copy
    std::vector<Offcut> offcuts;       ///< of one copy, largest first
    bool operator==(const SheetPlan&) const = default;
};

struct Unplaced {
    int part = 0;
    std::int64_t count = 0;
};

struct Plan {
    std::vector<SheetPlan> sheets;
    std::int64_t cost = 0;               ///< of all sheets
    std::int64_t sheet_count = 0;        ///< copies included
    std::int64_t lower_bound_sheets = 0; ///< no plan of all parts has fewer sheets
    std::int64_t lower_bound_cost = 0;   ///< no plan of all parts costs less
    bool proven =
        false; ///< all parts placed, cost (and among equal costs the sheets) cannot be beaten
    std::string bound_method; ///< what gave the bound: "area", "dual feasible functions", ...
    std::vector<Unplaced>
        unplaced;           ///< parts for which limited formats leave no room; empty as a rule
    std::int64_t steps = 0; ///< work done, in counted steps
};

struct CuttingJob {
    std::vector<Format> formats = {};
    std::vector<Part> parts = {};
    Steps kerf = 0;
    Effort effort = Effort::normal;
    /// A plan of this order or one much like it; what still fits is kept.
    std::optional<Plan> warm_start = {};
    Stop stop = {}; ///< asked every few milliseconds
};

/// The most parts, copies included, that one order may have.
inline constexpr std::int64_t most_parts = 100'000;

/// Plans the cutting. Objective: every part placed, then least cost, then fewest sheets, then the
/// largest offcut in one piece, then fewest cuts. Deterministic; a higher effort is never worse
/// than a lower one.
/// @throws FaultError, one fault for each format or part that cannot be: a part larger than every
/// sheet less clean-up, a grain direction that fits no sheet, kerf negative or larger than a part,
/// clean-up that leaves nothing, too many parts, sizes not positive; Cancelled when `stop` says so.
[[nodiscard]] Plan cut(const CuttingJob& order);

} // namespace aumbry::sheet_goods
