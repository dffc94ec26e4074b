#include "aumbry/catalog_import.hpp"

#include "values/excerpt.hpp"

#include "catalog/catalog_content.hpp"

#include "aumbry/fields.hpp"
#include "aumbry/quantity.hpp"

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <fstream>
#include <map>
#include <set>

#include <fcntl.h>
#include <unistd.h>

namespace aumbry {

namespace fs = std::filesystem;
using contract::Field;
using contract::FieldType;

namespace {

std::string_view trimmed(std::string_view text) {
    while (!text.empty() && (text.front() == ' ' || text.front() == '\t')) text.remove_prefix(1);
    while (!text.empty() && (text.back() == ' ' || text.back() == '\t')) text.remove_suffix(1);
    return text;
}

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

/// Units by their spelling, asked for once each.
class Units {
  public:
    /// Whether the text is a unit of that dimension.
    bool is(std::string_view unit, Dimension wanted) {
        auto found = known_.find(unit);
        if (found == known_.end()) {
            std::optional<Dimension> dimension;
            try {
                dimension = dimension_of_unit(unit);
            } catch (const FaultError&) {
                // Not a unit: remembered as such.
            }
            found = known_.emplace(unit, dimension).first;
        }
        return found->second == wanted;
    }

  private:
    std::map<std::string, std::optional<Dimension>, std::less<>> known_;
};

/// Digits with decimal sign, grouping and fractions: the number that a text begins with.
std::string_view leading_number(std::string_view text) {
    if (text.empty() || !is_digit(text.front())) return {};
    std::size_t end = 0;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (is_digit(text[i]))
            end = i + 1;
        else if (text[i] != '.' && text[i] != ',' && text[i] != '/' && text[i] != ' ' &&
                 text[i] != '\'')
            break;
    }
    return text.substr(0, end);
}

/// What is known of a field: a common column or an attribute of the row's class.
struct FieldOfRow {
    const Field* attribute = nullptr;
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
    void lay_out(std::span<const std::string_view> header) {
        std::vector<Fault> faults;
        const auto column_number = [&](const std::string& name, const std::string& pointer) {
            const auto found = std::find(header.begin(), header.end(), std::string_view(name));
            if (found != header.end()) return static_cast<std::size_t>(found - header.begin());
            const std::string near = nearest_name(name, {header.begin(), header.end()});
            std::string all;
            for (const std::string_view one : header)
                all += (all.empty() ? "" : ", ") + std::string(one);
            faults.push_back({"no-such-column",
                              {mapping_.file, pointer, 0, 0},
                              source_ + " has no column '" + name + "'",
                              near.empty() ? "its columns are " + all.substr(0, 300)
                                           : "is '" + near + "' meant?"});
            return std::size_t{0};
        };
        std::set<std::string> given;
        for (const auto& [name, field] : mapping_.columns) {
            sources_.push_back({column_number(name, pointer_to("/columns", name)), field});
            given.insert(field);
        }
        for (std::size_t i = 0; i < mapping_.patterns.size(); ++i) {
            pattern_columns_.push_back(column_number(mapping_.patterns[i].column,
                                                     "/patterns/" + std::to_string(i) + "/column"));
            for (const TextPattern& pattern : mapping_.patterns[i].patterns)
                given.insert(pattern.names().begin(), pattern.names().end());
        }
        for (std::size_t i = 0; i < mapping_.row_needs.size(); ++i)
            needed_.push_back(
                column_number(mapping_.row_needs[i], "/row_needs/" + std::to_string(i)));
        for (const auto& [field, value] : mapping_.constants) given.insert(field);
        if (!faults.empty()) throw placed(std::move(faults));

        for (const std::string_view name : common_columns()) {
            if (given.erase(std::string(name)) > 0) fields_.emplace_back(name);
        }
        for (const contract::CatalogClass& one : classes_) {
            for (const Field& attribute : one.attributes) {
                if (given.erase(attribute.name) > 0) fields_.push_back(attribute.name);
            }
        }
    }

    [[nodiscard]] const std::vector<std::string>& fields() const { return fields_; }

    [[nodiscard]] bool passes_over(std::span<const std::string_view> cells) const {
        return std::any_of(needed_.begin(), needed_.end(),
                           [&](std::size_t column) { return trimmed(cells[column]).empty(); });
    }

    /// The cells of the price list's row; `origins` get the column that each came from. Nothing
    /// after a fault.
    std::optional<std::vector<std::string>> convert(const csv::Reader& reader,
                                                    std::vector<csv::RowFault>& faults) {
        const std::span<const std::string_view> cells = reader.fields();
        values_.clear();
        for (const Source& source : sources_) {
            const std::string_view cell = trimmed(cells[source.column]);
            if (!cell.empty())
                values_[source.field] = {std::string(cell), reader.header()[source.column]};
        }
        // The class decides which attributes a pattern may find.
        settle_class();
        const std::size_t before = faults.size();
        for (std::size_t i = 0; i < mapping_.patterns.size(); ++i) take_apart(i, reader, faults);
        for (const auto& [field, value] : mapping_.constants) {
            // One list may hold several classes: a constant goes where the class has the field.
            if (class_ == nullptr || is_common(field) || has_attribute(*class_, field))
                values_.try_emplace(field, Value{value, {}});
        }
        settle_class();

        std::vector<std::string> row;
        for (const std::string& field : fields_) {
            const auto found = values_.find(field);
            row.push_back(found == values_.end()
                              ? std::string()
                              : convert_value(field, found->second, reader, faults));
        }
        if (faults.size() > before) return std::nullopt;
        return row;
    }

    /// The column of the spreadsheet that a field of the row at hand comes from, for a sentence.
    [[nodiscard]] std::string origin_of(const std::string& field) const {
        for (const Source& source : sources_) {
            if (source.field == field) {
                for (const auto& [column, name] : mapping_.columns) {
                    if (name == field) return column;
                }
            }
        }
        for (const ColumnPatterns& one : mapping_.patterns) {
            for (const TextPattern& pattern : one.patterns) {
                if (std::find(pattern.names().begin(), pattern.names().end(), field) !=
                    pattern.names().end())
                    return one.column;
            }
        }
        return field;
    }

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
    [[nodiscard]] FaultError placed(std::vector<Fault> faults) const {
        std::ifstream in(mapping_.file, std::ios::binary);
        const std::string text{std::istreambuf_iterator<char>(in), {}};
        for (Fault& fault : faults) {
            const Position position = locate(text, fault.place.pointer).value_or(Position{0, 0});
            fault.place.line = position.line;
            fault.place.column = position.column;
        }
        return FaultError(std::move(faults));
    }

    [[nodiscard]] static bool is_common(std::string_view field) {
        const auto common = common_columns();
        return std::find(common.begin(), common.end(), field) != common.end();
    }
    [[nodiscard]] static bool has_attribute(const contract::CatalogClass& of,
                                            const std::string& name) {
        return std::any_of(of.attributes.begin(), of.attributes.end(),
                           [&](const Field& field) { return field.name == name; });
    }

    void settle_class() {
        class_ = nullptr;
        const auto given = values_.find("class");
        std::string name;
        if (given != values_.end())
            name = in_our_words("class", given->second.text);
        else if (const auto constant = mapping_.constants.find("class");
                 constant != mapping_.constants.end())
            name = constant->second;
        for (const contract::CatalogClass& one : classes_) {
            if (one.name == name) class_ = &one;
        }
    }

    [[nodiscard]] std::string in_our_words(const std::string& field,
                                           const std::string& text) const {
        const auto words = mapping_.words.find(field);
        if (words == mapping_.words.end()) return text;
        const auto found = words->second.find(text);
        return found == words->second.end() ? text : found->second;
    }

    [[nodiscard]] FieldOfRow kind_of(std::string_view name) const {
        FieldOfRow kind;
        const auto common = common_columns();
        if (std::find(common.begin(), common.end(), name) != common.end()) {
            kind.number = name == "price" || name == "pack" || name == "min_quantity" ||
                          name == "stock" || name == "lead_days";
            kind.date = name == "valid_from" || name == "valid_to";
            return kind;
        }
        if (class_ != nullptr) kind.attribute = find_field(class_->attributes, name);
        if (kind.attribute != nullptr) {
            const FieldType type = kind.attribute->type;
            kind.number = type == FieldType::count || type == FieldType::number ||
                          type == FieldType::quantity || type == FieldType::money;
            kind.date = type == FieldType::date;
            if (type == FieldType::quantity)
                kind.dimension = dimension_of_unit(kind.attribute->unit);
        }
        return kind;
    }

    /// Whether a text can be a value of a field, as far as a pattern needs to know.
    TextPattern::Reading reading_of(std::string_view name) {
        const FieldOfRow kind = kind_of(name);
        if (kind.number) {
            return {[this, kind](std::string_view text) {
                        // A number, or numbers each with a unit.
                        bool first = true;
                        while (!text.empty()) {
                            const std::string_view number = leading_number(text);
                            if (number.empty()) return false;
                            text = trimmed(text.substr(number.size()));
                            if (text.empty()) return first;
                            if (!kind.dimension) return false;
                            std::size_t end = 0;
                            while (end < text.size() && !is_digit(text[end])) ++end;
                            if (!units_.is(trimmed(text.substr(0, end)), *kind.dimension))
                                return false;
                            text = text.substr(end);
                            first = false;
                        }
                        return true;
                    },
                    true};
        }
        if (kind.attribute != nullptr && kind.attribute->type == FieldType::choice) {
            return {
                [this, kind](std::string_view text) {
                    const std::string ours = in_our_words(kind.attribute->name, std::string(text));
                    return std::find(kind.attribute->choices.begin(), kind.attribute->choices.end(),
                                     ours) != kind.attribute->choices.end();
                },
                false};
        }
        return {};
    }

    void take_apart(std::size_t number, const csv::Reader& reader,
                    std::vector<csv::RowFault>& faults) {
        const ColumnPatterns& patterns = mapping_.patterns[number];
        const std::string_view text = trimmed(reader.fields()[pattern_columns_[number]]);
        if (text.empty()) return;
        for (const TextPattern& pattern : patterns.patterns) {
            const auto found =
                pattern.match(text, [this](std::string_view name) { return reading_of(name); });
            if (!found) continue;
            for (const auto& [name, value] : *found)
                values_.try_emplace(name, Value{value, reader.header()[pattern_columns_[number]]});
            return;
        }
        faults.push_back(
            csv::row_fault("no-pattern-fits", source_, reader.line(), reader.row(), patterns.column,
                           text, in_quotes(text) + " fits no pattern of the mapping",
                           "add a pattern for it, such as {} for text that is not kept"));
    }

    std::string convert_value(const std::string& field, const Value& value,
                              const csv::Reader& reader, std::vector<csv::RowFault>& faults) const {
        std::string text = value.text;
        if (const auto taken_out = mapping_.remove.find(field);
            taken_out != mapping_.remove.end()) {
            for (const std::string& part : taken_out->second) {
                for (auto at = part.empty() ? std::string::npos : text.find(part);
                     at != std::string::npos; at = text.find(part))
                    text.erase(at, part.size());
            }
            text = std::string(trimmed(text));
        }
        text = in_our_words(field, text);
        const FieldOfRow kind = kind_of(field);
        const auto refuse = [&](std::string code, std::string wrong, std::string right) {
            faults.push_back(
                csv::row_fault(std::move(code), source_, reader.line(), reader.row(),
                               value.column.empty() ? std::string_view(field) : value.column, text,
                               std::move(wrong), std::move(right)));
        };
        if (kind.date && mapping_.date_order != DateOrder::year_month_day && !text.empty()) {
            const std::string iso = as_iso(text);
            if (iso.empty())
                refuse("bad-date",
                       in_quotes(text) + " is no date of the order that the mapping says",
                       "write day, month and year in that order, or change dates in the mapping");
            return iso;
        }
        if (!kind.number || text.empty()) return text;
        const char sign = supplier_.decimal_comma ? ',' : '.';
        if (value.column.empty()) { // a constant: mappings write a decimal point
            std::replace(text.begin(), text.end(), '.', sign);
            return text;
        }
        // Numbers of the spreadsheet: their sign becomes that of the supplier's lists.
        take_out_grouping(text);
        if (text.find(mapping_.decimal_comma ? '.' : ',') != std::string::npos) {
            refuse("wrong-decimal-sign",
                   in_quotes(text) + (mapping_.decimal_comma
                                          ? " has a point where the mapping says decimal comma"
                                          : " has a comma where the mapping says decimal point"),
                   "change decimal in the mapping, or name the sign as its grouping");
            return {};
        }
        std::replace(text.begin(), text.end(), mapping_.decimal_comma ? ',' : '.', sign);
        const auto unit = mapping_.units.find(field);
        if (unit != mapping_.units.end() && leading_number(text).size() == text.size())
            text += ' ' + unit->second;
        return text;
    }

    /// Takes out what sets thousands apart: it stands between a digit and exactly three.
    void take_out_grouping(std::string& text) const {
        const std::string& sign = mapping_.grouping;
        if (sign.empty()) return;
        for (auto at = text.find(sign); at != std::string::npos; at = text.find(sign, at)) {
            const std::size_t behind = at + sign.size();
            std::size_t digits = 0;
            while (behind + digits < text.size() && is_digit(text[behind + digits])) ++digits;
            if (at > 0 && is_digit(text[at - 1]) && digits == 3)
                text.erase(at, sign.size());
            else
                at = behind;
        }
    }

    /// A date of the mapping's order as yyyy-mm-dd; empty when it is none. Whether it exists is
    /// checked later.
    [[nodiscard]] std::string as_iso(std::string_view text) const {
        std::vector<std::string> parts(1);
        for (const char c : text) {
            if (is_digit(c))
                parts.back() += c;
            else if (c == '.' || c == '/' || c == '-')
                parts.emplace_back();
            else
                return {};
        }
        if (parts.size() != 3) return {};
        if (mapping_.date_order == DateOrder::month_day_year) std::swap(parts[0], parts[1]);
        for (std::string& part : {std::ref(parts[0]), std::ref(parts[1])}) {
            if (part.empty() || part.size() > 2) return {};
            if (part.size() == 1) part.insert(0, 1, '0');
        }
        if (parts[2].size() == 2) parts[2].insert(0, "20");
        if (parts[2].size() != 4) return {};
        return parts[2] + '-' + parts[1] + '-' + parts[0];
    }

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

std::string bytes_of(const fs::path& path) {
    std::ifstream in(path, std::ios::binary);
    if (!in || fs::is_directory(path))
        fail("unreadable", {path.generic_string(), "", 0, 0}, "the file cannot be read",
             "check its name and permissions");
    return {std::istreambuf_iterator<char>(in), {}};
}

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

} // namespace

Import plan_import(const fs::path& spreadsheet, const Mapping& mapping,
                   const fs::path& supplier_folder,
                   const std::vector<contract::CatalogClass>& classes, std::size_t most_rows) {
    Import out;
    out.source = spreadsheet.generic_string();
    out.target = supplier_folder / mapping.list;
    std::error_code error;
    out.replaces = fs::exists(out.target, error);
    if (out.replaces) out.before = bytes_of(out.target);

    const SupplierLists before = load_supplier(supplier_folder, {}, {}, classes);
    if (before.catalog.suppliers().empty()) {
        std::vector<Fault> faults;
        for (const csv::RowFault& fault : before.catalog.faults()) faults.push_back(fault.fault);
        throw FaultError(std::move(faults));
    }
    const Supplier& supplier = before.catalog.suppliers().front();

    std::string text = bytes_of(spreadsheet);
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
    std::map<int, std::pair<int, std::string>>
        records; // row of the spreadsheet -> its line, the new record
    const std::string header = csv::write_record(converter.fields(), separator);
    for (std::size_t seen = 0; (most_rows == 0 || seen < most_rows) && reader.next(); ++seen) {
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
        if (row) records[reader.row()] = {reader.line(), csv::write_record(*row, separator)};
    }
    for (csv::RowFault& fault : reader.take_faults()) out.faults.push_back(std::move(fault));

    // The new list is checked as the supplier's lists are. Empty lines keep its rows where they are
    // in the spreadsheet.
    std::string checked = header;
    int next_row = 2;
    for (const auto& [row, record] : records) {
        for (; next_row < row; ++next_row) checked += "\r\n";
        checked += record.second;
        ++next_row;
    }
    const SupplierLists after = load_supplier(supplier_folder, mapping.list, checked, classes);
    for (const csv::RowFault& found : after.catalog.faults()) {
        if (found.fault.place.file != out.target.generic_string() || found.row < 2) continue;
        const auto record = records.find(found.row);
        const std::string column =
            found.column.empty() ? std::string() : converter.origin_of(found.column);
        out.faults.push_back(csv::row_fault(
            found.fault.code, out.source, record == records.end() ? 0 : record->second.first,
            found.row, column, found.value, found.fault.wrong, found.fault.right));
        // The sku of a row may be at fault for more than one reason.
        if (record != records.end()) record->second.second.clear();
    }
    std::stable_sort(out.faults.begin(), out.faults.end(),
                     [](const csv::RowFault& a, const csv::RowFault& b) { return a.row < b.row; });
    out.text = header;
    for (const auto& [row, record] : records) {
        out.text += record.second;
        out.rows += record.second.empty() ? 0U : 1U;
    }
    for (const std::string& note : after.catalog.notes()) {
        if (note.starts_with("no module prices")) out.notes.push_back(note);
    }
    if (most_rows == 0)
        compare(before.catalog, before.file_of(out.target), after.catalog,
                after.file_of(out.target), out);
    return out;
}

void write_import(const Import& import) {
    const std::string target = import.target.generic_string();
    if (import.rows == 0)
        fail("no-rows", {import.source, "", 0, 0}, "no row could be read, so nothing is written",
             "mend the rows or the mapping");
    // The name of the new file is the same for everybody: whoever makes it may write, and nobody
    // else meanwhile.
    const std::string beside =
        (import.target.parent_path() / ('.' + import.target.filename().string() + ".new")).string();
    const int file = open(beside.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0644);
    if (file < 0) {
        const int reason = errno;
        if (reason == EEXIST)
            fail("import-under-way", {target, "", 0, 0},
                 "another import is writing this list, or was broken off",
                 "wait for it, or delete " + beside);
        fail("unwritable", {target, "", 0, 0},
             std::string("the list cannot be written: ") + std::strerror(reason),
             "check the permissions of the folder");
    }
    const auto give_up = [&](const std::string& code, const std::string& wrong,
                             const std::string& right) {
        close(file);
        unlink(beside.c_str());
        fail(code, {target, "", 0, 0}, wrong, right);
    };
    std::error_code error;
    const bool is_there = fs::exists(import.target, error);
    if (is_there != import.replaces || (is_there && bytes_of(import.target) != import.before)) {
        give_up("list-changed", "the list has changed since it was compared",
                "run the import again");
    }
    for (std::size_t done = 0; done < import.text.size();) {
        const ssize_t wrote = write(file, import.text.data() + done, import.text.size() - done);
        if (wrote < 0 && errno == EINTR) continue;
        if (wrote < 0)
            give_up("unwritable",
                    std::string("the list cannot be written: ") + std::strerror(errno),
                    "make room on the disk");
        done += static_cast<std::size_t>(wrote);
    }
    if (fsync(file) != 0)
        give_up("unwritable", std::string("the list cannot be written: ") + std::strerror(errno),
                "check the disk");
    if (rename(beside.c_str(), import.target.c_str()) != 0)
        give_up("unwritable", std::string("the list cannot be replaced: ") + std::strerror(errno),
                "check the permissions of the folder");
    close(file);
    // The new name is on the disk when the folder is.
    const int folder =
        open(import.target.parent_path().empty() ? "." : import.target.parent_path().c_str(),
             O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (folder >= 0) {
        fsync(folder);
        close(folder);
    }
}

} // namespace aumbry
