// Measure, dressed sizes and grades of sawn wood. Lengths are steps of the cutting grid (1/8000
// mm).
#pragma once

#include "aumbry/grid.hpp"

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace aumbry::solid_stock {

// ---- board measure (American Hardwood Export Council, "Measurement"; NHLA convention)

/// Thickness (in) x width (in) x length (ft) / 12, unrounded. Nominal sizes; a thickness under 1 in
/// counts as 1 in.
[[nodiscard]] double board_feet(GridLength thickness, GridLength width, GridLength length);

/// Width (in) x length (ft) / 12 in whole square feet, to the nearest; half a foot goes up.
[[nodiscard]] std::int64_t surface_measure(GridLength width, GridLength length);

/// Board feet as a yard tallies them: surface measure x thickness in inches (1 in at least).
[[nodiscard]] double tallied_board_feet(GridLength thickness, GridLength width, GridLength length);

/// m3 in a board foot: 144 cubic inches exactly.
inline constexpr double cubic_metres_per_board_foot = 0.002359737216;

// ---- dressed softwood (American Softwood Lumber Standard PS 20-20, table 3, dry)

/// Nominal sizes are counted in quarter inches: a 2x4 is 8 by 16.
/// Fails for a size that is not in the table, naming those that are.
[[nodiscard]] GridLength dressed_thickness(std::int64_t nominal_quarter_inches);
[[nodiscard]] GridLength dressed_width(std::int64_t nominal_quarter_inches);

/// The metric size that stands for one in inches: whole millimetres, half to even (PS 20-20,
/// appendix B1).
[[nodiscard]] std::int64_t metric_dressed_mm(GridLength size);

// ---- rough hardwood by quarters

/// A thickness class of rough hardwood. Delivered thickness varies; the table is a default, from
/// common reference tables.
struct Quarter {
    std::int64_t quarters = 4; ///< 4 for 4/4
    GridLength rough = 0;      ///< as graded
    GridLength surfaced = 0;   ///< what it is sold as when surfaced on two sides
};
[[nodiscard]] const std::vector<Quarter>& hardwood_quarters();

/// The thinnest class whose surfaced thickness reaches `finished`.
/// Fails with "thickness that no quarter yields".
[[nodiscard]] const Quarter& quarter_for(GridLength finished);

/// The thinnest of the rough thicknesses on offer from which `finished` is left after planing off
/// `planing` (both faces together). Fails when none is thick enough.
[[nodiscard]] GridLength rough_thickness_for(GridLength finished, GridLength planing,
                                             const std::vector<GridLength>& on_offer);

// ---- grades (NHLA Rules Book as summarised by AHEC)

struct Cutting {
    GridLength width = 0;
    GridLength length = 0;
};

struct Grade {
    std::string name;
    GridLength least_board_width = 0;
    GridLength least_board_length = 0;
    std::vector<Cutting> cuttings; ///< smallest clear pieces that count; either will do
    double yield = 0; ///< share of the surface in clear cuttings: twelfths of surface measure
};
[[nodiscard]] const std::vector<Grade>& nhla_grades();

/// Fails with "unknown grade" and the nearest known one.
[[nodiscard]] const Grade& grade_named(std::string_view name);

/// The share of a board's surface that ends in parts of this rough size.
/// A part no larger than one of the grade's minimum cuttings finds the grade's yield: that much is
/// what the grade promises. Larger parts ask for longer or wider clear wood than promised; the
/// yield then falls in proportion, by cutting length / part length and cutting width / part width,
/// whichever cutting serves best. The second sentence is common practice in our words, no standard
/// says it: long rails yield less.
[[nodiscard]] double yield_for_part(const Grade& grade, GridLength width, GridLength length);

// ---- rough boards for parts

struct LumberPart {
    std::string name;
    GridLength length = 0, width = 0, thickness = 0; ///< finished
    std::int64_t count = 0;
};

/// What is taken off between rough and finished, in all: defaults are common practice.
struct Allowances {
    GridLength length = 50 * steps_per_mm; ///< crosscut to rough length, then finish-cut
    GridLength width = 10 * steps_per_mm;  ///< straightening both edges and the saw cut of the rip
    GridLength thickness = 5 * steps_per_mm; ///< planing both faces
};

/// The rough wood that one part's pieces take.
struct RoughNeed {
    std::size_t part = 0;
    GridLength rough_thickness = 0;
    double net_cubic_metres = 0;   ///< finished, all pieces
    double rough_cubic_metres = 0; ///< with allowances, before yield
    double yield = 0;
    double cubic_metres = 0; ///< to buy: rough / yield
    double board_feet = 0;   ///< to buy, by board measure
};

/// Fails for a part without size, an unknown grade, a thickness that nothing on offer yields.
[[nodiscard]] std::vector<RoughNeed>
rough_needs(const std::vector<LumberPart>& parts, const Grade& grade, const Allowances& allowances,
            const std::vector<GridLength>& thicknesses_on_offer);

} // namespace aumbry::solid_stock
