// The stages before the purchase and after it, as estimate and studies of the purchase share them.
#pragma once

#include "line/schedule/network.hpp"

#include "aumbry/estimate.hpp"
#include "aumbry/take_off.hpp"

namespace aumbry {

/// A project up to the purchase.
struct Prepared {
    Resolved resolved;
    TakenOff taken;
    Date begun{}; ///< the project's start; `resolved.start` is from when the rest is planned
    std::vector<contract::Finding> findings; ///< of what is bought already
    Arrivals expected; ///< earliest possible arrivals, by which the order of work is fixed
    ProcureProblem problem;
};

/// Resolves, takes off, and gathers what procure reads. What is bought already keeps the plan by
/// which it was bought, and what no longer fits is planned anew on the goods bought.
/// @throws FaultError with every fault of the project; "no-modules" when there is no module at all.
[[nodiscard]] Prepared prepare(const Project& project, PluginHost& host, const Catalog& catalog,
                               const EstimateOptions& options);

/// All steps with their dates.
struct Dated {
    std::vector<NetworkStep> steps;
    Schedule schedule; ///< tasks as `steps`
    std::vector<contract::Finding> findings;
};

/// Dates under the arrivals of a purchase, the steps of follow among them.
[[nodiscard]] Dated date_work(const Project& project, const Prepared& prepared,
                              const Procurement& bought, const std::vector<ModuleStep>& followed);

/// Places faults at a pointer of the project.
template <class Call>
auto with_place(const Project& project, const char* pointer, const Call& call) {
    try {
        return call();
    } catch (const FaultError& error) {
        FaultList placed(project.file);
        for (const Fault& fault : error.faults()) placed.add_at(fault, pointer);
        placed.find_places(project.text);
        throw FaultError(placed.faults());
    }
}

} // namespace aumbry
