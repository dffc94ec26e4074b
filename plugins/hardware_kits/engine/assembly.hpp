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
    double longest = 0;         ///< mm, of what is lifted; 0: not known
    double largest = 0;         ///< m2, of what is lifted; 0: not known
};

/// What one person carries without help; the workshop may set its own.
struct Alone {
    double mass = 25;     ///< kg: one man, the load held close to the body at the height of the
                          ///< elbow (HSE INDG143), less for others
    double length = 2000; ///< mm (common practice)
    double area = 1.5;    ///< m2 (common practice)
};

/// Everything wrong with the order: springs loaded before the frame is fixed, repeated ids,
/// negative times.
[[nodiscard]] std::vector<Fault> faults_of(const std::vector<AssemblyStep>& steps);

/// People a step needs: one for each `alone.mass` kg or part of it, and two for what is longer or
/// larger than one person carries.
[[nodiscard]] int people_for(const AssemblyStep& step, const Alone& alone = {});

/// A caution for each step that asks for more than one.
[[nodiscard]] std::vector<contract::Finding>
lifting_findings(const std::vector<AssemblyStep>& steps, const Alone& alone = {});

} // namespace aumbry::hardware_kits
