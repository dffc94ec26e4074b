#include "hardware_kits/engine/fasteners/glue.hpp"

#include "aumbry/fault.hpp"
#include "hardware_kits/engine/decimals.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace aumbry::hardware_kits {

GlueAmount glue_amount(const GlueJoint& joint, const GlueRule& rule) {
    if (!(joint.length > 0) || !(joint.width > 0) || joint.joints < 1)
        fail("glue-joint", {},
             fmt::format("glue joint '{}' is {:g} by {:g} mm, {} times", joint.name, joint.length,
                         joint.width, joint.joints),
             "give a length and a width above 0 mm, at least once");
    if (!(rule.spread > 0) || !(rule.density > 0) || !(rule.loss >= 0 && rule.loss < 1) ||
        rule.pitch < 0 || rule.instant_bead < 0)
        fail("glue-rule", {}, fmt::format("the glue rule of '{}' is out of range", joint.name),
             "give spread and density above 0, a loss from 0 to below 1, and no negative pitch or "
             "bead");

    double instant = 0;
    if (rule.pitch > 0) {
        // Turns of one pitch each: wood, instant, wood, ...; the last turn is what is left of the
        // joint.
        const double whole = std::floor(round_to(joint.length / rule.pitch, 9));
        const double rest = joint.length - whole * rule.pitch;
        const bool rest_is_instant = std::fmod(whole, 2.0) == 1.0;
        instant =
            std::floor(whole / 2.0) * rule.pitch + (rest_is_instant ? std::max(rest, 0.0) : 0.0);
    }
    GlueAmount amount;
    amount.instant_length = round_to(instant * joint.joints, length_decimals);
    amount.wood_length = round_to((joint.length - instant) * joint.joints, length_decimals);
    const double grams = amount.wood_length * joint.width * 1e-6 * rule.spread;
    amount.wood = round_to(grams / rule.density / (1 - rule.loss), 2);
    amount.instant = round_to(amount.instant_length * rule.instant_bead / (1 - rule.loss), 2);
    return amount;
}

double glue_on_dowels(double diameter, double length, double count, const GlueRule& rule) {
    if (!(diameter > 0) || !(length > 0) || !(count >= 0))
        fail("glue-dowels", {},
             fmt::format("{:g} dowels of {:g} x {:g} mm cannot be glued", count, diameter, length),
             "give their diameter and length above 0 mm");
    const double surface = std::numbers::pi * diameter * length * 1e-6; // m2
    const double grams = count * surface * rule.spread / 2;
    return round_to(grams / rule.density / (1 - rule.loss), 2);
}

} // namespace aumbry::hardware_kits
