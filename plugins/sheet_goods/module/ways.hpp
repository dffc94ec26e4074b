// The ways to buy and cut a group of panels.
#pragma once

#include "sheet_goods/module/plan.hpp"

#include "aumbry/contract.hpp"

#include <vector>

namespace aumbry::sheet_goods {

struct WayRequest {
    std::vector<Panel> panels;     ///< all of which some sheet holds
    std::vector<Panel> particular; ///< panels that need a better sheet than the material's grade
    std::vector<Stock> stock;
    std::vector<const Stock*> better; ///< of `stock`, good enough for `particular`
    Terms terms;
};

struct WayReply {
    std::vector<contract::Way> ways;        ///< cheapest by listed price first, 12 at most
    std::vector<std::string>
        narrow_strips; ///< suppliers who would have to cut narrower strips than they cut
};

/// One way for each sheet that can be bought, with what lies in the workshop used first; one of the
/// workshop's own where that is enough; and a mixed one where several formats together cost less by
/// listed price or none is enough alone. Draft looks once; higher efforts improve the three
/// cheapest plans.
[[nodiscard]] WayReply find_ways(const WayRequest& request);

} // namespace aumbry::sheet_goods
