// What the module says of itself.
#pragma once

#include "aumbry/contract.hpp"

namespace aumbry::sheet_goods {

[[nodiscard]] contract::Description describe_module();

} // namespace aumbry::sheet_goods
