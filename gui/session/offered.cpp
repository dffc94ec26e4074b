#include "session/offered.hpp"

#include "app/state.hpp"

#include "aumbry/fields.hpp"
#include "aumbry/rounding.hpp"

#include <set>

namespace aumbry::gui {

using contract::Field;
using contract::FieldType;

namespace {

std::string as_people_write(const Field& field, const Json& value) {
    if (value.is_string()) return value.get<std::string>();
    if (!value.is_number()) return "";
    return format_trimmed(value.get<double>(), 4) + (field.unit.empty() ? "" : " " + field.unit);
}

/// In the order of numbers first, then of letters.
struct Entry {
    double number = 0;
    std::string text;
    bool operator<(const Entry& other) const {
        return std::tie(number, text) < std::tie(other.number, other.text);
    }
};

} // namespace

std::vector<std::string> offered_values(const Knowledge& knowledge,
                                        const contract::CatalogClass& of, const Json& written_role,
                                        const Field& attribute) {
    std::vector<AttributeMatch> wanted;
    for (const Field& field : of.attributes) {
        const Json* value = member_of(&written_role, field.name);
        if (field.name == attribute.name || value == nullptr) continue;
        try {
            wanted.emplace_back(field.name,
                                std::vector<Json>{read_cell(field, gui::written(value))});
        } catch (const FaultError&) {
            // A formula is not followed here: it rules nothing out.
        }
    }
    std::vector<const PriceRow*> rows = knowledge.catalog.match(of.name, wanted);
    if (rows.empty()) rows = knowledge.catalog.match(of.name, {});
    std::set<Entry> values;
    for (const PriceRow* row : rows) {
        const Json attributes = knowledge.catalog.attributes(*row);
        const Json* value = member_of(&attributes, attribute.name);
        if (value == nullptr) continue;
        std::string text = as_people_write(attribute, *value);
        if (!text.empty())
            values.insert({value->is_number() ? value->get<double>() : 0, std::move(text)});
    }
    std::vector<std::string> texts;
    for (const Entry& entry : values) texts.push_back(entry.text);
    return texts;
}

} // namespace aumbry::gui
