#include "mattress/engine/bed_height.hpp"

#include "mattress/engine/fit.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/rounding.hpp"

#include <fmt/format.h>

namespace aumbry::mattress {
namespace {

constexpr double low = 400;      // mm, assumed
constexpr double high = 650;     // mm, assumed
constexpr double min_rim = 30;   // mm, assumed
constexpr double high_bed = 600; // mm, EN 747-1

} // namespace

BedHeight bed_height(double base, double frame_top, double thickness) {
    using contract::Severity;
    if (!(base >= 0) || !(frame_top >= 0) || !(thickness > 0))
        fail("bed-height", {},
             fmt::format("a base at {:g} mm, a frame up to {:g} mm and a mattress of {:g} mm", base,
                         frame_top, thickness),
             "give heights of 0 mm or more above the floor and a thickness above 0 mm");
    BedHeight height;
    height.lying = round_to(base + thickness, length_decimals);
    height.above_frame = round_to(height.lying - frame_top, length_decimals);
    if (base >= high_bed)
        height.findings.push_back(
            {Severity::warning, "high-bed", "",
             fmt::format(
                 "the bed base is {:g} mm above the floor; from {:g} mm on rules for bunk and "
                 "high beds apply (EN 747-1): plan guard rails and a ladder by them",
                 base, high_bed)});
    else if (height.lying < low || height.lying > high)
        height.findings.push_back(
            {Severity::note, "lying-height", "",
             fmt::format(
                 "the top of the mattress lies at {:g} mm; {:g} to {:g} mm are taken as easy for "
                 "getting in and out",
                 height.lying, low, high)});
    if (round_to(frame_top - base, length_decimals) < min_rim)
        height.findings.push_back(
            {Severity::caution, "mattress-not-held", "",
             fmt::format(
                 "the frame stands {:g} mm above the base; at least {:g} mm keep a mattress "
                 "from sliding off",
                 frame_top - base, min_rim)});
    return height;
}

} // namespace aumbry::mattress
