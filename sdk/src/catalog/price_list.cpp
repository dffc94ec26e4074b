#include "catalog/price_list.hpp"

#include "values/excerpt.hpp"

#include "aumbry/fields.hpp"
#include "aumbry/gtin.hpp"
#include "aumbry/quantity.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <numeric>

namespace aumbry {
namespace {

enum Common {
    sku,
    catalog_class,
    description,
    price,
    price_unit,
    pack,
    min_quantity,
    stock,
    lead_days,
    valid_from,
    valid_to,
    gtin,
    common_count
};

constexpr std::array<std::string_view, common_count> common_names = {
    "sku",          "class", "description", "price",      "price_unit", "pack",
    "min_quantity", "stock", "lead_days",   "valid_from", "valid_to",   "gtin"};

constexpr int unknown_column = -2;

std::string_view trimmed(std::string_view text) {
    while (!text.empty() && (text.front() == ' ' || text.front() == '\t')) text.remove_prefix(1);
    while (!text.empty() && (text.back() == ' ' || text.back() == '\t')) text.remove_suffix(1);
    return text;
}

std::string with_article(std::string_view noun) {
    const bool vowel =
        !noun.empty() && std::string_view("aeiou").find(noun.front()) != std::string_view::npos;
    return (vowel ? "an " : "a ") + std::string(noun);
}

bool is_numeric(contract::FieldType type) {
    using enum contract::FieldType;
    return type == number || type == quantity || type == count || type == money;
}

} // namespace

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
            if (unknown_[column].used_by_class_aside && !unknown_[column].used_by_known_class)
                continue;
            std::vector<std::string> known(common_names.begin(), common_names.end());
            for (const ClassTable& table : classes_) {
                for (const contract::Field& attribute : table.definition.attributes)
                    known.push_back(attribute.name);
            }
            const std::string near = nearest_name(std::string(name), known);
            faults_.push_back(csv::row_fault(
                "unknown-column", file, 1, 1, name, name, "unknown column " + in_quotes(name),
                near.empty() ? "no module names it: take it out"
                             : "did you mean " + in_quotes(near) + "?"));
        }
    } catch (const FaultError& error) {
        for (const Fault& fault : error.faults()) faults_.push_back({fault, 0, "", ""});
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

std::uint32_t PriceListReader::read_attribute(Plan& plan, std::size_t attribute,
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

void PriceListReader::read_row(const csv::Reader& reader, const std::string& file,
                               std::uint32_t number) {
    const std::span<const std::string_view> fields = reader.fields();
    row_ = reader.row();
    line_ = reader.line();
    row_faults_.clear();
    const auto cell = [&](Common common) {
        const int column = column_of_common_[common];
        return column < 0 ? std::string_view{} : trimmed(fields[static_cast<std::size_t>(column)]);
    };

    PriceRow row;
    row.supplier = supplier_name_;
    row.file = number;
    row.row = row_;
    row.line = line_;
    row.sku = cell(sku);
    if (row.sku.empty())
        refuse(common_names[sku], {}, "missing-value", "the sku is missing",
               "write what the supplier calls it");
    row.description = cell(description);
    read_price(cell(price), row.price);
    if (!rows_.empty()) row.price_unit = rows_.back().price_unit;
    if (const std::string_view unit = cell(price_unit); unit.empty())
        row.price_unit = {};
    else
        read_price_unit(unit, row.price_unit);
    row.pack = 0;
    if (const std::string_view text = cell(pack); text == "1") {
        row.pack = 1;
    } else if (std::string with_sign;
               !text.empty() && with_point(common_names[pack], text, with_sign)) {
        try {
            row.pack = Decimal::parse(with_sign).to_double();
            if (row.pack <= 0)
                refuse(common_names[pack], text, "too-small", in_quotes(text) + " is too small",
                       "write how many are in one pack");
        } catch (const FaultError&) {
            refuse(common_names[pack], text, "bad-number", in_quotes(text) + " is no number",
                   "write how many are in one pack");
        }
    }
    std::optional<std::int64_t> least;
    read_whole(common_names[min_quantity], cell(min_quantity), 1, 1'000'000'000, least);
    row.min_quantity = least.value_or(1);
    read_whole(common_names[stock], cell(stock), 0, 1'000'000'000'000, row.stock);
    read_whole(common_names[lead_days], cell(lead_days), 0, 3650, row.lead_days);
    read_date(common_names[valid_from], cell(valid_from), row.valid_from);
    read_date(common_names[valid_to], cell(valid_to), row.valid_to);
    if (row.valid_from && row.valid_to && *row.valid_to < *row.valid_from) {
        refuse(common_names[valid_to], cell(valid_to), "bad-validity",
               "the price ends on " + format_date(*row.valid_to) + ", before it begins on " +
                   format_date(*row.valid_from),
               "write the last day on which it holds");
    }
    row.gtin = cell(gtin);
    if (!row.gtin.empty() && !gtin_valid(row.gtin)) {
        refuse(common_names[gtin], row.gtin, "bad-gtin",
               in_quotes(row.gtin) + " is no GTIN: its length or check digit is wrong",
               "write all 8, 12, 13 or 14 digits, or leave it empty");
    }

    const std::string_view class_name = cell(catalog_class);
    Plan* plan = nullptr;
    if (class_name.empty())
        refuse(common_names[catalog_class], {}, "missing-value", "the class is missing",
               "write what kind of thing it is, such as sheet");
    else
        plan = &plan_for(class_name, reader.header());
    const bool known_class = plan != nullptr && plan->table != nullptr;
    for (std::size_t column = 0; column < fields.size(); ++column) {
        if (common_of_column_[column] == unknown_column && !trimmed(fields[column]).empty()) {
            (plan == nullptr || known_class ? unknown_[column].used_by_known_class
                                            : unknown_[column].used_by_class_aside) = true;
        }
    }
    if (known_class) {
        row.catalog_class = plan->name;
        row.table = plan->number;
        ids_.assign(plan->table->width(), 0);
        for (std::size_t column = 0; column < fields.size(); ++column) {
            const int attribute = plan->attribute[column];
            if (attribute == is_common) continue;
            const std::string_view text = trimmed(fields[column]);
            if (text.empty()) continue;
            if (attribute >= 0) {
                ids_[static_cast<std::size_t>(attribute)] =
                    read_attribute(*plan, static_cast<std::size_t>(attribute), text);
            } else if (common_of_column_[column] != unknown_column) {
                refuse(reader.header()[column], text, "not-of-class",
                       with_article(class_name) + " has no " +
                           std::string(reader.header()[column]) + ", found " + in_quotes(text),
                       "leave it empty");
            }
        }
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
        ClassAside& count = classes_aside_[std::string(class_name)];
        if (count.rows++ == 0) count.first_file = file;
    }
}

// ---------------------------------------------------------------- all rows of a supplier

namespace {

bool written_before(const PriceRow& a, const PriceRow& b) {
    return a.file != b.file ? a.file < b.file : a.row < b.row;
}

bool in_order(const PriceRow& a, const PriceRow& b) {
    if (const int order = a.sku.compare(b.sku); order != 0) return order < 0;
    if (a.min_quantity != b.min_quantity) return a.min_quantity < b.min_quantity;
    if (a.valid_from != b.valid_from) return a.valid_from < b.valid_from; // absent comes first
    return written_before(a, b);
}

} // namespace

void PriceListReader::order_rows() {
    const std::span<PriceRow> rows(rows_.data() + first_row_, rows_.size() - first_row_);
    if (std::is_sorted(rows.begin(), rows.end(), in_order)) return;
    // Sorting keys of eight characters behind what all skus begin with is many times quicker than
    // sorting rows.
    std::string_view common = rows.front().sku;
    for (const PriceRow& row : rows) {
        std::size_t same = 0;
        while (same < common.size() && same < row.sku.size() && common[same] == row.sku[same])
            ++same;
        common = common.substr(0, same);
    }
    struct Key {
        std::uint64_t head;
        std::uint32_t index;
    };
    std::vector<Key> keys(rows.size());
    for (std::size_t i = 0; i < rows.size(); ++i) {
        std::uint64_t head = 0;
        for (std::size_t c = 0; c < 8; ++c) {
            const std::size_t at = common.size() + c;
            head = head << 8U |
                   (at < rows[i].sku.size() ? static_cast<unsigned char>(rows[i].sku[at]) : 0U);
        }
        keys[i] = {head, static_cast<std::uint32_t>(i)};
    }
    std::sort(keys.begin(), keys.end(), [&](const Key& a, const Key& b) {
        return a.head != b.head ? a.head < b.head : in_order(rows[a.index], rows[b.index]);
    });
    // In place, along the cycles of the permutation: a second copy of all rows would be half the
    // memory.
    for (std::size_t start = 0; start < rows.size(); ++start) {
        if (keys[start].index == start) continue;
        const PriceRow held = rows[start];
        std::size_t to = start;
        while (keys[to].index != start) {
            const std::size_t from = keys[to].index;
            rows[to] = rows[from];
            keys[to].index = static_cast<std::uint32_t>(to);
            to = from;
        }
        rows[to] = held;
        keys[to].index = static_cast<std::uint32_t>(to);
    }
}

void PriceListReader::settle_sku(std::size_t begin, std::size_t end,
                                 const std::vector<std::string>& files) {
    std::vector<std::size_t> written(end - begin);
    std::iota(written.begin(), written.end(), begin);
    if (written.size() > 1) {
        std::sort(written.begin(), written.end(),
                  [&](std::size_t a, std::size_t b) { return written_before(rows_[a], rows_[b]); });
    }
    PriceRow& first = rows_[written.front()];
    ClassTable& table = classes_[first.table];
    const std::size_t width = table.width();
    std::uint32_t* const ids = table.loaded.data() + first.item * width;
    const auto drop = [&](const PriceRow& row, std::string_view column, std::string_view value,
                          std::string code, std::string wrong, std::string right) {
        faults_.push_back(csv::row_fault(std::move(code), files[row.file], row.line, row.row,
                                         column, value, std::move(wrong), std::move(right)));
        dropped_[static_cast<std::size_t>(&row - rows_.data()) - first_row_] = 1;
    };
    const auto place_of = [&](const PriceRow& row, const PriceRow& seen_from) {
        return "row " + std::to_string(row.row) +
               (row.file == seen_from.file ? "" : " of " + files[row.file]);
    };

    // What one sku is: the first row that says it decides, later ones say the same or nothing.
    for (std::size_t i = 1; i < written.size(); ++i) {
        PriceRow& row = rows_[written[i]];
        const auto differs = [&](std::string_view column, std::string_view value) {
            drop(row, column, value, "sku-differs",
                 "the sku " + in_quotes(row.sku) + " is something else in " + place_of(first, row),
                 "say the same, leave it empty, or use another sku");
        };
        if (row.catalog_class != first.catalog_class) {
            differs(common_names[catalog_class], row.catalog_class);
            continue;
        }
        if (row.price_unit.empty())
            row.price_unit = first.price_unit;
        else if (first.price_unit.empty())
            first.price_unit = row.price_unit;
        else if (row.price_unit != first.price_unit)
            differs(common_names[price_unit], row.price_unit);
        if (row.pack == 0)
            row.pack = first.pack;
        else if (first.pack == 0)
            first.pack = row.pack;
        else if (row.pack < first.pack || row.pack > first.pack)
            differs(common_names[pack], {});
        if (row.gtin.empty())
            row.gtin = first.gtin;
        else if (first.gtin.empty())
            first.gtin = row.gtin;
        else if (row.gtin != first.gtin)
            differs(common_names[gtin], row.gtin);
        if (row.description.empty()) row.description = first.description;
        if (!row.stock) row.stock = first.stock;
        if (!row.lead_days) row.lead_days = first.lead_days;
        const std::uint32_t* const own = table.loaded.data() + row.item * width;
        for (std::size_t attribute = 0; attribute < width; ++attribute) {
            if (own[attribute] == 0 || own[attribute] == ids[attribute]) continue;
            if (ids[attribute] == 0)
                ids[attribute] = own[attribute];
            else
                differs(table.definition.attributes[attribute].name, {});
        }
    }
    // One price for one quantity at a time.
    const PriceRow* last = nullptr;
    for (std::size_t i = begin; i < end; ++i) {
        PriceRow& row = rows_[i];
        if (dropped_[i - first_row_] != 0) continue;
        if (last != nullptr && last->min_quantity == row.min_quantity &&
            (!last->valid_to || !row.valid_from || *row.valid_from <= *last->valid_to)) {
            const bool later = written_before(*last, row);
            const PriceRow& extra = later ? row : *last;
            const PriceRow& kept = later ? *last : row;
            drop(extra, common_names[sku], extra.sku, "duplicate-sku",
                 "the sku " + in_quotes(extra.sku) + " with min_quantity " +
                     std::to_string(extra.min_quantity) + " is already in " + place_of(kept, extra),
                 "give it another min_quantity, or dates that do not overlap");
            if (later) continue;
        }
        last = &row;
    }
    // What it must have.
    bool complete = true;
    for (std::size_t attribute = 0; attribute < width; ++attribute) {
        if (ids[attribute] != 0) continue;
        const contract::Field& field = table.definition.attributes[attribute];
        if (!field.fallback.is_null()) {
            ids[attribute] = table.values[attribute].add(field.fallback);
        } else if (field.required) {
            drop(first, field.name, {}, "missing-value",
                 with_article(table.definition.name) + " must have its " + field.name,
                 field.help.empty() ? "fill it in" : "fill it in (" + field.help + ")");
            complete = false;
        }
    }
    const double items = first.pack == 0 ? 1 : first.pack;
    for (std::size_t i = begin; i < end; ++i) {
        PriceRow& row = rows_[i];
        if (!complete && dropped_[i - first_row_] == 0) {
            drop(row, common_names[sku], row.sku, "sku-left-out",
                 "the sku " + in_quotes(row.sku) + " is left out with " + place_of(first, row),
                 "mend that one");
        }
        row.item = first.item;
        if (row.pack == 0) row.pack = items;
        if (row.price_unit.empty())
            row.price_unit = first.price_unit.empty() ? keep("each") : first.price_unit;
    }
}

void PriceListReader::finish_supplier(const std::vector<std::string>& files) {
    if (rows_.size() == first_row_) return;
    order_rows();
    dropped_.assign(rows_.size() - first_row_, 0);
    const std::size_t faults_before = faults_.size();
    for (std::size_t begin = first_row_; begin < rows_.size();) {
        std::size_t end = begin + 1;
        while (end < rows_.size() && rows_[end].sku == rows_[begin].sku) ++end;
        settle_sku(begin, end, files);
        begin = end;
    }
    if (faults_.size() == faults_before) return;
    std::size_t kept = first_row_;
    for (std::size_t i = first_row_; i < rows_.size(); ++i) {
        if (dropped_[i - first_row_] == 0) rows_[kept++] = rows_[i];
    }
    rows_.resize(kept);
}

} // namespace aumbry
