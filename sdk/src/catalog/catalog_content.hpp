// What a catalog holds inside: rows, the texts that they look into, and an index by class and
// attribute.
#pragma once

#include "aumbry/catalog.hpp"

#include <cstdint>
#include <deque>
#include <set>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

namespace aumbry {

/// The distinct values of an attribute. Value 0 is "nothing".
class ValueSet {
  public:
    ValueSet() : values_(1) {}

    std::uint32_t add(const Json& value);
    /// The number of a value, or 0.
    [[nodiscard]] std::uint32_t find(const Json& value) const;
    [[nodiscard]] const Json& operator[](std::uint32_t id) const { return values_[id]; }
    [[nodiscard]] std::size_t size() const { return values_.size(); }

  private:
    std::vector<Json> values_;
    std::unordered_map<std::string, std::uint32_t> ids_; ///< by canonical text; never iterated
};

/// Rows of one class: an item is a sku, its attributes are numbers of values. Items are in the
/// order of rows.
struct ClassTable {
    contract::CatalogClass definition;
    std::vector<ValueSet> values;                    ///< by attribute
    std::vector<std::uint32_t> loaded;               ///< while loading: value ids, row by row
    std::vector<std::uint32_t> first_rows;           ///< by item: index of its first row
    std::vector<std::vector<std::uint32_t>> columns; ///< [attribute][item]: value id
    std::vector<std::vector<std::uint32_t>>
        starts; ///< [attribute][value id]: where its items begin in `items`
    std::vector<std::vector<std::uint32_t>>
        items; ///< [attribute]: items by value, rising within a value

    [[nodiscard]] std::size_t width() const { return values.size(); }
    [[nodiscard]] int attribute(std::string_view name) const;
    void build_index();
    /// Items that have one of the values of every attribute; an attribute comes with sorted value
    /// ids.
    [[nodiscard]] std::vector<std::uint32_t>
    match(const std::vector<std::pair<std::size_t, std::vector<std::uint32_t>>>& wanted) const;
};

struct Catalog::Content {
    std::vector<Supplier> suppliers;
    std::vector<PriceRow> rows;
    std::vector<PriceRow> aside;
    std::vector<csv::RowFault> faults;
    std::vector<std::string> notes;
    Json tables = Json::object();
    std::vector<ClassTable> classes;
    std::deque<std::string> texts;            ///< price lists; rows look into them
    std::set<std::string, std::less<>> names; ///< suppliers, classes and units; rows look into them
    std::vector<std::string> files;           ///< by PriceRow::file
};

/// One supplier as it is, or as it would be with another text for one of its lists.
struct SupplierLists {
    Catalog catalog;
    std::vector<std::string> files; ///< by PriceRow::file

    [[nodiscard]] std::optional<std::uint32_t> file_of(const std::filesystem::path& list) const;
};
[[nodiscard]] SupplierLists load_supplier(const std::filesystem::path& folder,
                                          const std::string& list,
                                          const std::optional<std::string>& text,
                                          const std::vector<contract::CatalogClass>& classes);

} // namespace aumbry
