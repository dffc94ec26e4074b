// From working steps to the network that schedule reads.
#pragma once

#include "aumbry/procure.hpp"
#include "aumbry/resolved_project.hpp"
#include "aumbry/schedule.hpp"
#include "aumbry/take_off.hpp"

#include <map>
#include <string>
#include <vector>

namespace aumbry {

/// A step of a module or a task of the project, as the estimate shows it.
struct NetworkStep {
    std::string id;
    std::string title;
    std::string module;              ///< empty: a task of the project
    std::vector<std::string> pieces; ///< sorted; empty: the whole job
    std::vector<std::string> lines;
    contract::Phase phase = contract::Phase::assemble;
    double minutes = 0;
    double wait_minutes = 0;
    std::int64_t people = 1;
    std::vector<std::string> who;      ///< people by id, at least one
    std::optional<Decimal> rate;       ///< an hour of each, when the step states one
    std::vector<std::string> after;    ///< stated or by phase
    std::vector<std::string> needs;    ///< demands
    std::vector<std::string> measures; ///< demands whose goods can be measured then
    double rack = 0;                   ///< m2
    std::string operation;
    std::optional<Date> not_before;
    double worked_minutes = 0; ///< already, by all together
    bool done = false;
};

/// Steps and tasks with what each waits for: what it states, and every step of an earlier phase
/// that touches a part which it touches (contract::Step). A part is a line that some step cuts; a
/// step whose lines are no parts and name none touches all parts of its pieces, and so does a task.
/// Order: by phase, then modules' steps before tasks, each as given. A task may come after tasks,
/// "module/step", or a line, whose goods must be in hand, and before tasks and steps; what comes
/// after something of a later phase counts as of that phase. Names that mean nothing are findings.
/// Steps that cut or machine parts whose sizes follow from goods that are measured first wait until
/// those can be measured (a step's `measures`) or at least are in hand, unless their line's size is
/// known. A step for more people than it has is given others of the project's people, in their
/// order; where there are not enough, that is a problem.
[[nodiscard]] std::vector<NetworkStep> network_of(const Resolved& project,
                                                  const std::vector<ModuleStep>& steps,
                                                  const std::vector<contract::Demand>& demands,
                                                  std::vector<contract::Finding>& findings);

/// The schedule of a network without arrivals yet. `expected` are the earliest possible arrivals.
[[nodiscard]] ScheduleProblem schedule_problem(const Resolved& project,
                                               const std::vector<NetworkStep>& steps,
                                               const Arrivals& expected);

/// Adds what is not in the list yet: a wait or a need counts once.
void add_once(std::vector<std::string>& list, const std::string& entry);

/// Takes from each step what is worked on it already (line/recorded): `minutes` is what is left of
/// each person's time. Time on what is no step any more stays a cost, in a step of its own. What
/// waits for a done step waits for what that waited for.
void take_off_worked(const Resolved& project, std::vector<NetworkStep>& steps);

} // namespace aumbry
