// What the conformance check asks of a module, one function a rule.
#pragma once

#include "aumbry/json.hpp"

#include <filesystem>
#include <span>
#include <string>

namespace aumbry {

struct CheckInput {
    std::filesystem::path file;
    Json tables;
};

/// What must hold before a check is worth running.
enum class Needs {
    nothing,
    module,       ///< it can be loaded and describes itself
    sound_answers ///< and answers soundly: what is wrong there would be found again by each of
                  ///< these
};

struct Check {
    const char* name;    ///< kebab-case
    const char* purpose; ///< one sentence: the rule
    /// What is wrong, empty when nothing is; throws for the same. Runs in a process of its own.
    std::string (*run)(const CheckInput&);
    Needs needs;
};

/// In the order in which they are run.
[[nodiscard]] std::span<const Check> all_checks();

} // namespace aumbry
