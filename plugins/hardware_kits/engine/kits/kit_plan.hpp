// Kit plan: cut sizes given for a nominal mattress in one unit system, re-dimensioned for another
// mattress and unit.
//
// Rules of the trade: only sizes that depend on the mattress shift, by the difference of the
// mattresses; pivots, plates and hole spacings never scale; the last part of a chain comes by
// subtraction, so that the rounded parts add up to the rounded whole; every rounding error is
// shown.
//
// All reckoning is in whole steps of 1/8000 mm, in which a millimetre and a 64th of an inch are
// exact.
#pragma once

#include <string>
#include <vector>

namespace aumbry::hardware_kits {

/// What a size of the plan depends on.
enum class Follows { nothing, mattress_width, mattress_length, mattress_thickness };

struct MattressSize {
    double width = 0;     ///< mm
    double length = 0;    ///< mm
    double thickness = 0; ///< mm
};

struct PlanSize {
    std::string name;
    double size = 0; ///< mm, exact as printed in the plan
    Follows follows = Follows::nothing;
    bool fixed_by_kit = false; ///< pivot, plate or hole spacing: never scales and is never rounded
};

/// Sizes that lie end to end: the parts make the whole. The last part comes by subtraction.
struct PlanChain {
    std::string whole;
    std::vector<std::string> parts;
};

struct KitPlan {
    std::string name;
    MattressSize nominal;
    std::vector<PlanSize> sizes;
    std::vector<PlanChain> chains;
};

/// What sizes are rounded to.
enum class CutStep { tenth_mm, half_mm, mm, inch_16, inch_32, inch_64 };

/// One size for the other mattress. All in mm, exact to 1/8000 mm.
struct CutSize {
    std::string name;
    double planned = 0;          ///< in the plan
    double shift = 0;            ///< by which the mattress moves it
    double exact = 0;            ///< planned + shift
    double size = 0;             ///< what is cut
    double rounding = 0;         ///< size - exact
    bool by_subtraction = false; ///< last of a chain: takes the roundings of the others
    bool fixed_by_kit = false;
};

/// Sizes in the order of the plan. Throws FaultError for unknown or repeated names, a size not
/// above zero, a size both fixed by the kit and following the mattress, and for a chain that is
/// more than 0.5 mm off in the plan or after the shift, whose last part is fixed by the kit, is
/// last in two chains, or is used before it is settled.
[[nodiscard]] std::vector<CutSize> redimension(const KitPlan& plan, const MattressSize& mattress,
                                               CutStep step);

/// A cut size as its maker reads it: "1524 mm", "59 13/16 in".
[[nodiscard]] std::string cut_text(double size, CutStep step);

} // namespace aumbry::hardware_kits
