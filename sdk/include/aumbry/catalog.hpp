// Catalogs: suppliers with their price lists, and reference tables, read from folders and indexed.
//
//   <catalog folder>/suppliers/<id>/supplier.json   terms (supplier.hpp)
//   <catalog folder>/suppliers/<id>/*.csv           price lists
//   <catalog folder>/reference/*.json               {"table": name, "note": source, "rows": [...]}
#pragma once

#include "aumbry/contract.hpp"
#include "aumbry/csv.hpp"
#include "aumbry/date.hpp"
#include "aumbry/money.hpp"
#include "aumbry/supplier.hpp"

#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace aumbry {

/// One row of a price list. Texts are views into the catalog that the row belongs to and live as
/// long as any copy of it.
struct PriceRow {
    std::string_view supplier;
    std::string_view sku;
    std::string_view catalog_class;
    std::string_view description;
    std::string_view
        price_unit;        ///< "each", "pack", "m", "m2", "m3", "bdft", "ft", "L", "kg", "h", ...
    std::string_view gtin; ///< empty, or valid
    Decimal price;         ///< in the supplier's currency
    double pack = 1;       ///< items in one purchase count
    std::int64_t min_quantity = 1;         ///< purchase count from which the price holds
    std::optional<std::int64_t> stock;     ///< absent: no limit
    std::optional<std::int32_t> lead_days; ///< working days of the supplier; absent: from stock
    std::optional<Date> valid_from;
    std::optional<Date> valid_to; ///< last day
    std::uint32_t file = 0;       ///< for Catalog::source
    std::int32_t row = 0;         ///< as a spreadsheet counts
    std::int32_t line = 0;        ///< of the text
    std::uint32_t table = 0;      ///< for Catalog::attributes
    std::uint32_t item = 0;       ///< for Catalog::attributes

    [[nodiscard]] std::string offer_id() const {
        return std::string(supplier) + '/' + std::string(sku);
    }
    [[nodiscard]] bool valid_on(Date date) const {
        return (!valid_from || *valid_from <= date) && (!valid_to || *valid_to >= date);
    }
};

/// An attribute and the values of which it must have one. Texts match exactly, numbers after
/// rounding to six decimals; an attribute that is a list matches when it holds one of them.
using AttributeMatch = std::pair<std::string, std::vector<Json>>;

/// What one sku costs on a date.
struct DatedOffer {
    contract::Offer offer; ///< price of the smallest quantity
    std::vector<const PriceRow*>
        rows; ///< valid on the date, by rising min_quantity, each once; at least one
    std::vector<contract::PriceBreak> breaks; ///< of `rows`
};

/// Offers by date: those with a price, and those whose prices are all of another time.
struct DatedOffers {
    std::vector<DatedOffer> valid; ///< by supplier and sku
    std::vector<const PriceRow*>
        outdated; ///< one row a sku: the one that ended last or begins next
};

/// Everything that is known of supply: an immutable value, cheap to copy.
class Catalog {
  public:
    Catalog(); ///< an empty one

    [[nodiscard]] const std::vector<Supplier>& suppliers() const; ///< by id
    [[nodiscard]] const Supplier* supplier(std::string_view id) const;

    /// Good rows by supplier, sku, min_quantity and valid_from.
    [[nodiscard]] const std::vector<PriceRow>& rows() const;
    /// Rows of classes that no module prices, in the order read; without attributes.
    [[nodiscard]] const std::vector<PriceRow>& rows_aside() const;
    /// Every fault, in the order of suppliers, files and rows; what is at fault is left out of
    /// everything else.
    [[nodiscard]] const std::vector<csv::RowFault>& faults() const;
    /// What was done without being asked: a list taken for Latin-1, a class without a module.
    [[nodiscard]] const std::vector<std::string>& notes() const;

    /// Rows of each reference table by its name.
    [[nodiscard]] const Json& tables() const;
    /// Rows of one, or null.
    [[nodiscard]] const Json* table(std::string_view name) const;

    /// The first row of each sku of a class that has what is wanted, by supplier and sku. Unknown
    /// class or attribute: none.
    [[nodiscard]] std::vector<const PriceRow*>
    match(std::string_view catalog_class, const std::vector<AttributeMatch>& wanted) const;
    /// The first row of an offer "supplier/sku", or null.
    [[nodiscard]] const PriceRow* find(std::string_view offer_id) const;
    /// All rows of the sku of a row of this catalog.
    [[nodiscard]] std::span<const PriceRow> rows_of(const PriceRow& row) const;
    /// The attributes of a row of this catalog, by name, in contract units; what the list leaves
    /// empty is absent or the fallback.
    [[nodiscard]] Json attributes(const PriceRow& row) const;
    /// Where a row stands: "suppliers/north/boards.csv, row 12".
    [[nodiscard]] std::string source(const PriceRow& row) const;
    /// The offer that a row stands for.
    [[nodiscard]] contract::Offer offer(const PriceRow& row) const;

    /// The prices that hold on a date, of all skus or of those that `first_rows` (as match() gives
    /// them) stand for.
    [[nodiscard]] DatedOffers offers_on(Date date) const;
    [[nodiscard]] DatedOffers offers_on(Date date,
                                        std::span<const PriceRow* const> first_rows) const;

  private:
    struct Content;
    explicit Catalog(std::shared_ptr<const Content> content);
    std::shared_ptr<const Content> content_;
    friend class CatalogLoader;
};

/// Reads catalog folders. Never throws for what is in them: faults are in the catalog, and the rest
/// works. A sku in several rows has quantity breaks or successive prices; its further rows may
/// leave empty what the first one says. Two suppliers of one id, or two reference tables of one
/// name, are a fault of the later one.
[[nodiscard]] Catalog load_catalog(const std::vector<std::filesystem::path>& folders,
                                   const std::vector<contract::CatalogClass>& classes);

/// What `catalog check` prints: suppliers with their counts, notes and every fault, as text or
/// JSON.
[[nodiscard]] std::string check_report(const Catalog& catalog, bool json);

/// What is said of the piece files of a catalog folder.
struct PieceReport {
    std::vector<std::string> names; ///< of all that were read
    std::vector<Fault> faults;
};
[[nodiscard]] std::string check_report(const Catalog& catalog, const PieceReport& pieces,
                                       bool json);

/// The columns common to all price lists, in order.
[[nodiscard]] std::span<const std::string_view> common_columns();

} // namespace aumbry
