// Steps of modules, under their modules' names.
#pragma once

#include "aumbry/take_off.hpp"

#include <string>
#include <vector>

namespace aumbry {

/// Adds steps of a module to those of all: ids are "module/step", `needs` "module/demand". Either
/// all are added or none.
/// @throws ModuleError when a step is there already, takes a time or people that cannot be, or when
/// the module's steps wait for each other in a loop.
void add_steps(std::vector<ModuleStep>& all, const std::string& module,
               const std::vector<contract::Step>& steps);

} // namespace aumbry
