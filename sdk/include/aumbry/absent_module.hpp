// What a module failed to do, as the stages pass it on.
#pragma once

#include <string>

namespace aumbry {

/// A module whose lines, or some of them, could not be used, and why. As a sentence: "Module 'x'
/// <reason>; <consequence>."
struct AbsentModule {
    std::string module;
    std::string reason; ///< goes on from the module's name: "failed in derive: no thickness"
    std::string consequence = "its lines are not priced";
};

} // namespace aumbry
