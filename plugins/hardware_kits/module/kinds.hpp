// Descriptions of the module's line kinds, one function a kind.
#pragma once

#include "aumbry/contract.hpp"

namespace aumbry::hardware_kits {

[[nodiscard]] contract::LineKind kit_kind();
[[nodiscard]] contract::LineKind fastener_kind();
[[nodiscard]] contract::LineKind lift_kind();
[[nodiscard]] contract::LineKind fixing_kind();

} // namespace aumbry::hardware_kits
