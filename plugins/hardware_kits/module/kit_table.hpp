// Kit table: a kit maker's data sheet as a row of reference data: contents, what it fits, plan,
// steps, mountings.
#pragma once

#include "aumbry/contract.hpp"
#include "hardware_kits/engine/assembly.hpp"
#include "hardware_kits/engine/kits/kit.hpp"
#include "hardware_kits/engine/kits/kit_plan.hpp"
#include "hardware_kits/engine/lifts/lift.hpp"

#include <string>
#include <vector>

namespace aumbry::hardware_kits {

/// A size of the plan that formulas may use under a name that all kits share.
struct PlanRole {
    std::string role; ///< one of plan_roles()
    std::string size; ///< name of the plan's size
};

/// A step of the kit maker's order.
struct KitStep {
    AssemblyStep step;
    contract::Phase phase = contract::Phase::assemble;
    bool lifts_panel = false; ///< the finished panel is lifted
};

struct KitSheet {
    Kit kit;
    std::string title;
    std::string maker;
    std::string source;
    std::string mark;
    double mass = 0; ///< kg, as fitted; 0: not stated
    bool fold_up = false;
    std::string note; ///< what its maker says of the hand's force
    KitPlan plan;     ///< without sizes when the kit has none
    std::vector<PlanRole> roles;
    std::vector<KitStep> steps;
    std::vector<Mounting> mountings;
};

/// Names that a plan's sizes may take for formulas: "panel_length", "pivot_height", ...
[[nodiscard]] const std::vector<std::string>& plan_roles();

/// The sheet of a model in the rows of the table `kits`. Throws FaultError for an unknown model
/// with the nearest known one, or for a row that cannot be read.
[[nodiscard]] KitSheet find_kit(const Json& tables, const std::string& model);

} // namespace aumbry::hardware_kits
