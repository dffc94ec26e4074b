// The rows of one supplier together: in order, and those of one sku checked against each other.
#include "catalog/common_columns.hpp"
#include "catalog/price_list.hpp"
#include "values/excerpt.hpp"

#include "aumbry/fields.hpp"

#include <algorithm>
#include <numeric>

namespace aumbry {

using namespace columns;

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

void PriceListReader::drop(const PriceRow& row, std::string_view column, std::string_view value,
                           std::string code, std::string wrong, std::string right) {
    faults_.push_back(csv::row_fault(std::move(code), (*files_)[row.file], row.line, row.row,
                                     column, value, std::move(wrong), std::move(right)));
    dropped_[static_cast<std::size_t>(&row - rows_.data()) - first_row_] = 1;
}

std::string PriceListReader::place_of(const PriceRow& row, const PriceRow& seen_from) const {
    return "row " + std::to_string(row.row) +
           (row.file == seen_from.file ? "" : " of " + (*files_)[row.file]);
}

void PriceListReader::settle_sku(std::size_t begin, std::size_t end) {
    std::size_t first = begin;
    for (std::size_t i = begin + 1; i < end; ++i)
        if (written_before(rows_[i], rows_[first])) first = i;
    const RowsOfSku rows{begin, end, first};
    if (end - begin > 1) agree(rows);
    one_price_at_a_time(rows);
    complete(rows);
}

/// What one sku is: the first row that says it decides, later ones say the same or nothing.
void PriceListReader::agree(const RowsOfSku& rows) {
    std::vector<std::size_t> written(rows.end - rows.begin);
    std::iota(written.begin(), written.end(), rows.begin);
    std::sort(written.begin(), written.end(),
              [&](std::size_t a, std::size_t b) { return written_before(rows_[a], rows_[b]); });
    PriceRow& first = rows_[rows.first];
    ClassTable& table = classes_[first.table];
    const std::size_t width = table.width();
    std::uint32_t* const ids = table.loaded.data() + first.item * width;
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
}

void PriceListReader::one_price_at_a_time(const RowsOfSku& rows) {
    const PriceRow* last = nullptr;
    for (std::size_t i = rows.begin; i < rows.end; ++i) {
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
}

/// What a sku must have; what its rows leave open.
void PriceListReader::complete(const RowsOfSku& rows) {
    const PriceRow& first = rows_[rows.first];
    ClassTable& table = classes_[first.table];
    const std::size_t width = table.width();
    std::uint32_t* const ids = table.loaded.data() + first.item * width;
    bool whole = true;
    for (std::size_t attribute = 0; attribute < width; ++attribute) {
        if (ids[attribute] != 0) continue;
        const contract::Field& field = table.definition.attributes[attribute];
        if (!field.fallback.is_null()) {
            ids[attribute] = table.values[attribute].add(field.fallback);
        } else if (field.required) {
            drop(first, field.name, {}, "missing-value",
                 with_article(table.definition.name) + " must have its " + field.name,
                 field.help.empty() ? "fill it in" : "fill it in (" + field.help + ")");
            whole = false;
        }
    }
    const double items = first.pack == 0 ? 1 : first.pack;
    for (std::size_t i = rows.begin; i < rows.end; ++i) {
        PriceRow& row = rows_[i];
        if (!whole && dropped_[i - first_row_] == 0) {
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
    files_ = &files;
    dropped_.assign(rows_.size() - first_row_, 0);
    const std::size_t faults_before = faults_.size();
    for (std::size_t begin = first_row_; begin < rows_.size();) {
        std::size_t end = begin + 1;
        while (end < rows_.size() && rows_[end].sku == rows_[begin].sku) ++end;
        settle_sku(begin, end);
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
