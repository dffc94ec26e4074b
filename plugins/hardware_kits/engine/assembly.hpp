// Assembly: the kit maker's order of steps, checked for what must never happen, and who is needed.
#pragma once

#include "aumbry/contract.hpp"
#include "aumbry/fault.hpp"

#include <string>
#include <vector>

namespace aumbry::hardware_kits {

struct AssemblyStep {
    std::string id;
    std::string title;
    double minutes = 0;
    double lifted_mass = 0;     ///< heaviest sub-assembly lifted, kg
    bool anchors_frame = false; ///< fixes the frame to the building
    bool loads_springs = false; ///< mounts springs under load, or loads them
};

/// Greatest mass one person lifts without help, kg: guideline figure for one man with the load
/// close to the body (from memory), less for others; the workshop may set its own.
inline constexpr double one_person_lifts = 25;

/// Everything wrong with the order: springs loaded before the frame is fixed, repeated ids,
/// negative times.
[[nodiscard]] std::vector<Fault> faults_of(const std::vector<AssemblyStep>& steps);

/// People a step needs: one for each `one_person` kg or part of it.
[[nodiscard]] int people_for(const AssemblyStep& step, double one_person = one_person_lifts);

/// A caution for each step that asks for more than one.
[[nodiscard]] std::vector<contract::Finding>
lifting_findings(const std::vector<AssemblyStep>& steps, double one_person = one_person_lifts);

} // namespace aumbry::hardware_kits
