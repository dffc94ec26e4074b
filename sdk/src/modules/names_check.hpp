// What must hold among all replies of one module: ids are unique over its groups, and its steps
// wait for what is there.
#pragma once

#include "aumbry/plugin_host.hpp"

#include <string>
#include <vector>

namespace aumbry {

/// A module's reply to one group.
struct GroupReply {
    const contract::TakeOffReply* reply = nullptr;
    std::string refused; ///< why it cannot stand beside the others; goes on from the module's name
};

/// Refuses the later of two groups that use one id, and every group with a step that waits for
/// what is not there or, in the end, for itself. Gives the names of the groups that stand.
[[nodiscard]] ModuleNames check_groups(std::vector<GroupReply>& groups);

/// Why a reply to follow cannot stand beside what the module took off; empty when it can. Goes on
/// from the module's name.
[[nodiscard]] std::string fault_beside(const ModuleNames& names,
                                       const contract::FollowReply& reply);

} // namespace aumbry
