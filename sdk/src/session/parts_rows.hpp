// Rows of a parts list by field, before anything is known of the project.
#pragma once

#include "aumbry/parts_list.hpp"

#include <map>
#include <string>
#include <vector>

namespace aumbry {

/// The fields of lines that a parts list may have besides those of every line.
[[nodiscard]] std::vector<std::string>
fields_of_parts(std::span<const contract::Description> modules);

/// The kinds of line that are made of a material and have a length.
[[nodiscard]] std::vector<const contract::LineKind*>
kinds_of_parts(std::span<const contract::Description> modules);

/// A row of the list: what it says, by field, in our words. A bare number of a length has the unit
/// of its column.
struct PartsRow {
    int row = 0;
    int line = 0;
    std::map<std::string, std::string> cells; ///< by field; none is empty
};

/// The rows of a list and what is at fault with them.
struct PartsRows {
    std::vector<PartsRow> rows;
    std::map<std::string, std::string> columns; ///< field -> their heading
    std::vector<int> passed_over;
    std::vector<csv::RowFault> faults;
    std::vector<std::string> notes;

    /// Adds a fault of a row. `field`: whose column is meant.
    void refuse(const PartsRow& row, const std::string& field, std::string code, std::string wrong,
                std::string right);
    std::string source;
};

/// @throws FaultError "no-such-column", "duplicate-column", and what readers of tables throw.
[[nodiscard]] PartsRows read_parts_rows(PartsSource source, const PartsToTake& wanted,
                                        std::span<const contract::Description> modules);

} // namespace aumbry
