// Parts lists: rows of a spreadsheet that become lines of a project, and lines that become rows. A
// list that is taken in again changes the lines that it changed, and nothing that the maker added.
#pragma once

#include "aumbry/csv.hpp"
#include "aumbry/plugin_host.hpp"
#include "aumbry/resolved_project.hpp"

#include <filesystem>
#include <map>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace aumbry {

/// A mapping document for parts lists (`*.parts.json`). A field is `id`, `name`, `piece`, `kind`,
/// `material`, `thickness`, `count`, or a field of a kind of line that is made of a material:
/// `length`, `width`, `grain`, `edges`. Without a mapping, headings are the names of fields, a unit
/// behind them: "length mm".
struct PartsMapping {
    std::string file; ///< where it was read, for faults
    std::string note;
    std::string list;      ///< name that its lines carry (`from_list`); empty: that of the file
    std::string sheet;     ///< of a spreadsheet with several; empty: the first that shows
    int header_row = 1;    ///< row with the names of columns, as a spreadsheet counts
    std::string separator; ///< "," ";" or a tab; empty: found from the header
    bool decimal_comma = false;
    bool decimal_stated = false; ///< else a number that could be meant either way is refused
    std::string grouping;        ///< what sets thousands apart, taken out of numbers
    std::vector<std::string>
        row_needs; ///< rows where one of these columns is empty are headings, and passed over
    std::map<std::string, std::string> columns;   ///< their column -> field; empty: by name
    std::map<std::string, std::string> constants; ///< field -> text where no column gives one
    std::map<std::string, std::string> units;     ///< field -> unit of its bare numbers
    std::map<std::string, std::map<std::string, std::string>>
        words;                                              ///< field -> their word -> ours
    std::map<std::string, std::vector<std::string>> remove; ///< field -> texts taken out of it
};

/// Reads a mapping strictly. @throws FaultError with every fault, each with pointer, line and
/// column.
[[nodiscard]] PartsMapping read_parts_mapping(std::string_view text, const std::string& file,
                                              std::span<const contract::Description> modules);
/// JSON Schema (draft-07) of these documents.
[[nodiscard]] Json parts_mapping_schema();

/// A table as it came: text, or a spreadsheet in a file.
struct PartsSource {
    std::string name;                  ///< for sentences: "kitchen.csv", "standard input"
    std::string text;                  ///< its bytes
    std::filesystem::path spreadsheet; ///< where it is read, when it is one
};
/// Reads a file. @throws FaultError of read_file().
[[nodiscard]] PartsSource parts_source(const std::filesystem::path& file);

/// How a list is taken in.
struct PartsToTake {
    PartsMapping mapping = {};
    std::string list = {};  ///< wins over the mapping's
    std::string piece = {}; ///< of rows that name none
    std::string unit = {};  ///< of bare numbers that neither heading nor mapping says
    bool drop_gone = false; ///< takes lines out that the list has no longer
};

/// What a row changes in its line.
struct PartsChange {
    std::string line;
    std::string field;
    std::string before; ///< empty: nothing was said
    std::string after;
};

/// What taking a list in does.
struct PartsTaken {
    std::string source;
    std::string list;
    std::string text;                  ///< the project's bytes then
    std::size_t rows = 0;              ///< that are parts
    std::vector<int> passed_over;      ///< rows without what a row needs
    std::vector<csv::RowFault> faults; ///< by row and column; with any, the project stays as it is
    std::vector<std::string> notes;
    std::vector<std::string> added;  ///< ids of new lines
    std::vector<std::string> gone;   ///< lines of this list that it has no longer
    bool gone_dropped = false;       ///< and that are taken out
    std::vector<std::string> pieces; ///< pieces that were made
    std::vector<PartsChange> changed;
    std::size_t unchanged = 0; ///< lines
};

/// Takes a list into a project's text. Rows are the lines of their `id`; without one, the lines
/// that came from the same list under the same name. What a column says wins over the line, empty
/// cells say nothing; a formula that comes to the same stays. Other bytes of the text stay.
/// @throws FaultError when no row can be read: a column that is not there, a project at fault.
[[nodiscard]] PartsTaken take_parts(const std::string& project_text,
                                    const std::string& project_file, PartsSource source,
                                    const PartsToTake& wanted, PluginHost& host,
                                    const Json& tables);

/// Parts as rows, under the headings that take_parts() knows without a mapping.
struct PartsTable {
    std::vector<std::string> header;
    std::vector<std::vector<std::string>> rows; ///< numbers are plain: "720.5"
    std::vector<bool> numbers;                  ///< by column
};

/// The lines that are made of a material and have a length, in the project's unit.
[[nodiscard]] PartsTable parts_of(const Resolved& project,
                                  std::span<const contract::Description> modules);
/// RFC 4180.
[[nodiscard]] std::string parts_csv(const PartsTable& parts);

} // namespace aumbry
