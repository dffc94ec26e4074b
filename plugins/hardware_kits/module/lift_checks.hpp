// What is looked at before a lift is built: its holes against the kit's, what holds it, the room it
// swings in.
#pragma once

#include "aumbry/contract.hpp"
#include "hardware_kits/module/lift_line.hpp"

#include <string>

namespace aumbry::hardware_kits {

/// Ids of the steps at which a panel is hung and its springs are loaded: the kit's own where its
/// maker has an order of work. Before them it is weighed, where springs are to be chosen by its
/// mass. Empty where there is none.
struct LiftSteps {
    std::string weighing;
    std::string hanging;
    std::string springs;
};
[[nodiscard]] LiftSteps steps_of_lift(const contract::Line& lift,
                                      const std::optional<KitSheet>& sheet);

/// Ids of the steps of a kit line alone.
[[nodiscard]] LiftSteps steps_of_kit(const contract::Line& kit, const KitSheet& sheet);

/// Holes that are not the kit's; a catch, leg, strap or stay that nothing in the bill is; what the
/// panel, its mattress and bedding run into on their way.
void check_lift(const contract::Line& line, const LiftLine& read, contract::TakeOffReply& reply);

} // namespace aumbry::hardware_kits
