// Lines of kind lift: what moves, where springs may sit, which are chosen, and the hand's force
// over the swing.
#pragma once

#include "aumbry/contract.hpp"
#include "hardware_kits/engine/lifts/lift.hpp"
#include "hardware_kits/engine/lifts/lift_limits.hpp"
#include "hardware_kits/engine/lifts/lift_scenarios.hpp"
#include "hardware_kits/engine/moving_parts.hpp"
#include "hardware_kits/module/kit_table.hpp"

#include <optional>
#include <string>
#include <vector>

namespace aumbry::hardware_kits {

/// Whether the order of work of the lift's kit fixes its frame to the building.
[[nodiscard]] bool kit_fixes_frame(const contract::Line& lift, const Json& tables);

void derive_lift(const contract::Line& line, const contract::DeriveRequest& request,
                 contract::DeriveReply& reply);

void take_off_lifts(const contract::TakeOffRequest& request, contract::TakeOffReply& reply);

/// What a line says of its lift, before springs are chosen.
struct LiftLine {
    Lift lift;
    MovingMasses moving;
    double panel_mass = 0; ///< kg, all but mattress and bedding
    std::optional<KitSheet> kit;
    std::vector<Mounting> mountings; ///< of the line, else of its kit
    std::vector<int> counts;         ///< of springs that may be fitted; {0} for none
};

/// Throws FaultError for a kit without sheet or counts that cannot be.
[[nodiscard]] LiftLine read_lift(const contract::Line& line, const Json& tables);

/// Whether the panel stands when closed and lies when open.
[[nodiscard]] bool folds_up(double start, double end);

[[nodiscard]] HandLimits limits_of(const contract::Settings& settings);
[[nodiscard]] Assumptions assumptions_of(const contract::Settings& settings);

} // namespace aumbry::hardware_kits
