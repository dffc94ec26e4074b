// Lines of kind kit: derived sizes, the re-dimensioned cut list, contents, fit, demand and steps.
#pragma once

#include "aumbry/contract.hpp"
#include "hardware_kits/module/kit_table.hpp"

#include <optional>

namespace aumbry::hardware_kits {

void derive_kit(const contract::Line& line, const contract::DeriveRequest& request,
                contract::DeriveReply& reply);

/// One group: lines of one model and hand.
void take_off_kits(const contract::TakeOffRequest& request, contract::TakeOffReply& reply);

/// The sheet of a kit line's model; none when there is none, which derive tells.
[[nodiscard]] std::optional<KitSheet> sheet_of(const contract::Line& kit, const Json& tables);

/// The mattress that a line's `mattress` field names; none without one or when its size is not
/// known.
[[nodiscard]] std::optional<MattressSize> mattress_of(const contract::Line& line);

} // namespace aumbry::hardware_kits
