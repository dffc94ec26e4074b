#include "catalog/mapping_reader.hpp"
#include "session/parts_rows.hpp"

#include "aumbry/field_makers.hpp"
#include "aumbry/fields.hpp"

#include <algorithm>

namespace aumbry {

using contract::Field;
using contract::FieldType;

namespace {

std::vector<Field> make_parts_mapping_fields() {
    Field version = required(count_field("aumbry_parts", "Version", "version of this document: 1"));
    version.minimum = version.maximum = 1;
    return {
        version,
        text_field("note", "Note", "anything worth knowing"),
        text_field("list", "List", "name that its lines carry; absent: that of the file"),
        text_field("sheet", "Sheet", "of a spreadsheet with several; absent: the first that shows"),
        at_most(at_least(count_field("header_row", "Header row",
                                     "row with the names of the columns, as a spreadsheet counts"),
                         1),
                1000),
        choice_field("separator", "Separator", {"comma", "semicolon", "tab"},
                     "absent: found from the header"),
        choice_field("decimal", "Decimal sign", {"point", "comma"},
                     "of its numbers; absent: point"),
        text_field("grouping", "Grouping", "what sets thousands apart: \".\", \" \" or \"'\""),
        texts_field("row_needs", "Row needs",
                    "rows where one of these columns is empty are headings, and passed over"),
    };
}

const std::vector<Field>& parts_mapping_fields() {
    static const std::vector<Field> fields = make_parts_mapping_fields();
    return fields;
}

std::string separator_named(const std::string& name) {
    return name == "comma" ? "," : name == "semicolon" ? ";" : name == "tab" ? "\t" : "";
}

} // namespace

PartsMapping read_parts_mapping(std::string_view text, const std::string& file,
                                std::span<const contract::Description> modules) {
    const Json json = parse_json(text, file);
    FaultList faults(file);
    const Json read = read_fields(parts_mapping_fields(), json, "", {}, faults, free_mapping_keys);
    PartsMapping mapping;
    mapping.file = file;
    mapping.note = read.value("note", "");
    mapping.list = read.value("list", "");
    mapping.sheet = read.value("sheet", "");
    mapping.header_row = read.value("header_row", 1);
    mapping.separator = separator_named(read.value("separator", ""));
    mapping.decimal_stated = read.contains("decimal");
    mapping.decimal_comma = read.value("decimal", "point") == "comma";
    mapping.grouping = read.value("grouping", "");
    mapping.row_needs = read.value("row_needs", std::vector<std::string>{});
    if (json.is_object()) {
        const MappingReader reader(json, faults, fields_of_parts(modules));
        reader.columns(mapping.columns);
        reader.field_texts("constants", mapping.constants);
        reader.units(mapping.units);
        reader.words(mapping.words);
        reader.remove(mapping.remove);
    }
    if (mapping.grouping == (mapping.decimal_comma ? "," : "."))
        faults.add("bad-grouping", "/grouping", "thousands are set apart by the decimal sign",
                   "name the other sign, or leave grouping out");
    faults.find_places(text);
    faults.throw_if_any();
    return mapping;
}

Json parts_mapping_schema() {
    Json schema = {{"$schema", "http://json-schema.org/draft-07/schema#"},
                   {"title", "*.parts.json: how a parts list becomes lines of a project"}};
    schema.update(schema_of_fields(parts_mapping_fields()));
    const Json text = {{"type", "string"}};
    const auto map_of = [](const Json& values, const char* help) {
        return Json{{"type", "object"}, {"additionalProperties", values}, {"description", help}};
    };
    Json& properties = schema["properties"];
    properties["columns"] = map_of(text, "their column -> field");
    properties["constants"] = map_of(text, "field -> its value where no column gives one");
    properties["units"] = map_of(text, "field -> unit of its bare numbers");
    properties["words"] =
        map_of(map_of(text, "their word -> ours"), "field -> words that stand for others");
    properties["remove"] =
        map_of({{"type", "array"}, {"items", text}}, "field -> texts taken out of it");
    return schema;
}

} // namespace aumbry
