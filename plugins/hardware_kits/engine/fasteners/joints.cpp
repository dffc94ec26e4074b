#include "hardware_kits/engine/fasteners/joints.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/grid.hpp"
#include "hardware_kits/engine/decimals.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace aumbry::hardware_kits {
namespace {

constexpr GridLength max_gaps = 10000; // beyond that a figure is in the wrong unit

} // namespace

FastenerRow fastener_row(const Joint& joint) {
    for (double figure : {joint.length, joint.spacing, joint.end_distance})
        if (!std::isfinite(figure) || std::abs(figure) > 1e6)
            fail("joint-not-a-length", {},
                 fmt::format("a figure of joint '{}' is no usable length", joint.name),
                 "give lengths below 1 km");
    if (to_grid(joint.spacing) <= 0)
        fail("spacing-not-positive", {},
             fmt::format("the spacing of joint '{}' is {:g} mm", joint.name, joint.spacing),
             "give a spacing above 0 mm, commonly 150 to 200 mm");
    if (joint.end_distance < 0)
        fail("end-distance-negative", {},
             fmt::format("the end distance of joint '{}' is {:g} mm", joint.name,
                         joint.end_distance),
             "give 0 mm or more, commonly 40 to 50 mm");
    if (joint.min_count < 1 || joint.joints < 1)
        fail("joint-count", {},
             fmt::format("joint '{}' asks for fewer than one fastener or joint", joint.name),
             "give at least 1 of each");
    const GridLength room = to_grid(joint.length) - 2 * to_grid(joint.end_distance);
    if (room < 0)
        fail("joint-too-short", {},
             fmt::format("joint '{}' is {:g} mm long, shorter than two end distances of {:g} mm",
                         joint.name, joint.length, joint.end_distance),
             "lessen the end distance, or join it with glue alone");
    if (room == 0 && joint.min_count > 1)
        fail("joint-too-short", {},
             fmt::format("joint '{}' is {:g} mm long, just two end distances of {:g} mm: there is "
                         "room for one fastener, "
                         "and at least {} are asked for",
                         joint.name, joint.length, joint.end_distance, joint.min_count),
             "lessen the end distance, or ask for one");

    const GridLength spacing = to_grid(joint.spacing);
    const GridLength gaps =
        std::max<GridLength>((room + spacing - 1) / spacing, joint.min_count - 1);
    if (gaps > max_gaps)
        fail("joint-too-many", {},
             fmt::format("joint '{}' of {:g} mm would take {} fasteners at a spacing of {:g} mm",
                         joint.name, joint.length, gaps + 1, joint.spacing),
             "check the units of length and spacing");
    FastenerRow row;
    row.each = static_cast<int>(gaps) + 1;
    row.count = row.each * joint.joints;
    row.spacing =
        gaps == 0 ? 0.0 : round_to(to_mm(room) / static_cast<double>(gaps), length_decimals);
    for (GridLength i = 0; i <= gaps; ++i) {
        // A single fastener sits in the middle.
        const double share = gaps == 0 ? 0.5 : static_cast<double>(i) / static_cast<double>(gaps);
        row.positions.push_back(
            round_to(joint.end_distance + share * to_mm(room), length_decimals));
    }
    return row;
}

} // namespace aumbry::hardware_kits
