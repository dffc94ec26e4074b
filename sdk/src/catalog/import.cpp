#include "aumbry/catalog_import.hpp"

#include "catalog/catalog_content.hpp"
#include "catalog/import_convert.hpp"
#include "documents/spreadsheet.hpp"

#include "aumbry/project.hpp"
#include "aumbry/save_file.hpp"

#include <algorithm>
#include <cerrno>
#include <charconv>
#include <cstring>
#include <map>
#include <optional>
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

/// Records of the new list, by the row of the spreadsheet that they come from: several where a row
/// is spread.
struct NewRow {
    int line = 0;
    std::vector<std::string> records;
};
using NewRows = std::map<int, NewRow>;

NewRows convert_rows(csv::Reader& reader, Converter& converter, char separator,
                     std::size_t max_rows, Import& out) {
    NewRows rows;
    for (std::size_t seen = 0; (max_rows == 0 || seen < max_rows) && reader.next(); ++seen) {
        if (converter.passes_over(reader.fields())) {
            converter.take_heading(reader, out.faults);
            ++out.passed_over;
            continue;
        }
        if (converter.is_left_out()) continue;
        const std::size_t before = out.faults.size();
        bool said = false;
        for (const std::vector<std::string>& row : converter.convert(reader, out.faults)) {
            if (std::all_of(row.begin(), row.end(),
                            [](const std::string& cell) { return cell.empty(); }))
                continue;
            NewRow& made = rows[reader.row()];
            made.line = reader.line();
            made.records.push_back(csv::write_record(row, separator));
            said = true;
        }
        if (!said && out.faults.size() == before) ++out.passed_over;
    }
    for (csv::RowFault& fault : reader.take_faults()) out.faults.push_back(std::move(fault));
    return rows;
}

/// Cells that reach over several rows say nothing of the rows below the first; formulas without a
/// result say nothing at all. Such rows are left out.
void refuse_cells(const SheetText& sheet, const Converter& converter, NewRows& rows, Import& out) {
    const auto refuse = [&](int row, const std::string& code, const std::string& wrong,
                            const std::string& right) {
        out.faults.push_back(csv::row_fault(code, out.source, row, row, {}, {}, wrong, right));
    };
    for (const MergedCells& cells : sheet.merged) {
        bool read = false;
        for (int column = cells.first_column; column <= cells.last_column; ++column)
            read = read || converter.reads_column(column);
        const auto first = rows.lower_bound(cells.first_row);
        const auto last = rows.upper_bound(cells.last_row);
        if (!read || first == last) continue;
        refuse(cells.first_row, "merged-cells",
               "the cells " + cells.range +
                   " are merged, so that only the first of them says "
                   "something",
               "split them and write the value into each row");
        rows.erase(first, last);
    }
    for (const auto& [row, column] : sheet.without_result) {
        if (!converter.reads_column(column) || rows.erase(row) == 0) continue;
        refuse(row, "no-result", "a formula of this row has no result in the file",
               "open the spreadsheet, let it calculate, and save it");
    }
}

/// The new list as text, and for each of its rows the row of the spreadsheet that it comes from. As
/// long as every row gives one, empty lines keep rows where they are in the spreadsheet.
struct InPlace {
    std::string text;
    std::map<int, std::pair<int, std::size_t>> origin; ///< row, and which of its records
};

InPlace in_place(const std::string& header, const NewRows& rows) {
    InPlace list{header, {}};
    int next_row = 2;
    for (const auto& [row, of] : rows) {
        for (; next_row < row; ++next_row) list.text += "\r\n";
        for (std::size_t i = 0; i < of.records.size(); ++i) {
            list.text += of.records[i];
            list.origin[next_row++] = {row, i};
        }
    }
    return list;
}

/// "is already in row 14" of the new list, by the spreadsheet's row.
std::string by_row_of_spreadsheet(std::string wrong, const InPlace& list) {
    const std::size_t at = wrong.rfind(" in row ");
    if (at == std::string::npos) return wrong;
    const std::size_t digits = at + 8;
    int row = 0;
    std::from_chars(wrong.data() + digits, wrong.data() + wrong.size(), row);
    const auto origin = list.origin.find(row);
    if (origin == list.origin.end()) return wrong;
    const std::size_t behind =
        std::min(wrong.find_first_not_of("0123456789", digits), wrong.size());
    return wrong.replace(digits, behind - digits, std::to_string(origin->second.first));
}

/// Tells the faults of the new list by the spreadsheet's rows and columns; records at fault go.
void tell_faults(const Catalog& after, const Converter& converter, const InPlace& list,
                 NewRows& rows, Import& out) {
    for (const csv::RowFault& found : after.faults()) {
        if (found.fault.place.file != out.target.generic_string() || found.row < 2) continue;
        const auto origin = list.origin.find(found.row);
        const std::string column =
            found.column.empty() ? std::string() : converter.origin_of(found.column);
        const int row = origin == list.origin.end() ? found.row : origin->second.first;
        const auto made = rows.find(row);
        out.faults.push_back(csv::row_fault(
            found.fault.code, out.source, made == rows.end() ? 0 : made->second.line, row, column,
            found.value, by_row_of_spreadsheet(found.fault.wrong, list), found.fault.right));
        // The sku of a row may be at fault for more than one reason.
        if (made != rows.end()) made->second.records[origin->second.second].clear();
    }
    std::stable_sort(out.faults.begin(), out.faults.end(),
                     [](const csv::RowFault& a, const csv::RowFault& b) { return a.row < b.row; });
}

/// The spreadsheet as text; a sheet of it where it is none.
struct ListText {
    std::string text;
    std::optional<SheetText> sheet;
};

ListText read_list(const fs::path& spreadsheet, const Mapping& mapping, Import& out) {
    ListText list{read_file(spreadsheet), {}};
    if (begins_as_spreadsheet(list.text)) {
        list.sheet = read_sheet(spreadsheet, mapping.sheet, mapping.decimal_comma);
        list.text = list.sheet->csv;
        if (list.sheet->hidden_rows > 0)
            out.notes.push_back(std::to_string(list.sheet->hidden_rows) +
                                " rows of the sheet are hidden; they are read too");
        return list;
    }
    if (csv::decode(list.text, out.source) == csv::Encoding::latin1)
        out.notes.push_back(
            out.source +
            ": not UTF-8, read as Latin-1; check that letters with accents look right");
    return list;
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

    ListText list = read_list(spreadsheet, mapping, out);
    csv::Reader reader(list.text, out.source,
                       list.sheet                  ? ','
                       : mapping.separator.empty() ? '\0'
                                                   : mapping.separator.front(),
                       mapping.header_row);
    Converter converter(mapping, supplier, classes, out.source);
    converter.lay_out(reader.header());

    const char separator = supplier.decimal_comma ? ';' : ',';
    const std::string header = csv::write_record(converter.fields(), separator);
    NewRows rows = convert_rows(reader, converter, separator, max_rows, out);
    if (list.sheet) refuse_cells(*list.sheet, converter, rows, out);
    // The new list is checked as the supplier's lists are.
    const InPlace placed = in_place(header, rows);
    const SupplierLists after = load_supplier(supplier_folder, mapping.list, placed.text, classes);
    tell_faults(after.catalog, converter, placed, rows, out);
    out.text = header;
    for (const auto& [row, of] : rows) {
        for (const std::string& record : of.records) {
            out.text += record;
            out.rows += record.empty() ? 0U : 1U;
        }
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
