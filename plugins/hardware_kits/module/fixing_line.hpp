// Lines of kind fixing: what holds a piece to the building, with which force, and what must be
// checked on site.
#pragma once

#include "aumbry/contract.hpp"

namespace aumbry::hardware_kits {

void derive_fixing(const contract::Line& line, contract::DeriveReply& reply);

/// One group: lines of one type, diameter and length.
void take_off_fixings(const contract::TakeOffRequest& request, contract::TakeOffReply& reply);

} // namespace aumbry::hardware_kits
