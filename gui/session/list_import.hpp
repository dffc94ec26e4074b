// Importing a dealer's spreadsheet by hand: what is chosen so far, and what would come of it. Knows
// nothing of drawing.
#pragma once

#include "aumbry/catalog_import.hpp"

#include <filesystem>
#include <functional>
#include <future>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace aumbry::gui {

/// The first rows of a spreadsheet as they are.
struct SheetHead {
    std::vector<std::vector<std::string>> rows; ///< empty: a blank row, or none of a CSV
    std::size_t width = 0;                      ///< most cells of a row
    bool latin1 = false;                        ///< not UTF-8, taken for Latin-1
};

/// What a mapping makes of a spreadsheet: an import, or why there is none.
struct ImportOutcome {
    std::optional<Import> import;
    std::vector<std::vector<std::string>> rows; ///< of the new list, its header first
    std::vector<Fault> faults;                  ///< of mapping, spreadsheet or supplier
    bool whole = false;                         ///< all rows were read, not the first ones alone
};

/// Everything about the import at hand.
struct ListImport {
    std::filesystem::path spreadsheet; ///< empty: none is chosen
    std::filesystem::path supplier;    ///< its folder
    Mapping mapping;
    SheetHead head;
    std::vector<Fault> faults;                ///< why the spreadsheet cannot be shown
    std::map<std::string, std::string> typed; ///< texts of fields, by their name
    ImportOutcome outcome;
    std::string told;       ///< what was done last: "Written: 12 rows"
    bool stale = false;     ///< something was chosen since `outcome`
    bool check_all = false; ///< the next look is at all rows
    std::future<ImportOutcome> looking;
    std::future<void> thread; ///< that looks

    [[nodiscard]] bool busy() const { return looking.valid(); }
};

inline constexpr std::size_t rows_of_head = 20;  ///< of a spreadsheet that are shown
inline constexpr std::size_t rows_of_look = 200; ///< of a spreadsheet that are tried at once

/// Chooses a spreadsheet: shows its head and guesses where its header is, its separator's decimal
/// sign, and the columns that are named as ours are.
void choose_spreadsheet(ListImport& import, const std::filesystem::path& file,
                        const std::vector<contract::CatalogClass>& classes);
/// Reads the head anew, after another separator or header row.
void read_head(ListImport& import);
/// Takes over a saved mapping. @throws FaultError
void open_mapping(ListImport& import, const std::filesystem::path& file,
                  const std::vector<contract::CatalogClass>& classes);
/// Writes the mapping. @throws FaultError
void save_mapping(const ListImport& import, const std::filesystem::path& file);

/// The names of the columns, from the header row; a name that is empty or there twice cannot be
/// mapped and is empty here.
[[nodiscard]] std::vector<std::string> columns_of(const ListImport& import);
/// What a column is; empty: nothing.
[[nodiscard]] std::string field_of(const Mapping& mapping, const std::string& column);
/// Says what a column is; the column that was it before is nothing then.
void set_field(Mapping& mapping, const std::string& column, const std::string& field);
/// The fields of a price list with rows of a class, common ones first.
struct ListField {
    std::string name;
    std::string title;
    std::string help;
    bool required = false;
    bool has_unit = false; ///< a quantity: bare numbers need a unit
};
[[nodiscard]] std::vector<ListField> fields_of(const std::vector<contract::CatalogClass>& classes,
                                               const std::string& class_name);
/// Where a field comes from, for a person: "column Item", "pattern of Article", "the same for all
/// rows", or empty.
[[nodiscard]] std::string origin_of(const Mapping& mapping, const std::string& field);

/// "Birch = birch; Poplar = poplar" and back.
[[nodiscard]] std::string words_as_text(const std::map<std::string, std::string>& words);
[[nodiscard]] std::map<std::string, std::string> words_of_text(const std::string& text);
/// Texts set apart by blanks, and back.
[[nodiscard]] std::string texts_as_text(const std::vector<std::string>& texts);
[[nodiscard]] std::vector<std::string> texts_of_text(const std::string& text);

/// Tries the mapping on the first rows, or on all. Runs in a thread of its own when it is asked to;
/// `wake` is called when it is done.
[[nodiscard]] ImportOutcome try_mapping(const Mapping& mapping,
                                        const std::filesystem::path& spreadsheet,
                                        const std::filesystem::path& supplier,
                                        const std::vector<contract::CatalogClass>& classes,
                                        bool whole);
/// Begins a look when something was chosen since the last, and takes what an earlier one found.
void keep_up(ListImport& import, const std::vector<contract::CatalogClass>& classes,
             const std::function<void()>& wake);

} // namespace aumbry::gui
