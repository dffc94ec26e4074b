// Lines of kind fastener: how many along the joints, which length, plugs over visible heads, glue
// by joint length.
#pragma once

#include "aumbry/contract.hpp"

#include <string>

namespace aumbry::hardware_kits {

void derive_fastener(const contract::Line& line, const contract::DeriveRequest& request,
                     contract::DeriveReply& reply);

/// One group: lines of one type, diameter and head.
void take_off_fasteners(const contract::TakeOffRequest& request, contract::TakeOffReply& reply);

/// Whether a type is a glue, bought by volume.
[[nodiscard]] bool is_glue(const std::string& type);

/// Whether a fastener is of steel that stains wood rich in tannin: not said to be of brass, bronze
/// or stainless steel, nor of wood.
[[nodiscard]] bool rusts(const contract::Line& line);

} // namespace aumbry::hardware_kits
