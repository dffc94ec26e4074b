#include "aumbry/catalog.hpp"

#include "catalog/catalog_content.hpp"

#include "aumbry/rounding.hpp"

#include <algorithm>
#include <numeric>

namespace aumbry {
namespace {

/// Equal values have equal text: numbers are rounded to six decimals.
std::string canonical(const Json& value) {
    if (value.is_number()) return "#" + format_trimmed(value.get<double>(), 6);
    if (value.is_string()) return "'" + value.get_ref<const std::string&>();
    if (value.is_array()) {
        std::string text = "[";
        for (const Json& item : value) {
            const std::string inner = canonical(item);
            text += std::to_string(inner.size()) + ':' + inner;
        }
        return text;
    }
    return value.dump();
}

} // namespace

std::uint32_t ValueSet::add(const Json& value) {
    const auto [at, is_new] =
        ids_.emplace(canonical(value), static_cast<std::uint32_t>(values_.size()));
    if (is_new) values_.push_back(value);
    return at->second;
}

std::uint32_t ValueSet::find(const Json& value) const {
    const auto found = ids_.find(canonical(value));
    return found == ids_.end() ? 0 : found->second;
}

int ClassTable::attribute(std::string_view name) const {
    for (std::size_t i = 0; i < definition.attributes.size(); ++i) {
        if (definition.attributes[i].name == name) return static_cast<int>(i);
    }
    return -1;
}

void ClassTable::build_index() {
    starts.resize(width());
    items.resize(width());
    for (std::size_t attribute = 0; attribute < width(); ++attribute) {
        const std::vector<std::uint32_t>& column = columns[attribute];
        std::vector<std::uint32_t>& start = starts[attribute];
        start.assign(values[attribute].size() + 1, 0);
        for (const std::uint32_t id : column) ++start[id + 1];
        std::partial_sum(start.begin(), start.end(), start.begin());
        std::vector<std::uint32_t>& sorted = items[attribute];
        sorted.resize(column.size());
        std::vector<std::uint32_t> next(start.begin(), start.end() - 1);
        for (std::size_t item = 0; item < column.size(); ++item)
            sorted[next[column[item]]++] = static_cast<std::uint32_t>(item);
    }
}

std::vector<std::uint32_t> ClassTable::match(
    const std::vector<std::pair<std::size_t, std::vector<std::uint32_t>>>& wanted) const {
    std::vector<std::uint32_t> found;
    if (wanted.empty()) {
        found.resize(first_rows.size());
        std::iota(found.begin(), found.end(), 0U);
        return found;
    }
    // Begin with the attribute that leaves the fewest items, then sift by the others.
    std::size_t best = 0;
    std::size_t fewest = first_rows.size() + 1;
    for (std::size_t i = 0; i < wanted.size(); ++i) {
        const auto& [attribute, ids] = wanted[i];
        std::size_t count = 0;
        for (const std::uint32_t id : ids)
            count += starts[attribute][id + 1] - starts[attribute][id];
        if (count < fewest) {
            fewest = count;
            best = i;
        }
    }
    // Items of one value rise; a run for each value, merged when they are few.
    const auto& [driver, driver_ids] = wanted[best];
    found.reserve(fewest);
    std::vector<std::size_t> run_ends;
    for (const std::uint32_t id : driver_ids) {
        const auto begin = items[driver].begin();
        found.insert(found.end(), begin + starts[driver][id], begin + starts[driver][id + 1]);
        run_ends.push_back(found.size());
    }
    for (std::size_t i = 0; i < wanted.size(); ++i) {
        if (i == best) continue;
        const auto& [attribute, ids] = wanted[i];
        const std::vector<std::uint32_t>& column = columns[attribute];
        std::vector<unsigned char> accepted(values[attribute].size(), 0);
        for (const std::uint32_t id : ids) accepted[id] = 1;
        // Written without a branch: which items fit cannot be foretold.
        std::size_t kept = 0;
        std::size_t at = 0;
        for (std::size_t& end : run_ends) {
            for (; at < end; ++at) {
                found[kept] = found[at];
                kept += accepted[column[found[at]]];
            }
            end = kept;
        }
        found.resize(kept);
    }
    const auto place = [&](std::size_t offset) {
        return found.begin() + static_cast<std::ptrdiff_t>(offset);
    };
    while (run_ends.size() > 1) {
        std::vector<std::size_t> merged;
        for (std::size_t i = 0; i < run_ends.size(); i += 2) {
            const std::size_t begin = i == 0 ? 0 : run_ends[i - 1];
            const std::size_t end = run_ends[std::min(i + 1, run_ends.size() - 1)];
            std::inplace_merge(place(begin), place(run_ends[i]), place(end));
            merged.push_back(end);
        }
        run_ends = std::move(merged);
    }
    return found;
}

// ---------------------------------------------------------------- questions to a catalog

Catalog::Catalog() : content_(std::make_shared<const Content>()) {}
Catalog::Catalog(std::shared_ptr<const Content> content) : content_(std::move(content)) {}

const std::vector<Supplier>& Catalog::suppliers() const {
    return content_->suppliers;
}
const std::vector<PriceRow>& Catalog::rows() const {
    return content_->rows;
}
const std::vector<PriceRow>& Catalog::rows_aside() const {
    return content_->aside;
}
const std::vector<csv::RowFault>& Catalog::faults() const {
    return content_->faults;
}
const std::vector<std::string>& Catalog::notes() const {
    return content_->notes;
}
const Json& Catalog::tables() const {
    return content_->tables;
}

const Json* Catalog::table(std::string_view name) const {
    const auto found = content_->tables.find(name);
    return found == content_->tables.end() ? nullptr : &*found;
}

const Supplier* Catalog::supplier(std::string_view id) const {
    const auto& all = content_->suppliers;
    const auto found =
        std::lower_bound(all.begin(), all.end(), id,
                         [](const Supplier& one, std::string_view name) { return one.id < name; });
    return found != all.end() && found->id == id ? &*found : nullptr;
}

std::vector<const PriceRow*> Catalog::match(std::string_view catalog_class,
                                            const std::vector<AttributeMatch>& wanted) const {
    const auto table =
        std::find_if(content_->classes.begin(), content_->classes.end(),
                     [&](const ClassTable& one) { return one.definition.name == catalog_class; });
    if (table == content_->classes.end()) return {};
    std::vector<std::pair<std::size_t, std::vector<std::uint32_t>>> ids;
    for (const auto& [name, any_of] : wanted) {
        const int attribute = table->attribute(name);
        if (attribute < 0) return {};
        const auto number = static_cast<std::size_t>(attribute);
        const ValueSet& values = table->values[number];
        std::vector<std::uint32_t> accepted;
        for (const Json& value : any_of) {
            if (const std::uint32_t id = values.find(value); id != 0) accepted.push_back(id);
        }
        if (table->definition.attributes[number].type == contract::FieldType::texts) {
            for (std::uint32_t id = 1; id < values.size(); ++id) {
                for (const Json& value : any_of) {
                    if (std::find(values[id].begin(), values[id].end(), value) != values[id].end())
                        accepted.push_back(id);
                }
            }
        }
        std::sort(accepted.begin(), accepted.end());
        accepted.erase(std::unique(accepted.begin(), accepted.end()), accepted.end());
        if (accepted.empty()) return {};
        ids.emplace_back(number, std::move(accepted));
    }
    const std::vector<std::uint32_t> found = table->match(ids);
    std::vector<const PriceRow*> result(found.size());
    for (std::size_t i = 0; i < found.size(); ++i)
        result[i] = &content_->rows[table->first_rows[found[i]]];
    return result;
}

const PriceRow* Catalog::find(std::string_view offer_id) const {
    const auto slash = offer_id.find('/');
    if (slash == std::string_view::npos) return nullptr;
    const std::string_view supplier_id = offer_id.substr(0, slash);
    const std::string_view sku = offer_id.substr(slash + 1);
    const auto& rows = content_->rows;
    const auto found = std::lower_bound(
        rows.begin(), rows.end(), sku, [&](const PriceRow& row, std::string_view wanted) {
            return row.supplier != supplier_id ? row.supplier < supplier_id : row.sku < wanted;
        });
    return found != rows.end() && found->supplier == supplier_id && found->sku == sku ? &*found
                                                                                      : nullptr;
}

std::span<const PriceRow> Catalog::rows_of(const PriceRow& row) const {
    const auto& rows = content_->rows;
    const PriceRow* const first = &rows[content_->classes[row.table].first_rows[row.item]];
    const PriceRow* end = first;
    while (end != rows.data() + rows.size() && end->supplier == first->supplier &&
           end->sku == first->sku)
        ++end;
    return {first, end};
}

Json Catalog::attributes(const PriceRow& row) const {
    const ClassTable& table = content_->classes[row.table];
    Json out = Json::object();
    auto& members = out.get_ref<Json::object_t&>();
    for (std::size_t attribute = 0; attribute < table.width(); ++attribute) {
        const std::uint32_t id = table.columns[attribute][row.item];
        if (id != 0)
            members.emplace_back(table.definition.attributes[attribute].name,
                                 table.values[attribute][id]);
    }
    return out;
}

std::string Catalog::source(const PriceRow& row) const {
    return content_->files[row.file] + ", row " + std::to_string(row.row);
}

contract::Offer Catalog::offer(const PriceRow& row) const {
    contract::Offer offer;
    offer.id = row.offer_id();
    offer.supplier = row.supplier;
    offer.sku = row.sku;
    offer.catalog_class = row.catalog_class;
    offer.description = row.description;
    offer.attributes = attributes(row);
    offer.price = row.price.str();
    offer.price_unit = row.price_unit;
    offer.pack = row.pack;
    offer.min_quantity = row.min_quantity;
    offer.limit = row.stock;
    return offer;
}

namespace {

/// Adds one sku to the answer.
void date_sku(const Catalog& catalog, std::span<const PriceRow> rows, Date date, DatedOffers& out) {
    DatedOffer dated;
    const PriceRow* nearest = &rows.front();
    for (const PriceRow& row : rows) {
        if (row.valid_on(date)) dated.rows.push_back(&row);
        // Of prices of another time the one that ended last, or else begins first, is worth
        // showing.
        const auto rank = [&](const PriceRow& one) {
            const bool over = one.valid_to && *one.valid_to < date;
            return over ? (date - *one.valid_to).count()
                        : (one.valid_from ? (*one.valid_from - date).count() + 1'000'000 : 0);
        };
        if (rank(row) < rank(*nearest)) nearest = &row;
    }
    if (dated.rows.empty()) {
        out.outdated.push_back(nearest);
        return;
    }
    dated.offer = catalog.offer(*dated.rows.front());
    for (const PriceRow* row : dated.rows)
        dated.breaks.push_back({row->min_quantity, row->price.str()});
    out.valid.push_back(std::move(dated));
}

} // namespace

DatedOffers Catalog::offers_on(Date date) const {
    DatedOffers out;
    const auto& rows = content_->rows;
    for (std::size_t i = 0; i < rows.size();) {
        const std::span<const PriceRow> sku = rows_of(rows[i]);
        date_sku(*this, sku, date, out);
        i += sku.size();
    }
    return out;
}

DatedOffers Catalog::offers_on(Date date, std::span<const PriceRow* const> first_rows) const {
    DatedOffers out;
    for (const PriceRow* row : first_rows) date_sku(*this, rows_of(*row), date, out);
    return out;
}

} // namespace aumbry
