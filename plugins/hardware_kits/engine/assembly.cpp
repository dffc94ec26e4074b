#include "hardware_kits/engine/assembly.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

namespace aumbry::hardware_kits {

std::vector<Fault> faults_of(const std::vector<AssemblyStep>& steps) {
    std::vector<Fault> faults;
    std::set<std::string> ids;
    bool anchored = false;
    for (const AssemblyStep& step : steps) {
        if (!ids.insert(step.id).second)
            faults.push_back({"step-twice",
                              {},
                              fmt::format("two steps are named '{}'", step.id),
                              "give each its own id"});
        if (!(step.minutes >= 0) || !(step.lifted_mass >= 0))
            faults.push_back({"step-figures",
                              {},
                              fmt::format("step '{}' has a negative time or mass", step.id),
                              "give 0 or more"});
        if (step.anchors_frame) anchored = true;
        if (step.loads_springs && !anchored)
            faults.push_back(
                {"springs-before-anchors",
                 {},
                 fmt::format(
                     "step '{}' loads springs on a frame that is not fixed to the building yet",
                     step.id),
                 "fix the frame first; an unanchored frame tips over"});
    }
    return faults;
}

int people_for(const AssemblyStep& step, const Alone& alone) {
    if (!(alone.mass > 0))
        fail("one-person-lifts", {}, fmt::format("one person is said to lift {:g} kg", alone.mass),
             "give a mass above 0 kg");
    const int by_mass = step.lifted_mass <= alone.mass
                            ? 1
                            : static_cast<int>(std::ceil(step.lifted_mass / alone.mass));
    const bool unwieldy = step.longest > alone.length || step.largest > alone.area;
    return std::max(by_mass, unwieldy ? 2 : 1);
}

std::vector<contract::Finding> lifting_findings(const std::vector<AssemblyStep>& steps,
                                                const Alone& alone) {
    std::vector<contract::Finding> findings;
    for (const AssemblyStep& step : steps) {
        const int people = people_for(step, alone);
        if (people < 2) continue;
        const std::string why =
            step.lifted_mass > alone.mass
                ? fmt::format("lifts {:g} kg, more than the {:g} kg one person lifts",
                              step.lifted_mass, alone.mass)
            : step.longest > alone.length
                ? fmt::format("handles a part of {:g} mm, more than the {:g} mm one person carries",
                              step.longest, alone.length)
                : fmt::format("handles a part of {:g} m2, more than the {:g} m2 one person carries",
                              step.largest, alone.area);
        findings.push_back(
            {contract::Severity::caution, "more-hands", "",
             fmt::format("step '{}' {}: have {} people there", step.title, why, people)});
    }
    return findings;
}

} // namespace aumbry::hardware_kits
