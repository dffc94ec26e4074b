// Importing a dealer's spreadsheet: a saved mapping says which of its columns is which field, and
// what is seen before anything is written is what will be written.
#pragma once

#include "aumbry/catalog.hpp"
#include "aumbry/text_pattern.hpp"

#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace aumbry {

/// How dates are written in a spreadsheet.
enum class DateOrder { year_month_day, day_month_year, month_day_year };

/// Patterns for the texts of one column; the first that fits gives its values.
struct ColumnPatterns {
    std::string column;
    std::vector<std::string> texts;
    std::vector<TextPattern> patterns;
};

/// Headings between the rows of a spreadsheet, which hold for the rows below them: rows without
/// what `row_needs` names. A heading that is not known leaves the rows below it out.
struct MappingSections {
    std::string column; ///< that has their text
    std::vector<std::string> texts;
    std::vector<TextPattern> patterns; ///< values that a heading says: "{species} plywood {grade}"
    std::map<std::string, std::map<std::string, std::string>>
        constants; ///< heading -> field -> text
};

/// A row with a price in each of several columns: one row for each that has one.
struct MappingSpread {
    std::string over;                           ///< field that the columns differ in
    std::string gives;                          ///< field that their cells state
    std::map<std::string, std::string> columns; ///< their column -> value of `over`
};

/// A mapping document (`*.mapping.json`). A field is one of the common columns of price lists or an
/// attribute of a class. Its value comes from a column, else from a pattern, else from `constants`.
struct Mapping {
    std::string file; ///< where it was read, for faults
    std::string note;
    std::string list;      ///< name of the price list that it writes, "boards.csv"
    int header_row = 1;    ///< row with the names of columns, as a spreadsheet counts
    std::string separator; ///< "," ";" or a tab; empty: found from the header
    std::string sheet;     ///< of a spreadsheet with several; empty: the first that shows
    bool decimal_comma = false;
    bool decimal_stated = false; ///< else a number that could be meant either way is refused
    std::string grouping;        ///< what sets thousands apart, taken out of numbers
    DateOrder date_order = DateOrder::year_month_day;
    std::vector<std::string>
        row_needs; ///< rows where one of these columns is empty are headings, and passed over
    std::map<std::string, std::string> columns;   ///< their column -> field
    std::map<std::string, std::string> constants; ///< field -> text
    std::map<std::string, std::string> units;     ///< field -> unit of its bare numbers
    std::map<std::string, std::map<std::string, std::string>>
        words; ///< field -> their word -> ours
    std::map<std::string, std::vector<std::string>>
        remove; ///< field -> texts taken out of it, such as a currency sign
    std::vector<ColumnPatterns> patterns;
    std::optional<MappingSections> sections = {};
    std::optional<MappingSpread> spread = {};
    std::map<std::string, std::string>
        composed; ///< field -> text in which {name} is a column or field: "{Item}-{thickness}"
};

/// Reads a mapping strictly. @throws FaultError with every fault, each with pointer, line and
/// column.
[[nodiscard]] Mapping read_mapping(std::string_view text, const std::string& file,
                                   const std::vector<contract::CatalogClass>& classes);
/// The document of a mapping; read_mapping() of its text gives it back.
[[nodiscard]] Json to_json(const Mapping& mapping);
/// JSON Schema (draft-07) of mapping documents.
[[nodiscard]] Json mapping_schema();

/// A price before and after.
struct PriceChange {
    std::string sku;
    std::int64_t min_quantity = 1;
    Decimal before;
    Decimal after;
    Decimal percent; ///< of the price before, one decimal; zero when that was zero
};

/// What an import would do.
struct Import {
    std::string source;           ///< the spreadsheet
    std::filesystem::path target; ///< the price list that is written
    std::string before;           ///< its bytes now; empty when there is none
    bool replaces = false;        ///< whether there is one now
    std::string text;             ///< its bytes then
    std::size_t rows = 0;         ///< good rows
    std::size_t passed_over = 0;  ///< headings and the like
    std::vector<csv::RowFault>
        faults; ///< by row and column of the spreadsheet; these rows are left out
    std::vector<std::string> notes;
    std::vector<std::string> added; ///< skus that the list does not have now
    std::vector<std::string> gone;  ///< skus that it has now only
    std::vector<std::string>
        sold_otherwise; ///< skus with another price unit or pack: their prices are not compared
    std::vector<PriceChange> dearer; ///< greatest percentage first
    std::vector<PriceChange> cheaper;
    std::size_t unchanged = 0; ///< prices
};

/// Reads a spreadsheet through a mapping, checks every row as a price list of the supplier, and
/// compares it with the list that the supplier has now. Writes nothing. `max_rows`: reads no more
/// than so many rows and compares nothing, for a look at a long list; zero: all.
/// @throws FaultError when no row can be read: a file that is not there, a column that it has not,
/// a supplier at fault.
[[nodiscard]] Import plan_import(const std::filesystem::path& spreadsheet, const Mapping& mapping,
                                 const std::filesystem::path& supplier_folder,
                                 const std::vector<contract::CatalogClass>& classes,
                                 std::size_t max_rows = 0);

/// Writes the list as save_file does, so that whoever reads the supplier finds the old list or the
/// new. One import at a time may write a list; whatever stops one leaves nothing behind.
/// @throws FaultError "no-rows", "list-changed" when the list is not as it was compared,
/// "import-under-way", "unwritable-file", and what save_file and read_file throw.
void write_import(const Import& import);

/// What `catalog import` prints, as text or JSON.
[[nodiscard]] std::string import_report(const Import& import, bool written, bool json);

} // namespace aumbry
