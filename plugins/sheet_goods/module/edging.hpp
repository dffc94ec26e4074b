// Banding by the roll, and the work on edges.
#pragma once

#include "sheet_goods/module/material.hpp"
#include "sheet_goods/module/panel.hpp"

#include "aumbry/contract.hpp"

#include <vector>

namespace aumbry::sheet_goods {

/// One demand for each kind of banding that the panels need. A band must be of the species and
/// thickness asked for and wide enough for the panel's thickness and the overhang on both faces;
/// its length is that of the edge and the overhang at both ends. Says what nobody offers.
void take_off_edging(const contract::TakeOffRequest& request, const std::vector<Panel>& panels,
                     const SheetMaterial& material, const Shop& shop, const std::string& group,
                     contract::TakeOffReply& reply);

/// m of edges of a panel with a treatment, as finished, of one.
[[nodiscard]] double treated_length(const Panel& panel, Treatment treatment);

} // namespace aumbry::sheet_goods
