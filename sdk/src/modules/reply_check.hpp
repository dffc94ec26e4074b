// Checks of a module's reply beyond its schema: it may name only lines, offers and values that it
// was given or has declared, and no number may be negative where that has no meaning.
#pragma once

#include "aumbry/contract.hpp"

namespace aumbry {

/// @throws ModuleError with what is refused.
void check_reply(const contract::Description& module, const contract::DeriveRequest& request,
                 const contract::DeriveReply& reply);
void check_reply(const contract::Description& module, const contract::TakeOffRequest& request,
                 const contract::TakeOffReply& reply);
void check_reply(const contract::Description& module, const contract::PlanRequest& request,
                 const contract::PlanReply& reply);
void check_reply(const contract::Description& module, const contract::FollowRequest& request,
                 const contract::FollowReply& reply);

} // namespace aumbry
