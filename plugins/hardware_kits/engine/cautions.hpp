// Cautions: every warning sentence of the module in one place, for findings, README and printed
// pages.
#pragma once

#include "aumbry/contract.hpp"

#include <string>
#include <vector>

namespace aumbry::hardware_kits {

/// When a caution belongs on the page.
enum class Hazard { lift, fold_up, store, bunk, anchors, electric };

/// The work at which it matters.
enum class At { whole_job, weighing, hanging, springs };

struct Caution {
    std::string code; ///< stable, kebab-case
    Hazard hazard = Hazard::lift;
    contract::Severity severity = contract::Severity::caution;
    std::string text; ///< one hazard, and what to do
    At at = At::whole_job;
    bool client = false; ///< the client must know it too
};

/// All of them, in the order they are printed.
[[nodiscard]] const std::vector<Caution>& cautions();

/// Those of one hazard, in order.
[[nodiscard]] std::vector<Caution> cautions_for(Hazard hazard);

/// One of them. Throws FaultError for an unknown code.
[[nodiscard]] const Caution& caution(const std::string& code);
/// The text of one. Throws FaultError for an unknown code.
[[nodiscard]] const std::string& caution_text(const std::string& code);

} // namespace aumbry::hardware_kits
