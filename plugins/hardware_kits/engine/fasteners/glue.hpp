// Glue: amount by the length and width of joints, and instant glue beside wood glue as a clamp.
#pragma once

#include <string>

namespace aumbry::hardware_kits {

struct GlueJoint {
    std::string name;
    double length = 0; ///< mm
    double width = 0;  ///< mm
    int joints = 1;    ///< equal joints
};

struct GlueRule {
    double spread = 180;  ///< g/m2, both faces together (from memory: 150 to 200)
    double density = 1.1; ///< g/mL (from memory)
    double loss = 0.10;   ///< share left in nozzle, tray and squeeze-out (assumed)
    double pitch =
        0; ///< mm; above 0: wood glue and instant glue take turns every so much of the joint
    double instant_bead = 0.01; ///< mL of instant glue a mm of joint that it takes (assumed)
};

struct GlueAmount {
    double wood_length = 0;    ///< mm of joint with wood glue
    double instant_length = 0; ///< mm of joint with instant glue
    double wood = 0;           ///< mL, loss included
    double instant = 0;        ///< mL, loss included
};

/// Both glues for all joints of one kind; a joint begins with wood glue. Throws FaultError for
/// lengths, widths or rates that are not positive, or a loss outside 0 to below 1.
[[nodiscard]] GlueAmount glue_amount(const GlueJoint& joint, const GlueRule& rule);

/// mL of wood glue, loss included, for dowels glued into their holes: their surface times the
/// spread of one face, half of that of a joint. Throws FaultError for sizes that are not positive.
[[nodiscard]] double glue_on_dowels(double diameter, double length, double count,
                                    const GlueRule& rule);

} // namespace aumbry::hardware_kits
