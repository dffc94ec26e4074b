// What follows from one panel: sizes, area, mass, sag.
#pragma once

#include "sheet_goods/module/material.hpp"
#include "sheet_goods/module/panel.hpp"

#include "aumbry/contract.hpp"

namespace aumbry::sheet_goods {

[[nodiscard]] contract::DeriveReply derive_panels(const contract::DeriveRequest& request);

/// kg of one, when the density is known.
[[nodiscard]] std::optional<double> mass_of(const Panel& panel, const SheetMaterial& material);

} // namespace aumbry::sheet_goods
