#include "catalog/price_list.hpp"

#include "catalog/common_columns.hpp"
#include "values/excerpt.hpp"
#include "values/trimmed.hpp"

#include "aumbry/fields.hpp"
#include "aumbry/gtin.hpp"
#include "aumbry/quantity.hpp"

#include <algorithm>
#include <charconv>
#include <numeric>

namespace aumbry {
namespace {

using namespace columns;

constexpr int unknown_column = -2;

bool is_numeric(contract::FieldType type) {
    using enum contract::FieldType;
    return type == number || type == quantity || type == count || type == money;
}

} // namespace

std::string with_article(std::string_view noun) {
    const bool vowel =
        !noun.empty() && std::string_view("aeiou").find(noun.front()) != std::string_view::npos;
    return (vowel ? "an " : "a ") + std::string(noun);
}

std::span<const std::string_view> common_columns() {
    return common_names;
}

PriceListReader::PriceListReader(std::set<std::string, std::less<>>& names,
                                 std::vector<ClassTable>& classes, std::vector<PriceRow>& rows,
                                 std::vector<PriceRow>& aside, std::vector<csv::RowFault>& faults,
                                 std::vector<std::string>& notes)
    : names_(names), classes_(classes), rows_(rows), aside_(aside), faults_(faults), notes_(notes) {
}

void PriceListReader::begin_supplier(const Supplier& supplier) {
    supplier_ = &supplier;
    supplier_name_ = keep(supplier.id);
    first_row_ = rows_.size();
    // What a cell means depends on the supplier's decimal sign and unit of bare lengths.
    caches_.clear();
    for (const ClassTable& table : classes_) caches_.emplace_back(table.width());
}

std::string_view PriceListReader::keep(std::string_view name) {
    const auto found = names_.find(name);
    return found != names_.end() ? *found : *names_.emplace(name).first;
}

// ---------------------------------------------------------------- the header

bool PriceListReader::lay_out(const csv::Reader& reader, const std::string& file) {
    const std::span<const std::string_view> header = reader.header();
    const std::size_t before = faults_.size();
    common_of_column_.assign(header.size(), unknown_column);
    column_of_common_.assign(common_count, -1);
    unknown_.assign(header.size(), {});
    plans_.clear();
    last_plan_ = nullptr;
    for (std::size_t column = 0; column < header.size(); ++column) {
        const std::string_view name = header[column];
        if (name.empty()) continue;
        if (std::find(header.begin(), header.begin() + static_cast<std::ptrdiff_t>(column), name) !=
            header.begin() + static_cast<std::ptrdiff_t>(column)) {
            faults_.push_back(csv::row_fault("duplicate-column", file, 1, 1, name, name,
                                             "the column " + in_quotes(name) + " is there twice",
                                             "keep one of them"));
            continue;
        }
        const auto common = std::find(common_names.begin(), common_names.end(), name);
        if (common != common_names.end()) {
            common_of_column_[column] = static_cast<int>(common - common_names.begin());
            column_of_common_[static_cast<std::size_t>(common - common_names.begin())] =
                static_cast<int>(column);
        } else if (std::any_of(classes_.begin(), classes_.end(), [&](const ClassTable& table) {
                       return table.attribute(name) >= 0;
                   })) {
            common_of_column_[column] = -1;
        }
    }
    for (const Common needed : {sku, catalog_class, price}) {
        if (column_of_common_[needed] >= 0) continue;
        const std::string name(common_names[needed]);
        const std::string near = nearest_name(name, {header.begin(), header.end()});
        faults_.push_back(csv::row_fault(
            "missing-column", file, 1, 1, name, {}, "the list has no column " + in_quotes(name),
            near.empty() ? "add it to the header" : "is " + in_quotes(near) + " meant?"));
    }
    return faults_.size() == before;
}

PriceListReader::Plan& PriceListReader::plan_for(std::string_view class_name,
                                                 std::span<const std::string_view> header) {
    if (last_plan_ != nullptr && last_plan_->name == class_name) return *last_plan_;
    if (const auto found = plans_.find(class_name); found != plans_.end())
        return *(last_plan_ = &found->second);
    const std::string_view name = keep(class_name);
    Plan& plan = plans_[name];
    plan.name = name;
    for (ClassTable& table : classes_) {
        if (table.definition.name != class_name) continue;
        plan.table = &table;
        plan.number = static_cast<std::uint32_t>(&table - classes_.data());
        plan.attribute.assign(header.size(), not_of_class);
        for (std::size_t column = 0; column < header.size(); ++column) {
            if (common_of_column_[column] >= 0)
                plan.attribute[column] = is_common;
            else if (const int attribute = table.attribute(header[column]); attribute >= 0)
                plan.attribute[column] = attribute;
        }
    }
    return *(last_plan_ = &plan);
}

void PriceListReader::read(std::string& text, const std::string& file, std::uint32_t number) {
    try {
        csv::Reader reader(text, file, 0);
        if (!lay_out(reader, file)) return;
        file_ = &file;
        while (reader.next()) read_row(reader, file, number);
        for (csv::RowFault& fault : reader.take_faults()) faults_.push_back(std::move(fault));
        tell_unknown_columns(reader, file);
    } catch (const FaultError& error) {
        for (const Fault& fault : error.faults()) faults_.push_back({fault, 0, "", ""});
    }
}

/// Columns that no class at hand has a name for.
void PriceListReader::tell_unknown_columns(const csv::Reader& reader, const std::string& file) {
    for (std::size_t column = 0; column < unknown_.size(); ++column) {
        const std::string_view name = reader.header()[column];
        if (common_of_column_[column] != unknown_column) continue;
        if (name.empty()) {
            if (unknown_[column].used_by_known_class || unknown_[column].used_by_class_aside) {
                notes_.push_back(file + ": column " + std::to_string(column + 1) +
                                 " has no name and is not read");
            }
            continue;
        }
        // It may be an attribute of a class whose module is not there.
        if (unknown_[column].used_by_class_aside && !unknown_[column].used_by_known_class) continue;
        std::vector<std::string> known(common_names.begin(), common_names.end());
        for (const ClassTable& table : classes_) {
            for (const contract::Field& attribute : table.definition.attributes)
                known.push_back(attribute.name);
        }
        const std::string near = nearest_name(std::string(name), known);
        faults_.push_back(csv::row_fault("unknown-column", file, 1, 1, name, name,
                                         "unknown column " + in_quotes(name),
                                         near.empty() ? "no module names it: take it out"
                                                      : "did you mean " + in_quotes(near) + "?"));
    }
}

// ---------------------------------------------------------------- cells

void PriceListReader::refuse(std::string_view column, std::string_view value, std::string code,
                             std::string wrong, std::string right) {
    row_faults_.push_back(csv::row_fault(std::move(code), *file_, line_, row_, column, value,
                                         std::move(wrong), std::move(right)));
}

void PriceListReader::refuse_as(std::string_view column, std::string_view value,
                                const FaultError& error) {
    const Fault& fault = error.faults().front();
    refuse(column, value, fault.code, fault.wrong, fault.right);
}

bool PriceListReader::with_point(std::string_view column, std::string_view cell, std::string& out) {
    const char wrong_sign = supplier_->decimal_comma ? '.' : ',';
    if (cell.find(wrong_sign) != std::string_view::npos) {
        refuse(column, cell, "wrong-decimal-sign",
               in_quotes(cell) +
                   (supplier_->decimal_comma
                        ? " has a point where the supplier's lists have a decimal comma"
                        : " has a comma where the supplier's lists have a decimal point"),
               supplier_->decimal_comma
                   ? "write 12,50 and 1234,50, or take decimal_comma out of supplier.json"
                   : "write 12.50 and 1234.50, or set decimal_comma in supplier.json");
        return false;
    }
    out.assign(cell);
    std::replace(out.begin(), out.end(), ',', '.');
    return true;
}

bool PriceListReader::read_price(std::string_view cell, Decimal& value) {
    const std::string_view column = common_names[price];
    if (cell.empty()) {
        refuse(column, cell, "missing-value", "the price is missing", "write it, such as 12.50");
        return false;
    }
    // The usual case, without detours: digits with one decimal sign.
    const char sign = supplier_->decimal_comma ? ',' : '.';
    if (cell.size() <= 15) {
        std::int64_t unscaled = 0;
        int scale = -1;
        bool plain = cell.front() != sign && cell.back() != sign;
        for (const char c : cell) {
            if (c >= '0' && c <= '9') {
                unscaled = unscaled * 10 + (c - '0');
                if (scale >= 0) ++scale;
            } else if (c == sign && scale < 0) {
                scale = 0;
            } else {
                plain = false;
                break;
            }
        }
        if (plain && scale <= Decimal::max_scale) {
            value = Decimal::scaled(unscaled, std::max(scale, 0));
            return true;
        }
    }
    const std::string example = supplier_->decimal_comma ? "12,50" : "12.50";
    std::string text;
    const bool letters = std::any_of(cell.begin(), cell.end(), [](char c) {
        return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '$' ||
               static_cast<unsigned char>(c) >= 0x80U;
    });
    if (letters) {
        const bool digits =
            std::any_of(cell.begin(), cell.end(), [](char c) { return c >= '0' && c <= '9'; });
        refuse(column, cell, digits ? "price-with-unit" : "bad-price",
               in_quotes(cell) + (digits ? " is more than a number" : " is no price"),
               "write the number alone, such as " + example + "; it is taken in " +
                   supplier_->currency.code + ", the supplier's currency");
        return false;
    }
    if (!with_point(column, cell, text)) return false;
    try {
        value = Decimal::parse(text);
    } catch (const FaultError& error) {
        const bool overflow = error.faults().front().code == "amount-overflow";
        refuse(column, cell, overflow ? "amount-overflow" : "bad-price",
               in_quotes(cell) + (overflow ? " is beyond all amounts" : " is no price"),
               "write a number such as " + example);
        return false;
    }
    if (value.is_negative()) {
        refuse(column, cell, "negative-price", "the price " + in_quotes(cell) + " is below zero",
               "write what one costs");
        return false;
    }
    return true;
}

bool PriceListReader::read_price_unit(std::string_view cell, std::string_view& unit) {
    if (cell.empty() || cell == unit) return true;
    if (const auto known = units_.find(cell); known != units_.end()) {
        unit = *known;
        return true;
    }
    try {
        if (cell != "each" && cell != "pack") {
            const Dimension of = dimension_of_unit(cell);
            if (of != dimension::length && of != dimension::area && of != dimension::volume &&
                of != dimension::mass && of != dimension::duration) {
                fail("unknown-unit", {}, in_quotes(cell) + " is nothing that is sold by measure",
                     "write each, pack, m, m2, m3, bdft, L, kg or h");
            }
        }
    } catch (const FaultError&) {
        refuse(common_names[price_unit], cell, "unknown-unit",
               in_quotes(cell) + " is no unit of a price",
               "write each, pack, m, m2, m3, ft, bdft, L, kg or h");
        return false;
    }
    unit = *units_.insert(keep(cell)).first;
    return true;
}

template <class Whole>
bool PriceListReader::read_whole(std::string_view column, std::string_view cell, std::int64_t least,
                                 std::int64_t most, std::optional<Whole>& out) {
    if (cell.empty()) return true;
    std::int64_t value = 0;
    const auto [end, error] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
    const bool overflows = error == std::errc::result_out_of_range;
    if ((error != std::errc() && !overflows) || end != cell.data() + cell.size()) {
        refuse(column, cell, "not-whole", in_quotes(cell) + " is not a whole number",
               "write digits alone");
        return false;
    }
    const bool too_small = overflows ? cell.front() == '-' : value < least;
    if (too_small || overflows || value > most) {
        refuse(column, cell, too_small ? "too-small" : "too-large",
               in_quotes(cell) + (too_small ? " is too small" : " is too large"),
               too_small ? "write at least " + std::to_string(least)
                         : "write at most " + std::to_string(most));
        return false;
    }
    out = static_cast<Whole>(value);
    return true;
}

bool PriceListReader::read_date(std::string_view column, std::string_view cell,
                                std::optional<Date>& date) {
    if (cell.empty()) return true;
    try {
        if (cell != last_date_text_) {
            last_date_ = parse_date(cell);
            last_date_text_ = cell;
        }
        date = last_date_;
        return true;
    } catch (const FaultError& error) {
        refuse_as(column, cell, error);
        return false;
    }
}

std::uint32_t PriceListReader::read_attribute(const Plan& plan, std::size_t attribute,
                                              std::string_view cell) {
    CellCache& cache = caches_[plan.number][attribute];
    if (cell == cache.last_text) return cache.last_id;
    const auto found = cache.ids.find(cell);
    std::uint32_t id = 0;
    if (found != cache.ids.end()) {
        id = found->second;
    } else {
        const contract::Field& field = plan.table->definition.attributes[attribute];
        std::string text(cell);
        if (is_numeric(field.type) && !with_point(field.name, cell, text)) return 0;
        try {
            id = plan.table->values[attribute].add(
                read_cell(field, text,
                          field.unit == "mm" ? std::string_view(supplier_->length_unit)
                                             : std::string_view{}));
        } catch (const FaultError& error) {
            refuse_as(field.name, cell, error);
            return 0;
        }
        cache.ids.emplace(cell, id);
    }
    cache.last_text = cell;
    cache.last_id = id;
    return id;
}

// ---------------------------------------------------------------- rows

std::string_view PriceListReader::cell(const csv::Reader& reader, int common) const {
    const int column = column_of_common_[static_cast<std::size_t>(common)];
    return column < 0 ? std::string_view{}
                      : trimmed(reader.fields()[static_cast<std::size_t>(column)]);
}

void PriceListReader::read_row(const csv::Reader& reader, const std::string& file,
                               std::uint32_t number) {
    row_ = reader.row();
    line_ = reader.line();
    row_faults_.clear();
    PriceRow row;
    row.supplier = supplier_name_;
    row.file = number;
    row.row = row_;
    row.line = line_;
    read_common(reader, row);
    const Plan* plan = read_class(reader);
    const bool known_class = plan != nullptr && plan->table != nullptr;
    if (known_class) {
        row.catalog_class = plan->name;
        row.table = plan->number;
        read_attributes(reader, *plan);
    }
    if (!row_faults_.empty()) {
        for (csv::RowFault& fault : row_faults_) faults_.push_back(std::move(fault));
        return;
    }
    if (known_class) {
        row.item = static_cast<std::uint32_t>(plan->table->loaded.size() /
                                              std::max<std::size_t>(1, plan->table->width()));
        plan->table->loaded.insert(plan->table->loaded.end(), ids_.begin(), ids_.end());
        rows_.push_back(row);
    } else {
        row.catalog_class = plan->name;
        if (row.pack == 0) row.pack = 1;
        if (row.price_unit.empty()) row.price_unit = keep("each");
        aside_.push_back(row);
        ClassAside& count = classes_aside_[std::string(plan->name)];
        if (count.rows++ == 0) count.first_file = file;
    }
}

void PriceListReader::read_common(const csv::Reader& reader, PriceRow& row) {
    row.sku = cell(reader, sku);
    if (row.sku.empty())
        refuse(common_names[sku], {}, "missing-value", "the sku is missing",
               "write what the supplier calls it");
    row.description = cell(reader, description);
    read_price(cell(reader, price), row.price);
    if (!rows_.empty()) row.price_unit = rows_.back().price_unit;
    if (const std::string_view unit = cell(reader, price_unit); unit.empty())
        row.price_unit = {};
    else
        read_price_unit(unit, row.price_unit);
    read_pack(cell(reader, pack), row.pack);
    std::optional<std::int64_t> minimum;
    read_whole(common_names[min_quantity], cell(reader, min_quantity), 1, 1'000'000'000, minimum);
    row.min_quantity = minimum.value_or(1);
    read_whole(common_names[stock], cell(reader, stock), 0, 1'000'000'000'000, row.stock);
    read_whole(common_names[lead_days], cell(reader, lead_days), 0, 3650, row.lead_days);
    read_date(common_names[valid_from], cell(reader, valid_from), row.valid_from);
    read_date(common_names[valid_to], cell(reader, valid_to), row.valid_to);
    if (row.valid_from && row.valid_to && *row.valid_to < *row.valid_from) {
        refuse(common_names[valid_to], cell(reader, valid_to), "bad-validity",
               "the price ends on " + format_date(*row.valid_to) + ", before it begins on " +
                   format_date(*row.valid_from),
               "write the last day on which it holds");
    }
    row.gtin = cell(reader, gtin);
    if (!row.gtin.empty() && !gtin_valid(row.gtin)) {
        refuse(common_names[gtin], row.gtin, "bad-gtin",
               in_quotes(row.gtin) + " is no GTIN: its length or check digit is wrong",
               "write all 8, 12, 13 or 14 digits, or leave it empty");
    }
}

void PriceListReader::read_pack(std::string_view text, double& count) {
    count = 0;
    if (text == "1") {
        count = 1;
    } else if (std::string with_sign;
               !text.empty() && with_point(common_names[pack], text, with_sign)) {
        try {
            count = Decimal::parse(with_sign).to_double();
            if (count <= 0)
                refuse(common_names[pack], text, "too-small", in_quotes(text) + " is too small",
                       "write how many are in one pack");
        } catch (const FaultError&) {
            refuse(common_names[pack], text, "bad-number", in_quotes(text) + " is no number",
                   "write how many are in one pack");
        }
    }
}

/// How the columns are read for the row's class; null when it has none.
const PriceListReader::Plan* PriceListReader::read_class(const csv::Reader& reader) {
    const std::string_view class_name = cell(reader, catalog_class);
    const Plan* plan = nullptr;
    if (class_name.empty())
        refuse(common_names[catalog_class], {}, "missing-value", "the class is missing",
               "write what kind of thing it is, such as sheet");
    else
        plan = &plan_for(class_name, reader.header());
    const bool aside = plan != nullptr && plan->table == nullptr;
    const std::span<const std::string_view> fields = reader.fields();
    for (std::size_t column = 0; column < fields.size(); ++column) {
        if (common_of_column_[column] == unknown_column && !trimmed(fields[column]).empty()) {
            (aside ? unknown_[column].used_by_class_aside : unknown_[column].used_by_known_class) =
                true;
        }
    }
    return plan;
}

void PriceListReader::read_attributes(const csv::Reader& reader, const Plan& plan) {
    const std::span<const std::string_view> fields = reader.fields();
    ids_.assign(plan.table->width(), 0);
    for (std::size_t column = 0; column < fields.size(); ++column) {
        const int attribute = plan.attribute[column];
        if (attribute == is_common) continue;
        const std::string_view text = trimmed(fields[column]);
        if (text.empty()) continue;
        if (attribute >= 0) {
            ids_[static_cast<std::size_t>(attribute)] =
                read_attribute(plan, static_cast<std::size_t>(attribute), text);
        } else if (common_of_column_[column] != unknown_column) {
            refuse(reader.header()[column], text, "not-of-class",
                   with_article(plan.name) + " has no " + std::string(reader.header()[column]) +
                       ", found " + in_quotes(text),
                   "leave it empty");
        }
    }
}

} // namespace aumbry
