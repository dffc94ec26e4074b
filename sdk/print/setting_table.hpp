// The fence settings of the workshop over all sheets of a material: set once, cut on every sheet.
#pragma once

#include "print/cut_book.hpp"

namespace aumbry::print {

struct FenceSetting {
    int number = 0;
    contract::CutKind kind = contract::CutKind::rip;
    double setting = 0; ///< mm
    /// Sheets by their id, each with the numbers of its cuts.
    std::vector<std::pair<std::string, std::vector<int>>> cuts;
};

struct SettingTable {
    std::string title; ///< of the sheets that are cut together
    std::vector<FenceSetting> settings;
};

/// One for all sheets of one title, in the order in which they come; none where nothing is set.
[[nodiscard]] std::vector<SettingTable> setting_tables(const CutBook& book);

/// "rip 80"
[[nodiscard]] std::string setting_in_words(const FenceSetting& setting, const std::string& unit);
/// "S1 cut 7; S3 cuts 4 to 6, 9"
[[nodiscard]] std::string cuts_in_words(const FenceSetting& setting);

} // namespace aumbry::print
