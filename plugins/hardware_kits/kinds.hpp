// Descriptions of the module's line kinds, one function a kind.
#pragma once

#include "aumbry/contract.hpp"

namespace aumbry::hardware_kits {

[[nodiscard]] contract::LineKind kit_kind();
[[nodiscard]] contract::LineKind fastener_kind();
[[nodiscard]] contract::LineKind lift_kind();
[[nodiscard]] contract::LineKind fixing_kind();

/// A field of several records.
[[nodiscard]] contract::Field records_field(std::string name, std::string title,
                                            std::vector<contract::Field> fields, std::string help);
/// A field that names one line.
[[nodiscard]] contract::Field line_field(std::string name, std::string title,
                                         std::vector<std::string> kinds, std::string help);

} // namespace aumbry::hardware_kits
