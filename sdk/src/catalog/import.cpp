#include "aumbry/catalog_import.hpp"

#include "catalog/catalog_content.hpp"
#include "catalog/import_convert.hpp"

#include "aumbry/project.hpp"
#include "aumbry/save_file.hpp"

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <map>
#include <set>

#include <fcntl.h>
#include <unistd.h>

namespace aumbry {

namespace fs = std::filesystem;

namespace {

// ---------------------------------------------------------------- comparison

struct Sold {
    Decimal price;
    std::string_view price_unit;
    double pack = 1;
};

/// Prices of one list by sku and quantity; of successive prices the last.
std::map<std::pair<std::string_view, std::int64_t>, Sold>
prices_of(const Catalog& catalog, std::uint32_t file, bool known) {
    std::map<std::pair<std::string_view, std::int64_t>, Sold> prices;
    if (!known) return prices;
    for (const auto* rows : {&catalog.rows(), &catalog.rows_aside()}) {
        for (const PriceRow& row : *rows) {
            if (row.file == file)
                prices[{row.sku, row.min_quantity}] = {row.price, row.price_unit, row.pack};
        }
    }
    return prices;
}

void compare(const Catalog& before, std::optional<std::uint32_t> file_before, const Catalog& after,
             std::optional<std::uint32_t> file_after, Import& out) {
    const auto old_prices = prices_of(before, file_before.value_or(0), file_before.has_value());
    const auto new_prices = prices_of(after, file_after.value_or(0), file_after.has_value());
    std::set<std::string_view> old_skus, new_skus;
    for (const auto& [key, sold] : old_prices) old_skus.insert(key.first);
    for (const auto& [key, sold] : new_prices) new_skus.insert(key.first);
    for (const std::string_view sku : new_skus) {
        if (!old_skus.contains(sku)) out.added.emplace_back(sku);
    }
    for (const std::string_view sku : old_skus) {
        if (!new_skus.contains(sku)) out.gone.emplace_back(sku);
    }
    for (const auto& [key, now] : new_prices) {
        const auto found = old_prices.find(key);
        if (found == old_prices.end()) continue;
        const Sold& then = found->second;
        if (then.price_unit != now.price_unit || then.pack < now.pack || then.pack > now.pack) {
            if (out.sold_otherwise.empty() || out.sold_otherwise.back() != key.first)
                out.sold_otherwise.emplace_back(key.first);
            continue;
        }
        if (then.price == now.price) {
            ++out.unchanged;
            continue;
        }
        PriceChange change{std::string(key.first), key.second, then.price, now.price, Decimal()};
        if (!then.price.is_zero())
            change.percent = ((now.price - then.price) * Decimal(100)).divided_by(then.price, 1);
        (now.price > then.price ? out.dearer : out.cheaper).push_back(std::move(change));
    }
    std::stable_sort(
        out.dearer.begin(), out.dearer.end(),
        [](const PriceChange& a, const PriceChange& b) { return a.percent > b.percent; });
    std::stable_sort(
        out.cheaper.begin(), out.cheaper.end(),
        [](const PriceChange& a, const PriceChange& b) { return a.percent < b.percent; });
}

/// A record of the new list, by the row of the spreadsheet that it comes from.
struct NewRow {
    int line = 0;
    std::string record;
};
using NewRows = std::map<int, NewRow>;

NewRows convert_rows(csv::Reader& reader, Converter& converter, char separator,
                     std::size_t max_rows, Import& out) {
    NewRows rows;
    for (std::size_t seen = 0; (max_rows == 0 || seen < max_rows) && reader.next(); ++seen) {
        if (converter.passes_over(reader.fields())) {
            ++out.passed_over;
            continue;
        }
        const auto row = converter.convert(reader, out.faults);
        if (row && std::all_of(row->begin(), row->end(),
                               [](const std::string& cell) { return cell.empty(); })) {
            ++out.passed_over;
            continue;
        }
        if (row) rows[reader.row()] = {reader.line(), csv::write_record(*row, separator)};
    }
    for (csv::RowFault& fault : reader.take_faults()) out.faults.push_back(std::move(fault));
    return rows;
}

/// The new list as text. Empty lines keep its rows where they are in the spreadsheet.
std::string in_place(const std::string& header, const NewRows& rows) {
    std::string text = header;
    int next_row = 2;
    for (const auto& [row, of] : rows) {
        for (; next_row < row; ++next_row) text += "\r\n";
        text += of.record;
        ++next_row;
    }
    return text;
}

/// Tells the faults of the new list by the spreadsheet's rows and columns; rows at fault go.
void tell_faults(const Catalog& after, const Converter& converter, NewRows& rows, Import& out) {
    for (const csv::RowFault& found : after.faults()) {
        if (found.fault.place.file != out.target.generic_string() || found.row < 2) continue;
        const auto row = rows.find(found.row);
        const std::string column =
            found.column.empty() ? std::string() : converter.origin_of(found.column);
        out.faults.push_back(
            csv::row_fault(found.fault.code, out.source, row == rows.end() ? 0 : row->second.line,
                           found.row, column, found.value, found.fault.wrong, found.fault.right));
        // The sku of a row may be at fault for more than one reason.
        if (row != rows.end()) row->second.record.clear();
    }
    std::stable_sort(out.faults.begin(), out.faults.end(),
                     [](const csv::RowFault& a, const csv::RowFault& b) { return a.row < b.row; });
}

} // namespace

Import plan_import(const fs::path& spreadsheet, const Mapping& mapping,
                   const fs::path& supplier_folder,
                   const std::vector<contract::CatalogClass>& classes, std::size_t max_rows) {
    Import out;
    out.source = spreadsheet.generic_string();
    out.target = supplier_folder / mapping.list;
    std::error_code error;
    out.replaces = fs::exists(out.target, error);
    if (out.replaces) out.before = read_file(out.target);

    const SupplierLists before = load_supplier(supplier_folder, {}, {}, classes);
    if (before.catalog.suppliers().empty()) {
        std::vector<Fault> faults;
        for (const csv::RowFault& fault : before.catalog.faults()) faults.push_back(fault.fault);
        throw FaultError(std::move(faults));
    }
    const Supplier& supplier = before.catalog.suppliers().front();

    std::string text = read_file(spreadsheet);
    if (csv::decode(text, out.source) == csv::Encoding::latin1)
        out.notes.push_back(
            out.source +
            ": not UTF-8, read as Latin-1; check that letters with accents look right");
    csv::Reader reader(text, out.source,
                       mapping.separator.empty() ? '\0' : mapping.separator.front(),
                       mapping.header_row);
    Converter converter(mapping, supplier, classes, out.source);
    converter.lay_out(reader.header());

    const char separator = supplier.decimal_comma ? ';' : ',';
    const std::string header = csv::write_record(converter.fields(), separator);
    NewRows rows = convert_rows(reader, converter, separator, max_rows, out);
    // The new list is checked as the supplier's lists are.
    const SupplierLists after =
        load_supplier(supplier_folder, mapping.list, in_place(header, rows), classes);
    tell_faults(after.catalog, converter, rows, out);
    out.text = header;
    for (const auto& [row, of] : rows) {
        out.text += of.record;
        out.rows += of.record.empty() ? 0U : 1U;
    }
    for (const std::string& note : after.catalog.notes()) {
        if (note.starts_with("no module prices")) out.notes.push_back(note);
    }
    if (max_rows == 0)
        compare(before.catalog, before.file_of(out.target), after.catalog,
                after.file_of(out.target), out);
    return out;
}

namespace {

/// A file that says "somebody writes this list"; gone however the writing ends.
class WritingMark {
  public:
    explicit WritingMark(const fs::path& list) {
        // The same list by whatever link it is reached; its name is the same for everybody.
        std::error_code error;
        fs::path target = fs::weakly_canonical(list, error);
        if (error) target = list;
        const fs::path mark = target.parent_path() / ('.' + target.filename().string() + ".new");
        const int file = open(mark.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0644);
        const int reason = errno;
        if (file < 0 && reason == EEXIST)
            fail("import-under-way", {list.generic_string(), "", 0, 0},
                 "another import is writing this list, or was broken off",
                 "wait for it, or delete " + mark.string());
        if (file < 0)
            fail("unwritable-file", {list.generic_string(), "", 0, 0},
                 std::string("the list cannot be written: ") + std::strerror(reason),
                 "check the permissions of the folder");
        close(file);
        mark_ = mark;
    }
    WritingMark(const WritingMark&) = delete;
    WritingMark& operator=(const WritingMark&) = delete;
    ~WritingMark() { unlink(mark_.c_str()); }

  private:
    fs::path mark_;
};

} // namespace

void write_import(const Import& import) {
    if (import.rows == 0)
        fail("no-rows", {import.source, "", 0, 0}, "no row could be read, so nothing is written",
             "mend the rows or the mapping");
    const WritingMark mark(import.target);
    std::error_code error;
    const bool is_there = fs::exists(import.target, error);
    if (is_there != import.replaces || (is_there && read_file(import.target) != import.before))
        fail("list-changed", {import.target.generic_string(), "", 0, 0},
             "the list has changed since it was compared", "run the import again");
    save_file(import.target, import.text);
}

} // namespace aumbry
