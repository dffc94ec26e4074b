// Asking a module so that one bad line does not take the others with it.
//
// A module may refuse lines by name. When it fails instead and names none, the lines are halved
// until those that fail by themselves are found, and the rest is asked again without them.
#pragma once

#include "aumbry/plugin_host.hpp"

#include <functional>
#include <memory>
#include <string>
#include <vector>

namespace aumbry {

/// A line that a module does not answer for.
struct LineLeftOut {
    std::string line;
    std::string reason;   ///< goes on from the module's name: "failed in derive: no thickness"
    bool by_name = false; ///< the module itself named the line
};

/// What came of asking about some lines.
template <class Reply>
struct Answered {
    std::shared_ptr<const Reply> reply; ///< about the lines that are left; null when none is
    std::vector<LineLeftOut> left_out;
};

/// Asks about some of the lines. @throws ModuleError, CallCancelled.
template <class Reply>
using AskAbout = std::function<std::shared_ptr<const Reply>(const std::vector<contract::Line>&)>;

/// @throws CallCancelled.
[[nodiscard]] Answered<contract::DeriveReply>
derive_line_by_line(std::vector<contract::Line> lines, const AskAbout<contract::DeriveReply>& ask);
[[nodiscard]] Answered<contract::TakeOffReply>
take_off_line_by_line(std::vector<contract::Line> lines,
                      const AskAbout<contract::TakeOffReply>& ask);

/// The lines left out as what is said of the module: one entry a reason.
[[nodiscard]] std::vector<AbsentModule> absences(const std::string& module,
                                                 const std::vector<LineLeftOut>& left_out);

} // namespace aumbry
