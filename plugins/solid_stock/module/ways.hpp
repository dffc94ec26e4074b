// The ways in which solid parts can be had: dressed lengths, boards of known size, rough boards by
// volume, what is owned.
#pragma once

#include "solid_stock/module/section.hpp"

#include "aumbry/contract.hpp"
#include "aumbry/stop.hpp"

#include <optional>
#include <string>
#include <vector>

namespace aumbry::solid_stock {

/// A line with its size in steps of the cutting grid.
struct LinePart {
    const contract::Line* line = nullptr;
    CrossSection section;
    GridLength length = 0;
    std::int64_t count = 1;
};

/// A demand with its ways and what is to be said of it.
struct DemandPlan {
    contract::Demand demand;
    std::vector<contract::Finding> findings;
    std::vector<contract::Working> workings;
    double preparation = 0; ///< minutes to prepare the owned boards of the first way
    /// What the wood costs at least, whichever way it is had; none while nothing is known.
    std::optional<double> least_cost = {};
};

/// One demand for each cross-section that dressed wood or boards of known size can give, and one
/// for all parts that only rough boards by volume can. `material` is the role that names them.
[[nodiscard]] std::vector<DemandPlan> plan_demands(const std::string& material,
                                                   const std::vector<LinePart>& parts,
                                                   const contract::TakeOffRequest& request,
                                                   const Stop& stop);

/// None when derive could not tell its size.
[[nodiscard]] std::optional<LinePart> part_of(const contract::Line& line);
/// The role that names the demands of a group.
[[nodiscard]] std::string material_name(const contract::TakeOffRequest& request);

/// Better ways for one demand, under the costs of the request.
[[nodiscard]] contract::PlanReply plan_parts(const contract::PlanRequest& request,
                                             const Stop& stop);

} // namespace aumbry::solid_stock
