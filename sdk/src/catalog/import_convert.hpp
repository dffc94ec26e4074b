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

    /// The cells of the price list's row; nothing after a fault.
    std::optional<std::vector<std::string>> convert(const csv::Reader& reader,
                                                    std::vector<csv::RowFault>& faults);

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

    std::string convert_value(const std::string& field, const Value& value,
                              const csv::Reader& reader, std::vector<csv::RowFault>& faults) const;

    /// Takes out what sets thousands apart: it stands between a digit and exactly three.
    void take_out_grouping(std::string& text) const;

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
    std::vector<std::string> fields_;     ///< of the price list
    std::map<std::string, Value> values_; ///< of the row at hand, by field
    const contract::CatalogClass* class_ = nullptr;
    Units units_;
};

} // namespace aumbry
