// Resolve, the first stage: a project's document becomes values. Formulas and units become numbers
// line by line in order of dependence, and each module derives what follows from a line, which
// later formulas may use.
#pragma once

#include "aumbry/plugin_host.hpp"
#include "aumbry/project.hpp"
#include "aumbry/resolved_project.hpp"

#include <string>

namespace aumbry {

/// Resolves a project. `tables` are the reference tables by name.
/// @throws FaultError with every fault of the document, placed.
[[nodiscard]] Resolved resolve(const Project& project, PluginHost& host, const Json& tables,
                               const std::string& effort = "normal");

/// The days that the workshop works, as the document says; what is at fault there counts as not
/// said: Monday to Friday, no holidays. For views that draw a project also while it is at fault.
[[nodiscard]] WorkCalendar workshop_calendar(const Json& document);

} // namespace aumbry
