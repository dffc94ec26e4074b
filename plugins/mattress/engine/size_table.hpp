// Nominal mattress sizes by region: rows handed in from reference data, found by region and name.
#pragma once

#include <string>
#include <vector>

namespace aumbry::mattress {

/// One nominal size as sold in a region.
struct NominalSize {
    std::string region; ///< "US", "EU", "UK", "AU", "JP"
    std::string name;   ///< "queen"
    double width = 0;   ///< mm
    double length = 0;  ///< mm
    std::string source; ///< where the figure comes from
    std::string mark;   ///< how well it is known: "secondary source", "from memory", ...
};

/// The row of a region and name. Throws FaultError for an unknown region or name with the nearest
/// known one, for a name that the region has twice, or a row whose size is not above zero.
[[nodiscard]] const NominalSize& find_size(const std::vector<NominalSize>& table,
                                           const std::string& region, const std::string& name);

/// Names of a region in the order of the table; empty for an unknown region.
[[nodiscard]] std::vector<std::string> size_names(const std::vector<NominalSize>& table,
                                                  const std::string& region);

} // namespace aumbry::mattress
