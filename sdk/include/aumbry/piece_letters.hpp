// Letters of the pieces of a sheet on their way to the parts: chalked on, the same on the drawing,
// in the list of cuts and on the dealer's page.
#pragma once

#include "aumbry/contract/plans.hpp"

#include <string>
#include <vector>

namespace aumbry {

/// A letter for every blank that is cut further and for every one that a dealer hands over, by
/// index of `SheetPlan::blanks`; empty for the others. The whole sheet is A; what is left after a
/// cut keeps the letter of what was cut, and what comes off gets the next one. I and O, which read
/// like digits, are left out; AA follows Z.
[[nodiscard]] std::vector<std::string> piece_letters(const contract::SheetPlan& plan);

} // namespace aumbry
