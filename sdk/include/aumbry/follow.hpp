// Follow, the fourth stage: modules read what was chosen and add what follows from it. Never
// demands: nothing loops back.
#pragma once

#include "aumbry/plugin_host.hpp"
#include "aumbry/procure.hpp"
#include "aumbry/take_off.hpp"

#include <map>
#include <string>
#include <vector>

namespace aumbry {

/// What all modules added.
struct Followed {
    std::map<std::string, std::vector<contract::QuantityRow>>
        quantities; ///< by module, those of take-off not among them
    std::vector<ModuleStep> steps;
    std::map<std::string, std::vector<contract::Finding>> findings;
    std::vector<contract::Working> workings;
    std::vector<AbsentModule> failed;
    std::vector<std::string> not_counted; ///< of all modules, by the order of modules, each once
};

/// The modules in an order in which each comes after those whose results it reads; of equals by id.
/// @throws FaultError "module-cycle" that lists the loop.
[[nodiscard]] std::vector<std::string>
order_of_modules(const std::vector<contract::Description>& modules);

/// Asks every module that has priced lines.
[[nodiscard]] Followed follow(const Resolved& project, const TakenOff& taken_off,
                              const Procurement& procurement, PluginHost& host, const Json& tables,
                              const std::string& effort);

} // namespace aumbry
