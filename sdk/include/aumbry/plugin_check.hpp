// The conformance check of modules: what `aumbry plugin check FILE` runs.
//
// Every check loads the shared object in a process of its own with a time limit, so that one that
// crashes, hangs or writes where it should not is an outcome like any other. Lines are made from
// the module's own field records. Only processes with a single thread may call this: it forks.
#pragma once

#include "aumbry/json.hpp"

#include <filesystem>
#include <span>
#include <string>
#include <vector>

namespace aumbry {

enum class CheckOutcome { passed, failed, skipped };

/// One check of a module.
struct CheckResult {
    std::string name;    ///< stable, kebab-case: "describes-the-same"
    std::string purpose; ///< one sentence: what holds for a module that passes
    CheckOutcome outcome = CheckOutcome::passed;
    std::string detail; ///< why it failed or was skipped; empty when passed
};

struct CheckOptions {
    int seconds = 20; ///< time limit of each check
    /// Reference tables by name, as the catalogs have them. A table that is not here is passed as
    /// an empty list.
    Json tables = Json::object();
};

/// Runs every check, in a fixed order. When the module cannot be used at all, the checks that need
/// it are skipped.
/// @throws FaultError "missing-file" when there is no such file; std::system_error when no process
/// can be made.
[[nodiscard]] std::vector<CheckResult> check_plugin(const std::filesystem::path& file,
                                                    const CheckOptions& options = {});

/// No check failed or was skipped.
[[nodiscard]] bool all_passed(std::span<const CheckResult> results);

/// One line a check, below those that failed what they are for and why they failed, and a summary.
[[nodiscard]] std::string check_text(const std::string& file, std::span<const CheckResult> results);

/// {"file", "passed", "checks": [{"name", "purpose", "outcome", "detail"}]}.
[[nodiscard]] Json check_json(const std::string& file, std::span<const CheckResult> results);

} // namespace aumbry
