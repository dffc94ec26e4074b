// Working steps: cutting and edges, by piece.
#pragma once

#include "sheet_goods/module/material.hpp"
#include "sheet_goods/module/panel.hpp"
#include "sheet_goods/module/plan.hpp"

#include "aumbry/contract.hpp"

namespace aumbry::sheet_goods {

/// Steps for the panels of a group: cut (needs the sheets), edges (needs the edging), joining of
/// seams, and scribing at the wall. Times are the module's settings.
void add_work(const std::vector<Panel>& panels, const SheetMaterial& material, const Terms& terms,
              const std::string& group, bool cut, contract::TakeOffReply& reply);

/// The id of a step of one kind of work on the panels of a piece: "cut.carcase.bed".
[[nodiscard]] std::string step_id(const char* what, const std::string& group,
                                  const std::string& piece);

} // namespace aumbry::sheet_goods
