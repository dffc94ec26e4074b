#include "session/offered.hpp"

#include "app/state.hpp"

#include "aumbry/fields.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>
#include <set>
#include <span>

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

/// The field that a path names ("fields.coats.product"); null when it names none.
const Field* field_at(const contract::LineKind& kind, std::string_view path) {
    constexpr std::string_view fields = "fields.";
    if (!path.starts_with(fields)) return nullptr;
    path.remove_prefix(fields.size());
    std::span<const Field> level = kind.fields;
    for (;;) {
        const std::size_t point = std::min(path.find('.'), path.size());
        const Field* field = find_field(level, path.substr(0, point));
        if (field == nullptr || point == path.size()) return field;
        level = field->fields;
        path.remove_prefix(point + 1);
    }
}

} // namespace

std::vector<const PriceRow*> goods_with(const Knowledge& knowledge,
                                        const contract::CatalogClass& of, const Json& attributes) {
    std::vector<AttributeMatch> wanted;
    for (const Field& field : of.attributes) {
        const Json* value = member_of(&attributes, field.name);
        if (value == nullptr) continue;
        try {
            wanted.emplace_back(field.name,
                                std::vector<Json>{read_cell(field, gui::written(value))});
        } catch (const FaultError&) {
            // A formula is not followed here: it rules nothing out.
        }
    }
    return knowledge.catalog.match(of.name, wanted);
}

std::vector<std::string> offered_values(const Knowledge& knowledge,
                                        const contract::CatalogClass& of, const Json& written_role,
                                        const Field& attribute) {
    Json others = written_role;
    if (others.is_object()) others.erase(attribute.name);
    std::vector<const PriceRow*> rows = goods_with(knowledge, of, others);
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

std::vector<std::string> offered_for_line(const Knowledge& knowledge,
                                          const contract::LineKind& kind, const Json& line,
                                          const Field& field) {
    std::vector<std::string> values;
    for (const contract::OfferQuery& query : kind.offers) {
        const contract::CatalogClass* of = knowledge.catalog_class(query.catalog_class);
        if (of == nullptr) continue;
        const Field* attribute = nullptr;
        Json stated = Json::object(); // what else the line says of the goods
        for (const contract::Match& match : query.match) {
            const Field* of_line = field_at(kind, match.value);
            if (of_line == &field) attribute = find_field(of->attributes, match.attribute);
            if (const Json* value = of_line == nullptr ? nullptr : member_of(&line, of_line->name))
                stated[match.attribute] = *value;
        }
        if (attribute == nullptr) continue;
        for (std::string& each : offered_values(knowledge, *of, stated, *attribute)) {
            if (std::find(values.begin(), values.end(), each) == values.end())
                values.push_back(std::move(each));
        }
    }
    return values;
}

std::string nearest_priced_day(const Knowledge& knowledge, const std::string& day) {
    Date wanted{};
    try {
        wanted = parse_date(day);
    } catch (const FaultError&) {
        return "";
    }
    std::optional<Date> nearest;
    const auto days_from = [&](Date each) { return std::abs((each - wanted).count()); };
    for (const PriceRow& row : knowledge.catalog.rows()) {
        if (row.valid_on(wanted)) return day;
        const Date edge =
            row.valid_from && *row.valid_from > wanted ? *row.valid_from : *row.valid_to;
        if (!nearest || days_from(edge) < days_from(*nearest)) nearest = edge;
    }
    return nearest ? format_date(*nearest) : "";
}

} // namespace aumbry::gui
