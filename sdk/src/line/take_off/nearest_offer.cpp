#include "line/take_off/nearest_offer.hpp"

#include "aumbry/fields.hpp"
#include "aumbry/line_access.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>
#include <cmath>
#include <set>

namespace aumbry {

namespace {

/// So many rows are looked at, so that a miss in a list of a hundred thousand costs little.
constexpr std::size_t max_rows_looked_at = 2000;

/// A size in the unit in which its class has it.
std::string with_unit(const std::vector<contract::CatalogClass>& classes,
                      const std::string& catalog_class, const std::string& attribute,
                      double value) {
    std::string text = format_trimmed(value, 2);
    for (const contract::CatalogClass& of : classes) {
        const contract::Field* field =
            of.name == catalog_class ? find_field(of.attributes, attribute) : nullptr;
        if (field != nullptr && !field->unit.empty()) text += ' ' + field->unit;
    }
    return text;
}

} // namespace

std::vector<contract::Finding> misspelt_names(const Catalog& catalog,
                                              const std::string& catalog_class,
                                              const std::vector<AttributeMatch>& wanted) {
    std::vector<contract::Finding> findings;
    std::vector<const PriceRow*> rows = catalog.match(catalog_class, {});
    rows.resize(std::min(rows.size(), max_rows_looked_at));
    for (const auto& [attribute, values] : wanted) {
        std::set<std::string> known;
        for (const PriceRow* row : rows) {
            const std::string name = text(catalog.attributes(*row), attribute.c_str());
            if (!name.empty()) known.insert(name);
        }
        const std::vector<std::string> names(known.begin(), known.end());
        for (const Json& value : values) {
            const std::string name = value.is_string() ? value.get<std::string>() : "";
            // A size or a grit next to another is no slip.
            if (name.empty() || (name[0] >= '0' && name[0] <= '9') || known.contains(name))
                continue;
            const std::string near = nearest_name(name, names);
            if (near.empty()) continue;
            findings.push_back({contract::Severity::caution, "name-not-listed", "",
                                "No price list has " + attribute + " '" + name + "' of class " +
                                    catalog_class + "; did you mean '" + near + "'?"});
        }
    }
    return findings;
}

std::string nearest_offer(const Catalog& catalog, const std::string& catalog_class,
                          const std::vector<AttributeMatch>& wanted, Date day,
                          const std::function<bool(std::string_view)>& may_supply,
                          const std::vector<contract::CatalogClass>& classes) {
    for (std::size_t i = 0; i < wanted.size(); ++i) {
        const auto& [attribute, values] = wanted[i];
        if (values.size() != 1 || !values.front().is_number()) continue;
        const double size = values.front().get<double>();
        std::vector<AttributeMatch> others = wanted;
        others.erase(others.begin() + static_cast<std::ptrdiff_t>(i));
        std::vector<const PriceRow*> rows = catalog.match(catalog_class, others);
        rows.resize(std::min(rows.size(), max_rows_looked_at));
        const PriceRow* nearest = nullptr;
        double of_nearest = 0;
        for (const PriceRow* row : rows) {
            const Json attributes = catalog.attributes(*row);
            const auto found = attributes.find(attribute);
            if (found == attributes.end() || !found->is_number() || !may_supply(row->supplier) ||
                catalog.offers_on(day, std::vector<const PriceRow*>{row}).valid.empty())
                continue;
            const double one = found->get<double>();
            // Of two as near the larger: what is too thick can be made thinner.
            const double better =
                nearest == nullptr ? 1 : std::abs(of_nearest - size) - std::abs(one - size);
            if (better > 1e-6 || (better > -1e-6 && one > of_nearest + 1e-6)) {
                nearest = row;
                of_nearest = one;
            }
        }
        if (nearest == nullptr) continue;
        const Supplier* supplier = catalog.supplier(nearest->supplier);
        return "The nearest that is offered has " + attribute + ' ' +
               with_unit(classes, catalog_class, attribute, of_nearest) + ": " +
               std::string(nearest->description) + ", from " +
               (supplier == nullptr ? std::string(nearest->supplier) : supplier->name) + '.';
    }
    return {};
}

} // namespace aumbry
