// Lift plan: the swing as data for a window to draw: hand force over the angle, and a side view at
// each.
#pragma once

#include "aumbry/contract.hpp"
#include "hardware_kits/engine/lifts/lift.hpp"
#include "hardware_kits/engine/lifts/lift_limits.hpp"

#include <vector>

namespace aumbry::hardware_kits {

/// The swing under every scenario, the first as stated with mattress and bedding.
struct SwingSet {
    std::vector<Swing> swings;
    std::vector<Verdict> verdicts; ///< of each
    std::size_t loaded = 0;        ///< index of that with mattress and bedding, as stated
    std::size_t bare = 0; ///< index of that of the lid alone, as stated; `loaded` when it is all
};

[[nodiscard]] SwingSet swing_set(const Lift& lift, const std::vector<Scenario>& scenarios,
                                 const HandLimits& limits);

/// Torque in N·m positive towards opening, force at the handle in N (negative: held back), places
/// in mm from the hinge; most and least over the judged scenarios.
[[nodiscard]] contract::LiftPlan lift_plan(const Lift& lift, const SwingSet& set,
                                           const HandLimits& limits);

} // namespace aumbry::hardware_kits
