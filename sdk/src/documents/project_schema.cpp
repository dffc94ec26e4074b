// The published schema of the project document.
#include "aumbry/project.hpp"

namespace aumbry {

using contract::Field;

Json project_schema(std::span<const contract::Description> modules) {
    const auto keyed = [](Json item) {
        return Json{{"type", "object"}, {"additionalProperties", std::move(item)}};
    };
    const Json value = {{"type", Json::array({"string", "number"})}};

    Json line_rules = Json::array();
    Json kinds = Json::array();
    for (const contract::Description& module : modules) {
        for (const contract::LineKind& kind : module.line_kinds) {
            std::vector<Field> fields(common_line_fields().begin(), common_line_fields().end());
            fields.insert(fields.end(), kind.fields.begin(), kind.fields.end());
            line_rules.push_back({{"if", {{"properties", {{"kind", {{"const", kind.kind}}}}}}},
                                  {"then", schema_of_fields(fields)}});
            kinds.push_back(kind.kind);
        }
    }
    Json line = {{"type", "object"},
                 {"required", Json::array({"kind"})},
                 {"properties", {{"kind", {{"type", "string"}}}}}};
    line["allOf"] = line_rules;

    Json settings = Json::object();
    for (const contract::Description& module : modules)
        settings[module.id] = schema_of_fields(module.settings);

    Json properties = Json::object();
    properties["aumbry"] = {{"const", project_version}};
    properties["title"] = {{"type", "string"}, {"minLength", 1}};
    properties["note"] = {{"type", "string"}};
    properties["currency"] = {{"type", "string"}, {"pattern", "^[A-Z]{3}$"}};
    properties["length_unit"] = {{"enum", Json::array({"mm", "in"})}};
    properties["priced_on"] = {{"type", "string"}, {"pattern", "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"}};
    properties["start"] = properties["priced_on"];
    properties["orders_from"] = properties["priced_on"];
    properties["wanted_by"] = properties["priced_on"];
    properties["site"] = schema_of_fields(site_fields());
    properties["suppliers"] = schema_of_fields(supplier_wish_fields());
    properties["pricing"] = schema_of_fields(pricing_fields());
    properties["people"] = keyed(schema_of_fields(person_fields()));
    properties["workshop"] = schema_of_fields(workshop_fields());
    properties["vehicle"] = schema_of_fields(vehicle_fields());
    properties["settings"] = {{"type", "object"}, {"properties", settings}};
    properties["times"] = {{"type", "string"}};
    properties["parameters"] = keyed(value);
    properties["materials"] = keyed({{"type", "object"}, {"required", Json::array({"class"})}});
    properties["pieces"] = keyed(schema_of_fields(piece_fields()));
    properties["lines"] = keyed(line);
    properties["owned"] = keyed({{"type", "object"}, {"required", Json::array({"class"})}});
    properties["tasks"] = keyed(schema_of_fields(task_fields()));
    properties["checks"] = keyed(schema_of_fields(check_fields()));
    properties["stock"] = {{"type", "array"}, {"items", {{"type", "string"}}}};
    properties["bought"] = keyed(schema_of_fields(bought_fields()));
    properties["as_bought"] =
        keyed({{"type", "object"}, {"required", Json::array({"shares", "way"})}});
    properties["worked"] = keyed(schema_of_fields(worked_fields()));
    properties["maker"] = schema_of_fields(party_fields());
    properties["client"] = schema_of_fields(party_fields());
    properties["quote"] = schema_of_fields(quote_fields());
    properties["alternatives"] =
        keyed({{"type", "object"},
               {"required", Json::array({"changes"})},
               {"properties", {{"title", {{"type", "string"}}}, {"changes", {{"type", "object"}}}}},
               {"additionalProperties", false}});
    Json required_keys = Json::array({"aumbry", "title", "currency", "priced_on", "start"});
    return {{"$schema", "http://json-schema.org/draft-07/schema#"},
            {"title", "Aumbry project"},
            {"type", "object"},
            {"required", required_keys},
            {"properties", properties},
            {"patternProperties", {{"^x-", Json::object()}}},
            {"additionalProperties", false}};
}

} // namespace aumbry
