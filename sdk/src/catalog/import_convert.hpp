// Rows of a dealer's spreadsheet become rows of a price list, by a saved mapping.
#pragma once

#include "aumbry/catalog_import.hpp"
#include "aumbry/quantity.hpp"

#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace aumbry {

/// Units by their spelling, asked for once each.
class Units {
  public:
    /// Whether the text is a unit of that dimension.
    bool is(std::string_view unit, Dimension wanted);

  private:
    std::map<std::string, std::optional<Dimension>, std::less<>> known_;
};

/// What is known of a field: a common column or an attribute of the row's class.
struct FieldOfRow {
    const contract::Field* attribute = nullptr;
    bool number = false;
    bool date = false;
    std::optional<Dimension> dimension; ///< of a quantity
};

/// Turns rows of a spreadsheet into rows of a price list.
class Converter {
  public:
    Converter(const Mapping& mapping, const Supplier& supplier,
              const std::vector<contract::CatalogClass>& classes, std::string source)
        : mapping_(mapping), supplier_(supplier), classes_(classes), source_(std::move(source)) {}

    /// @throws FaultError for every column of the mapping that the spreadsheet does not have.
    void lay_out(std::span<const std::string_view> header);

    [[nodiscard]] const std::vector<std::string>& fields() const { return fields_; }

    [[nodiscard]] bool passes_over(std::span<const std::string_view> cells) const;

    /// A row that is passed over may be a heading that holds for the rows below it.
    void take_heading(const csv::Reader& reader, std::vector<csv::RowFault>& faults);
    /// Whether the row stands below a heading that is not known.
    [[nodiscard]] bool is_left_out() const { return unknown_heading_; }

    /// The cells of the price list's rows, several where a row is spread; none after a fault.
    std::vector<std::vector<std::string>> convert(const csv::Reader& reader,
                                                  std::vector<csv::RowFault>& faults);

    /// Whether a column of the spreadsheet is read, counted from 1.
    [[nodiscard]] bool reads_column(int column) const;

    /// The column of the spreadsheet that a field of the row at hand comes from, for a sentence.
    [[nodiscard]] std::string origin_of(const std::string& field) const;

  private:
    struct Source {
        std::size_t column = 0;
        std::string field;
    };
    struct Value {
        std::string text;
        std::string_view column;
    };

    using Values = std::map<std::string, Value>;

    /// Columns by their headings; faults for those that are not there.
    struct Columns {
        std::vector<std::string> names;
        std::vector<Fault> faults;
    };
    std::size_t column_number(Columns& columns, const std::string& name,
                              const std::string& pointer) const;
    void lay_out_composed(Columns& columns);

    /// With lines and columns, when the mapping is in a file.
    [[nodiscard]] FaultError placed(std::vector<Fault> faults) const;

    [[nodiscard]] static bool is_common(std::string_view field);
    [[nodiscard]] static bool has_attribute(const contract::CatalogClass& of,
                                            const std::string& name);

    void settle_class();

    [[nodiscard]] std::string in_our_words(const std::string& field, const std::string& text) const;

    [[nodiscard]] FieldOfRow kind_of(std::string_view name) const;

    /// Whether a text can be a value of a field, as far as a pattern needs to know.
    TextPattern::Reading reading_of(std::string_view name);

    void take_apart(std::size_t number, const csv::Reader& reader,
                    std::vector<csv::RowFault>& faults);

    /// "250 x 125 cm": a unit behind the last of several sizes holds for all of them.
    void share_units(std::string_view text, TextPattern::Values& values) const;

    /// A price in another currency than the supplier's is refused, whatever the mapping removes.
    void refuse_currency(std::string_view text, std::string_view column, const csv::Reader& reader,
                         std::vector<csv::RowFault>& faults) const;

    [[nodiscard]] std::string composed(const std::string& pattern, const csv::Reader& reader) const;
    std::vector<std::string> row_of_values(const csv::Reader& reader,
                                           std::vector<csv::RowFault>& faults);

    std::string convert_value(const std::string& field, const Value& value,
                              const csv::Reader& reader, std::vector<csv::RowFault>& faults) const;

    /// A date of the mapping's order as yyyy-mm-dd; empty when it is none. Whether it exists is
    /// checked later.
    [[nodiscard]] std::string as_iso(std::string_view text) const;

    const Mapping& mapping_;
    const Supplier& supplier_;
    const std::vector<contract::CatalogClass>& classes_;
    const std::string source_;
    std::vector<Source> sources_;
    std::vector<std::size_t> pattern_columns_;
    std::vector<std::size_t> needed_;
    std::vector<std::string> fields_; ///< of the price list
    Values values_;                   ///< of the row at hand, by field
    std::size_t section_column_ = 0;
    std::map<std::string, std::string> section_; ///< what the heading above says, by field
    bool unknown_heading_ = false;
    std::vector<std::pair<std::size_t, std::string>>
        spread_; ///< column, and the value of the field in which the columns differ
    const contract::CatalogClass* class_ = nullptr;
    Units units_;
};

} // namespace aumbry
