// A market as a whole-number linear programme, for a general-purpose solver.
#pragma once

#include "reference.hpp"

#include <string>
#include <utility>
#include <vector>

namespace aumbry::test {

/// The least cost in minor units, written down in CPLEX LP format by the rules of procure.hpp:
/// binary for each way, whole counts for amounts, binary for each need and count bought of a sku
/// and for each kind of delivery; tax and what is rounded are whole numbers of minor units.
/// Demands that no supplier of the market can fill are left out.
struct MarketProgramme {
    std::string text;                                             ///< names its columns in order
    std::vector<std::pair<std::size_t, Reference::Choice>> parts; ///< what one of a column needs

    /// What a solution needs in all.
    [[nodiscard]] Reference::Choice needs(const std::vector<double>& values) const;
};

[[nodiscard]] MarketProgramme programme_of(const ProcureProblem& market);

} // namespace aumbry::test
