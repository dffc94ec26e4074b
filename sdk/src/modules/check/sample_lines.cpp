#include "modules/check/sample_lines.hpp"

#include "aumbry/fields.hpp"
#include "aumbry/line_access.hpp"
#include "aumbry/project.hpp"

#include <algorithm>

namespace aumbry {

using contract::Description;
using contract::Field;
using contract::FieldType;
using contract::Line;
using contract::LineKind;

namespace {

constexpr const char* other_line = "other_line";

double least(const Field& field, double span) {
    return field.above_minimum ? *field.minimum + span : *field.minimum;
}

double usual_number(const Field& field) {
    double value = field.type == FieldType::count ? 2 : 1;
    if (field.unit == "mm") value = 400;
    if (field.unit == "min" || field.unit == "deg") value = 30;
    if (field.unit == "kg/m3") value = 650;
    if (field.unit == "N") value = 500;
    if (field.minimum && value <= *field.minimum) value = least(field, 1);
    if (field.maximum && value > *field.maximum) value = *field.maximum;
    return value;
}

Json number_of(const Field& field, double value) {
    return field.type == FieldType::count ? Json(static_cast<std::int64_t>(value)) : Json(value);
}

Json usual_record(std::span<const Field> fields) {
    Json record = Json::object();
    for (const Field& field : fields) record[field.name] = usual_value(field);
    return record;
}

Json min_record(std::span<const Field> fields) {
    Json record = Json::object();
    for (const Field& field : fields) {
        if (field.required || !field.fallback.is_null()) record[field.name] = usual_value(field);
    }
    return record;
}

const contract::CatalogClass* own_class(const Description& module, const std::string& name) {
    const auto found = std::find_if(module.catalog_classes.begin(), module.catalog_classes.end(),
                                    [&](const auto& each) { return each.name == name; });
    return found == module.catalog_classes.end() ? nullptr : &*found;
}

/// Attributes of a class; of one that another module describes nothing but a usual thickness is
/// known.
Json attributes_of(const Description& module, const std::string& name) {
    if (const auto* known = own_class(module, name)) return usual_record(known->attributes);
    return {{"thickness", 18.0}};
}

/// The line that `line` and `lines` fields name: one of the first kind that they allow.
Line line_named(const Description& module, const std::vector<std::string>& kinds) {
    Line line;
    line.id = other_line;
    line.kind = kinds.empty() ? module.line_kinds.front().kind : kinds.front();
    line.title = "Other line";
    for (const LineKind& kind : module.line_kinds) {
        if (kind.kind != line.kind) continue;
        for (const Field& field : kind.fields) {
            if (field.type != FieldType::line && field.type != FieldType::lines)
                line.fields[field.name] = usual_value(field);
        }
        for (const contract::DerivedValue& value : kind.derived) line.derived[value.name] = 1.0;
        return line;
    }
    line.fields = {{"length", 900.0}, {"width", 400.0}, {"thickness", 18.0}};
    line.derived = {{"area", 0.36}, {"edge_length", 2600.0}, {"volume", 0.00648}, {"mass", 4.2}};
    return line;
}

void collect_references(const Description& module, std::span<const Field> fields,
                        std::vector<Line>& references) {
    for (const Field& field : fields) {
        if (field.type == FieldType::line || field.type == FieldType::lines) {
            if (references.empty()) references.push_back(line_named(module, field.kinds));
        }
        collect_references(module, field.fields, references);
    }
}

/// One record for every edge value of every field of it.
std::vector<Json> edge_records(std::span<const Field> fields) {
    std::vector<Json> records{min_record(fields)};
    for (const Field& field : fields) {
        for (const Json& value : edge_values(field)) {
            Json record = usual_record(fields);
            record[field.name] = value;
            records.push_back(std::move(record));
        }
    }
    return records;
}

const Json* value_at(const Line& line, const std::string& path) {
    return find_value(line, path.starts_with("fields.") ? std::string_view(path).substr(7)
                                                        : std::string_view(path));
}

} // namespace

Json usual_value(const Field& field) {
    if (!field.fallback.is_null()) return field.fallback;
    switch (field.type) {
    case FieldType::text:
        return "sample";
    case FieldType::choice:
        return field.choices.empty() ? Json("") : Json(field.choices.front());
    case FieldType::flag:
        return false;
    case FieldType::count:
    case FieldType::number:
    case FieldType::quantity:
        return number_of(field, usual_number(field));
    case FieldType::money:
        return "12.5";
    case FieldType::date:
        return "2027-03-01";
    case FieldType::line:
        return other_line;
    case FieldType::lines:
        return Json::array({other_line});
    case FieldType::texts:
        return Json::array({"sample"});
    case FieldType::record:
        return usual_record(field.fields);
    case FieldType::records:
        return Json::array({usual_record(field.fields)});
    }
    return {};
}

std::vector<Json> edge_values(const Field& field) {
    std::vector<Json> values;
    switch (field.type) {
    case FieldType::text:
        return {""};
    case FieldType::choice:
        return {field.choices.begin(), field.choices.end()};
    case FieldType::flag:
        return {false, true};
    case FieldType::count:
    case FieldType::number:
    case FieldType::quantity:
        if (field.minimum)
            values.push_back(
                number_of(field, least(field, field.type == FieldType::count ? 1 : 0.001)));
        if (field.maximum) values.push_back(number_of(field, *field.maximum));
        return values;
    case FieldType::lines:
    case FieldType::texts:
        return {Json::array()};
    case FieldType::record:
        return edge_records(field.fields);
    case FieldType::records:
        values.push_back(Json::array());
        for (Json& record : edge_records(field.fields))
            values.push_back(Json::array({std::move(record)}));
        return values;
    default:
        return {};
    }
}

std::vector<SampleLine> sample_lines(const Description& module, const LineKind& kind) {
    Line line;
    line.id = "sample_line";
    line.kind = kind.kind;
    line.piece = "sample_piece";
    line.title = "Sample line";
    line.count = 2;
    line.fields = usual_record(kind.fields);
    if (!kind.material_class.empty()) {
        line.material = contract::Material{"sample_material", kind.material_class,
                                           attributes_of(module, kind.material_class)};
    }
    collect_references(module, kind.fields, line.references);

    std::vector<SampleLine> samples{{kind.kind + " with everything", line}};
    Line bare = line;
    bare.fields = min_record(kind.fields);
    bare.title.clear();
    bare.count = 1;
    samples.push_back({kind.kind + " with nothing but what is required", bare});
    if (line.material) {
        Line unspecified = line;
        unspecified.material->attributes = Json::object();
        samples.push_back({kind.kind + " of a material without attributes", unspecified});
        unspecified.material.reset();
        samples.push_back({kind.kind + " without a material", unspecified});
    }
    for (const Field& field : kind.fields) {
        for (const Json& value : edge_values(field)) {
            Line edge = line;
            edge.fields[field.name] = value;
            samples.push_back({kind.kind + " with " + field.name + " = " + value.dump(), edge});
        }
    }
    return samples;
}

bool belongs_to_another_group(const LineKind& kind, Line& line) {
    bool another = false;
    for (const std::string& path : kind.group_by) {
        if (path == "material" && line.material) {
            line.material->id = "other_material";
            another = true;
        }
        if (!path.starts_with("fields.")) continue;
        const Field* field = find_field(kind.fields, path.substr(7));
        if (field == nullptr) continue;
        std::vector<Json> values = edge_values(*field);
        if (field->type == FieldType::text) values = {"other sample"};
        for (const Json& value : values) {
            if (line.fields.contains(field->name) && line.fields[field->name] == value) continue;
            line.fields[field->name] = value;
            another = true;
            break;
        }
    }
    return another;
}

std::string group_name(const LineKind& kind, const Line& line) {
    std::string name;
    for (const std::string& path : kind.group_by) {
        const Json value = path == "material" ? Json(line.material ? line.material->id : "")
                           : value_at(line, path) != nullptr ? *value_at(line, path)
                                                             : Json("");
        const std::string text = value.is_string() ? value.get<std::string>() : value.dump();
        if (!text.empty()) name += (name.empty() ? "" : ", ") + text;
    }
    return name;
}

std::vector<contract::Offer> sample_offers(const Description& module, const LineKind& kind,
                                           const Line& line) {
    std::vector<contract::Offer> offers;
    for (const contract::OfferQuery& query : kind.offers) {
        contract::Offer offer;
        offer.catalog_class = query.catalog_class;
        offer.attributes = attributes_of(module, query.catalog_class);
        for (const contract::Match& match : query.match) {
            if (const Json* value = value_at(line, match.value))
                offer.attributes[match.attribute] = *value;
        }
        offer.id = "first_shop/" + query.catalog_class;
        offer.supplier = "first_shop";
        offer.sku = query.catalog_class;
        offer.price = "10";
        offer.price_unit = "each";
        offers.push_back(offer);
        offer.id = "second_shop/" + query.catalog_class;
        offer.supplier = "second_shop";
        offer.price = "45";
        offer.price_unit = "pack";
        offer.pack = 10;
        offer.limit = 3;
        offers.push_back(offer);
        offer.id = "owned/" + query.catalog_class;
        offer.supplier.clear();
        offer.sku.clear();
        offer.price.clear();
        offer.price_unit.clear();
        offer.pack = 1;
        offer.limit = 1;
        offer.owned = true;
        offers.push_back(offer);
    }
    std::sort(offers.begin(), offers.end(),
              [](const auto& a, const auto& b) { return a.id < b.id; });
    return offers;
}

contract::Settings sample_settings(const Description& module) {
    contract::Settings settings;
    settings.workshop = min_record(workshop_fields());
    settings.module = min_record(module.settings);
    settings.effort = "draft";
    return settings;
}

} // namespace aumbry
