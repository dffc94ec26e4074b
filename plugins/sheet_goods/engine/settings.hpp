// The order of the workshop's cuts in which the fence is set least often.
#pragma once

#include "sheet_goods/engine/true_cuts.hpp"

#include <vector>

namespace aumbry::sheet_goods {

/// The number of its fence setting for each cut, from 1; 0 for a dealer's cut or a trim.
using Settings = std::vector<std::vector<int>>;

/// Sorts the cuts of each sheet: the dealer's, then the workshop's setting by setting, all sheets
/// together. A cut comes after the one that makes its blank; trims come as soon as they can. Cuts
/// of one kind and position are made at one setting where that is possible; of settings whose cuts
/// can all be made, rips come before crosscuts and wide ones before narrow.
[[nodiscard]] Settings sort_by_setting(std::vector<std::vector<MadeCut>>& sheets);

/// How often the fence is set for these cuts in that order; where that is more than `most`, at
/// least a number above it, which takes less time.
[[nodiscard]] int settings_of(const std::vector<std::vector<MadeCut>>& sheets, int most);

/// How often the fence is set.
[[nodiscard]] int setting_count(const Settings& settings);

} // namespace aumbry::sheet_goods
