#include "hardware_kits/engine/assembly.hpp"

#include <fmt/format.h>

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

int people_for(const AssemblyStep& step, double one_person) {
    if (!(one_person > 0))
        fail("one-person-lifts", {}, fmt::format("one person is said to lift {:g} kg", one_person),
             "give a mass above 0 kg");
    return step.lifted_mass <= one_person
               ? 1
               : static_cast<int>(std::ceil(step.lifted_mass / one_person));
}

std::vector<contract::Finding> lifting_findings(const std::vector<AssemblyStep>& steps,
                                                double one_person) {
    std::vector<contract::Finding> findings;
    for (const AssemblyStep& step : steps)
        if (const int people = people_for(step, one_person); people > 1)
            findings.push_back(
                {contract::Severity::caution, "more-hands", "",
                 fmt::format(
                     "step '{}' lifts {:g} kg, more than the {:g} kg one person lifts: have {} "
                     "people there",
                     step.title, step.lifted_mass, one_person, people)});
    return findings;
}

} // namespace aumbry::hardware_kits
