// One supplier's price lists become checked rows.
#pragma once

#include "catalog/catalog_content.hpp"

#include <map>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace aumbry {

/// Rows of classes that no module prices, counted for a note.
struct ClassAside {
    std::size_t rows = 0;
    std::string first_file;
};

/// "an item", "a sheet".
[[nodiscard]] std::string with_article(std::string_view noun);

/// Reads the lists of one supplier after another into a catalog's content. Row by row a list is
/// checked against the common columns and the attributes of the row's class; `finish_supplier` then
/// orders the rows and checks rows of one sku against each other.
class PriceListReader {
  public:
    PriceListReader(std::set<std::string, std::less<>>& names, std::vector<ClassTable>& classes,
                    std::vector<PriceRow>& rows, std::vector<PriceRow>& aside,
                    std::vector<csv::RowFault>& faults, std::vector<std::string>& notes);

    void begin_supplier(const Supplier& supplier);
    /// `text` is decoded; it is kept by the caller, since rows look into it. `number` is
    /// PriceRow::file.
    void read(std::string& text, const std::string& file, std::uint32_t number);
    void finish_supplier(const std::vector<std::string>& files);

    [[nodiscard]] const std::map<std::string, ClassAside, std::less<>>& classes_aside() const {
        return classes_aside_;
    }

  private:
    /// Column of a list -> what it is in a class.
    struct Plan {
        ClassTable* table = nullptr; ///< null: no module prices the class
        std::uint32_t number = 0;
        std::string_view name;
        std::vector<int> attribute; ///< by column: attribute of the class, or one of the two below
    };
    static constexpr int is_common = -1;
    static constexpr int not_of_class = -2;

    /// Values of cells of this supplier's lists, by their text.
    struct CellCache {
        std::string_view last_text;
        std::uint32_t last_id = 0;
        std::unordered_map<std::string_view, std::uint32_t> ids; ///< never iterated
    };

    struct UnknownColumn {
        bool used_by_known_class = false;
        bool used_by_class_aside = false;
    };

    bool lay_out(const csv::Reader& reader, const std::string& file);
    Plan& plan_for(std::string_view class_name, std::span<const std::string_view> header);
    void tell_unknown_columns(const csv::Reader& reader, const std::string& file);
    void read_row(const csv::Reader& reader, const std::string& file, std::uint32_t number);
    [[nodiscard]] std::string_view cell(const csv::Reader& reader, int common) const;
    void read_common(const csv::Reader& reader, PriceRow& row);
    const Plan* read_class(const csv::Reader& reader);
    void read_attributes(const csv::Reader& reader, const Plan& plan);
    void refuse(std::string_view column, std::string_view value, std::string code,
                std::string wrong, std::string right = {});
    void refuse_as(std::string_view column, std::string_view value, const FaultError& error);
    /// The cell with a decimal point, or nothing after a fault that says which sign is right.
    bool with_point(std::string_view column, std::string_view cell, std::string& out);
    bool read_price(std::string_view cell, Decimal& price);
    void read_pack(std::string_view text, double& count);
    bool read_price_unit(std::string_view cell, std::string_view& unit);
    template <class Whole>
    bool read_whole(std::string_view column, std::string_view cell, std::int64_t least,
                    std::int64_t most, std::optional<Whole>& out);
    bool read_date(std::string_view column, std::string_view cell, std::optional<Date>& date);
    std::uint32_t read_attribute(const Plan& plan, std::size_t attribute, std::string_view cell);
    std::string_view keep(std::string_view name);

    // price_list_skus.cpp
    struct RowsOfSku {
        std::size_t begin = 0; ///< of rows_
        std::size_t end = 0;
        std::size_t first = 0; ///< the row that is written first: it decides what the sku is
    };
    void order_rows();
    void settle_sku(std::size_t begin, std::size_t end);
    void agree(const RowsOfSku& rows);
    void one_price_at_a_time(const RowsOfSku& rows);
    void complete(const RowsOfSku& rows);
    void drop(const PriceRow& row, std::string_view column, std::string_view value,
              std::string code, std::string wrong, std::string right);
    [[nodiscard]] std::string place_of(const PriceRow& row, const PriceRow& seen_from) const;

    std::set<std::string, std::less<>>& names_;
    std::vector<ClassTable>& classes_;
    std::vector<PriceRow>& rows_;
    std::vector<PriceRow>& aside_;
    std::vector<csv::RowFault>& faults_;
    std::vector<std::string>& notes_;
    std::map<std::string, ClassAside, std::less<>> classes_aside_;

    std::set<std::string_view> units_; ///< of prices, found good

    const Supplier* supplier_ = nullptr;
    std::string_view supplier_name_;
    std::size_t first_row_ = 0;                  ///< of the supplier
    std::vector<std::vector<CellCache>> caches_; ///< [class][attribute]

    // the list at hand
    std::vector<int>
        common_of_column_; ///< common column, -1 an attribute of some class, -2 unknown
    std::vector<int> column_of_common_;      ///< -1: absent
    std::vector<UnknownColumn> unknown_;     ///< by column
    std::map<std::string_view, Plan> plans_; ///< by class
    Plan* last_plan_ = nullptr;
    std::vector<csv::RowFault> row_faults_; ///< of the row at hand
    const std::string* file_ = nullptr;
    int row_ = 0;
    int line_ = 0;
    std::vector<std::uint32_t> ids_;
    std::string_view last_date_text_;
    Date last_date_{};
    std::vector<char> dropped_; ///< by row of the supplier
    const std::vector<std::string>* files_ = nullptr;
};

} // namespace aumbry
