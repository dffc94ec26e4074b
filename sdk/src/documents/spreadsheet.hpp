// Spreadsheets (Office Open XML, ECMA-376) as text: one sheet as the CSV that the same readers
// take.
#pragma once

#include <filesystem>
#include <set>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace aumbry {

/// Cells that are joined to one; rows and columns count from 1.
struct MergedCells {
    int first_row = 1;
    int first_column = 1;
    int last_row = 1;
    int last_column = 1;
    std::string range; ///< "B3:B5"
};

/// One sheet: rows stand on the lines of their numbers.
struct SheetText {
    std::string csv;  ///< RFC 4180, comma
    std::string name; ///< of the sheet
    std::vector<MergedCells> merged;
    std::set<std::pair<int, int>> sums;           ///< row and column of cells that add others up
    std::set<std::pair<int, int>> without_result; ///< of formulas that nobody has calculated
    int hidden_rows = 0;
};

/// Whether the bytes begin as a spreadsheet that read_sheet() reads: a zip archive (APPNOTE.TXT
/// 4.3.7).
[[nodiscard]] bool begins_as_spreadsheet(std::string_view bytes);

/// Reads the sheet of that name, or the first that is not hidden. Numbers carry what their format
/// shows beside them ("720 mm", "€ 83.50"), dates are yyyy-mm-dd.
/// @throws FaultError "not-csv" for an archive that is no such spreadsheet, "unknown-sheet",
/// "too-large", "empty-table".
[[nodiscard]] SheetText read_sheet(const std::filesystem::path& file, std::string_view sheet = {},
                                   bool decimal_comma = false);

} // namespace aumbry
