// One run of the line, with what every stage said: studies go on from there.
#pragma once

#include "line/procure/settle.hpp"
#include "line/schedule/work_plan.hpp"

#include "aumbry/line.hpp"
#include "aumbry/resolve.hpp"

namespace aumbry {

/// What stands before anything is chosen.
struct BeforePurchase {
    Resolved resolved;
    TakenOff taken;
    ProcureProblem problem;
    Settlement settled;
    Arrivals earliest; ///< possible arrivals, by which the order of work is fixed
};

/// A whole run.
struct LineRun : BeforePurchase {
    Procurement bought;
    Followed followed;
    WorkPlan work;
    Estimate estimate;
};

/// @throws FaultError with every fault of the project; "no-modules" when there is no module at all.
[[nodiscard]] BeforePurchase run_to_purchase(const Project& project, PluginHost& host,
                                             const Catalog& catalog,
                                             const EstimateOptions& options);

/// @throws FaultError as run_to_purchase().
[[nodiscard]] LineRun run_line(const Project& project, PluginHost& host, const Catalog& catalog,
                               const EstimateOptions& options);

} // namespace aumbry
