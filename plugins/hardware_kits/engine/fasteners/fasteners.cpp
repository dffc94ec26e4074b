#include "hardware_kits/engine/fasteners/fasteners.hpp"

#include "aumbry/fault.hpp"
#include "hardware_kits/engine/decimals.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

namespace aumbry::hardware_kits {
namespace {

double rounded(double length) {
    return round_to(length, length_decimals);
}

void check(const ScrewJoint& joint) {
    if (!(joint.fixed > 0) || !(joint.receiving > 0))
        fail("thickness-not-positive", {},
             fmt::format("joint '{}' joins {:g} mm to {:g} mm", joint.name, joint.fixed,
                         joint.receiving),
             "give both thicknesses above 0 mm");
    if (joint.counterbore < 0 || joint.counterbore >= joint.fixed)
        fail("counterbore", {},
             fmt::format("the counterbore of joint '{}' is {:g} mm in a part of {:g} mm",
                         joint.name, joint.counterbore, joint.fixed),
             "leave wood under the screw's head: commonly half the thickness");
    if (joint.penetration < 0 || joint.cover < 0)
        fail("penetration-negative", {},
             fmt::format("penetration or cover of joint '{}' is negative", joint.name),
             "give 0 mm or more");
}

} // namespace

double penetration_wanted(const ScrewJoint& joint) {
    if (joint.penetration > 0) return joint.penetration;
    return joint.fixed * (joint.into_edge ? 2 : 1);
}

ScrewLength screw_length(const ScrewJoint& joint, const std::vector<double>& stocked) {
    check(joint);
    const double under_head = joint.fixed - joint.counterbore;
    const double longest = rounded(under_head + joint.receiving - joint.cover);
    ScrewLength screw;
    screw.wanted = rounded(under_head + penetration_wanted(joint));
    std::optional<double> nearest;
    for (const double raw : stocked) {
        const double length = rounded(raw);
        if (length > longest || length <= rounded(under_head)) continue;
        const double distance = rounded(std::abs(length - screw.wanted));
        const double best = nearest ? rounded(std::abs(*nearest - screw.wanted)) : distance;
        if (!nearest || distance < best || (distance == best && length > *nearest))
            nearest = length;
    }
    if (!nearest)
        fail("no-screw-length", {},
             fmt::format("no stocked screw suits joint '{}': it must be longer than {:g} mm to "
                         "hold and no longer than "
                         "{:g} mm not to come through",
                         joint.name, rounded(under_head), longest),
             fmt::format("stock one near {:g} mm", std::min(screw.wanted, longest)));
    screw.length = *nearest;
    screw.penetration = rounded(screw.length - under_head);
    screw.rounding = rounded(screw.length - screw.wanted);
    const double wanted_penetration = rounded(screw.wanted - under_head);
    if (screw.penetration < rounded(wanted_penetration * 0.75))
        screw.findings.push_back(
            {contract::Severity::caution, "short-penetration", "",
             fmt::format(
                 "joint '{}': a {:g} mm screw holds in {:g} mm of wood, {:g} mm are wanted; "
                 "use more screws or a thicker part",
                 joint.name, screw.length, screw.penetration, wanted_penetration)});
    return screw;
}

double min_edge_distance(double screw_diameter) {
    if (!(screw_diameter > 0))
        fail("screw-diameter", {}, fmt::format("a screw of {:g} mm diameter", screw_diameter),
             "give one above 0 mm");
    return rounded(3 * screw_diameter);
}

PlugStock plug_stock(const Plug& plug, int count, double kerf) {
    if (count < 0) fail("plug-count", {}, fmt::format("{} plugs", count), "give 0 or more");
    if (!(plug.hole_diameter > 0) || plug.hole_diameter < plug.head_diameter)
        fail("plug-hole", {},
             fmt::format("a plug hole of {:g} mm does not take a screw head of {:g} mm",
                         plug.hole_diameter, plug.head_diameter),
             "choose a hole at least as wide as the head: commonly 8, 10 or 12 mm");
    if (!(plug.hole_depth > 0) || plug.proud < 0 || kerf < 0)
        fail("plug-depth", {},
             fmt::format("a plug of {:g} mm depth, {:g} mm proud, cut with a kerf of {:g} mm",
                         plug.hole_depth, plug.proud, kerf),
             "give a depth above 0 mm, and no negative lengths");
    PlugStock stock;
    stock.plugs = count;
    stock.length_each = rounded(plug.hole_depth + plug.proud);
    stock.stick = rounded(count * (stock.length_each + kerf));
    return stock;
}

double dowel_length(const DowelJoint& joint, const std::vector<double>& stocked) {
    const double into_face = joint.face_thickness - joint.face_cover;
    const double longest = rounded(into_face + joint.edge_depth - 2 * joint.glue_room);
    std::optional<double> best;
    for (const double raw : stocked) {
        const double length = rounded(raw);
        if (length > 0 && length <= longest && (!best || length > *best)) best = length;
    }
    if (!(into_face > 0) || !(joint.edge_depth > 0) || joint.glue_room < 0 || !best)
        fail("no-dowel-length", {},
             fmt::format("no stocked dowel fits joint '{}': {:g} mm into the face and {:g} mm into "
                         "the edge leave {:g} mm",
                         joint.name, rounded(into_face), joint.edge_depth, longest),
             "drill deeper, or stock shorter dowels");
    return *best;
}

} // namespace aumbry::hardware_kits
