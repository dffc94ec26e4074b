#include "aumbry/catalog_import.hpp"

#include "catalog/mapping_reader.hpp"

#include "aumbry/field_makers.hpp"
#include "aumbry/fields.hpp"
#include "aumbry/quantity.hpp"

#include <algorithm>
#include <array>

namespace aumbry {

using contract::Field;
using contract::FieldType;

namespace {

constexpr std::array<std::string_view, 3> date_orders = {"year-month-day", "day-month-year",
                                                         "month-day-year"};

std::vector<Field> make_mapping_fields() {
    using enum FieldType;
    Field version = field("aumbry_mapping", count, "Version", "version of this document: 1");
    version.required = true;
    version.minimum = version.maximum = 1;
    Field list = field("list", text, "Price list",
                       "name of the price list that is written, such as \"boards.csv\"");
    list.required = true;
    Field header = field("header_row", count, "Header row",
                         "row with the names of the columns, as a spreadsheet counts");
    header.minimum = 1;
    header.maximum = 1000;
    Field separator = field("separator", choice, "Separator", "absent: found from the header");
    separator.choices = {"comma", "semicolon", "tab"};
    Field decimal = field("decimal", choice, "Decimal sign", "of its numbers; absent: point");
    decimal.choices = {"point", "comma"};
    Field dates = field("dates", choice, "Dates", "order of its dates; absent: year-month-day");
    for (const std::string_view order : date_orders) dates.choices.emplace_back(order);
    Field patterns = field("patterns", records, "Patterns",
                           "take a description apart; the first text that fits gives its values");
    patterns.fields = {
        field("column", text, "Column", "the column with the description"),
        field("texts", texts, "Patterns", "such as \"{thickness} {grade} {length}x{width}\"")};
    patterns.fields[0].required = patterns.fields[1].required = true;
    return {version,
            field("note", text, "Note", "anything worth knowing"),
            list,
            field("sheet", text, "Sheet",
                  "of a spreadsheet with several; absent: the first that shows"),
            header,
            separator,
            decimal,
            field("grouping", text, "Grouping", "what sets thousands apart: \".\", \" \" or \"'\""),
            dates,
            field("row_needs", texts, "Row needs",
                  "rows where one of these columns is empty are passed over"),
            patterns};
}

const std::vector<Field>& mapping_fields() {
    static const std::vector<Field> fields = make_mapping_fields();
    return fields;
}

const char* separator_of(const std::string& name) {
    return name == "comma" ? "," : name == "semicolon" ? ";" : name == "tab" ? "\t" : "";
}

std::vector<std::string> fields_of_lists(const std::vector<contract::CatalogClass>& classes) {
    std::vector<std::string> known;
    for (const std::string_view name : common_columns()) known.emplace_back(name);
    for (const contract::CatalogClass& one : classes) {
        for (const Field& attribute : one.attributes) known.push_back(attribute.name);
    }
    return known;
}

bool names(const std::vector<TextPattern>& patterns, const std::string& field) {
    return std::any_of(patterns.begin(), patterns.end(), [&](const TextPattern& pattern) {
        return std::find(pattern.names().begin(), pattern.names().end(), field) !=
               pattern.names().end();
    });
}

/// Whether anything of the mapping gives a field.
bool gives(const Mapping& mapping, const std::string& field) {
    bool given = mapping.constants.contains(field) || mapping.composed.contains(field);
    for (const auto& [column, name] : mapping.columns) given = given || name == field;
    for (const ColumnPatterns& one : mapping.patterns) given = given || names(one.patterns, field);
    if (mapping.spread)
        given = given || mapping.spread->over == field || mapping.spread->gives == field;
    if (mapping.sections) {
        given = given || names(mapping.sections->patterns, field);
        for (const auto& [heading, constants] : mapping.sections->constants)
            given = given || constants.contains(field);
    }
    return given;
}

} // namespace

Mapping read_mapping(std::string_view text, const std::string& file,
                     const std::vector<contract::CatalogClass>& classes) {
    const Json json = parse_json(text, file);
    FaultList faults(file);
    const Json read = read_fields(mapping_fields(), json, "", {}, faults, free_list_keys);
    Mapping mapping;
    mapping.file = file;
    mapping.note = read.value("note", "");
    mapping.list = read.value("list", "");
    mapping.header_row = read.value("header_row", 1);
    mapping.separator = separator_of(read.value("separator", ""));
    mapping.sheet = read.value("sheet", "");
    mapping.decimal_stated = read.contains("decimal");
    mapping.decimal_comma = read.value("decimal", "point") == "comma";
    mapping.grouping = read.value("grouping", "");
    mapping.date_order =
        static_cast<DateOrder>(std::find(date_orders.begin(), date_orders.end(),
                                         read.value("dates", std::string(date_orders[0]))) -
                               date_orders.begin());
    mapping.row_needs = read.value("row_needs", std::vector<std::string>{});
    if (json.is_object()) {
        const MappingReader reader(json, faults, fields_of_lists(classes));
        reader.columns(mapping.columns);
        reader.field_texts("constants", mapping.constants);
        reader.units(mapping.units);
        reader.words(mapping.words);
        reader.remove(mapping.remove);
        reader.patterns(read, mapping.patterns);
        reader.sections(mapping.sections);
        reader.spread(mapping.spread);
        reader.field_texts("composed", mapping.composed);
    }
    const bool plain_name = mapping.list.ends_with(".csv") &&
                            mapping.list.find_first_of("/\\") == std::string::npos &&
                            !mapping.list.starts_with('.');
    if (read.contains("list") && !plain_name)
        faults.add("bad-name", "/list", "'" + mapping.list + "' is no name of a price list",
                   "write a file name that ends in .csv");
    if (mapping.grouping == (mapping.decimal_comma ? "," : ".")) {
        faults.add("bad-grouping", "/grouping", "thousands are set apart by the decimal sign",
                   "name the other sign, or leave grouping out");
    }
    if (faults.empty()) {
        for (const std::string needed : {"sku", "class", "price"}) {
            const bool given = gives(mapping, needed);
            if (!given)
                faults.add("field-without-source", "", "nothing gives the " + needed,
                           "map a column to it, or write it in constants");
        }
    }
    faults.find_places(text);
    faults.throw_if_any();
    return mapping;
}

Json to_json(const Mapping& mapping) {
    Json json = {{"aumbry_mapping", 1}};
    const auto put = [&](const char* key, const auto& value) {
        if (!value.empty()) json[key] = value;
    };
    put("note", mapping.note);
    json["list"] = mapping.list;
    if (mapping.header_row != 1) json["header_row"] = mapping.header_row;
    if (!mapping.separator.empty())
        json["separator"] = mapping.separator == ","   ? "comma"
                            : mapping.separator == ";" ? "semicolon"
                                                       : "tab";
    put("sheet", mapping.sheet);
    if (mapping.decimal_stated || mapping.decimal_comma)
        json["decimal"] = mapping.decimal_comma ? "comma" : "point";
    put("grouping", mapping.grouping);
    if (mapping.date_order != DateOrder::year_month_day)
        json["dates"] = std::string(date_orders[static_cast<std::size_t>(mapping.date_order)]);
    put("row_needs", mapping.row_needs);
    put("columns", mapping.columns);
    put("constants", mapping.constants);
    put("units", mapping.units);
    put("words", mapping.words);
    put("remove", mapping.remove);
    Json patterns = Json::array();
    for (const ColumnPatterns& one : mapping.patterns)
        patterns.push_back({{"column", one.column}, {"texts", one.texts}});
    put("patterns", patterns);
    if (mapping.sections) {
        json["sections"]["column"] = mapping.sections->column;
        if (!mapping.sections->texts.empty()) json["sections"]["texts"] = mapping.sections->texts;
        if (!mapping.sections->constants.empty())
            json["sections"]["constants"] = mapping.sections->constants;
    }
    if (mapping.spread)
        json["spread"] = {{"over", mapping.spread->over},
                          {"gives", mapping.spread->gives},
                          {"columns", mapping.spread->columns}};
    put("composed", mapping.composed);
    return json;
}

Json mapping_schema() {
    Json schema = {{"$schema", "http://json-schema.org/draft-07/schema#"},
                   {"title", "*.mapping.json: how a dealer's spreadsheet becomes a price list"}};
    schema.update(schema_of_fields(mapping_fields()));
    const Json text = {{"type", "string"}};
    const auto map_of = [](const Json& values, const char* help) {
        return Json{{"type", "object"}, {"additionalProperties", values}, {"description", help}};
    };
    Json& properties = schema["properties"];
    properties["columns"] = map_of(text, "their column -> field");
    properties["constants"] =
        map_of(text, "field -> its value where neither a column nor a pattern gives one");
    properties["units"] = map_of(text, "field -> unit of its bare numbers");
    properties["words"] =
        map_of(map_of(text, "their word -> ours"), "field -> words that stand for others");
    const Json texts = {{"type", "array"}, {"items", text}};
    properties["sections"] = {
        {"type", "object"},
        {"required", {"column"}},
        {"additionalProperties", false},
        {"description", "headings that hold for the rows below them"},
        {"properties",
         {{"column", text},
          {"texts", texts},
          {"constants",
           map_of(map_of(text, "field -> its value below that heading"), "heading -> values")}}}};
    properties["spread"] = {
        {"type", "object"},
        {"required", {"over", "gives", "columns"}},
        {"additionalProperties", false},
        {"description", "a row with a value in each of several columns: one row for each"},
        {"properties",
         {{"over", text}, {"gives", text}, {"columns", map_of(text, "their column -> value")}}}};
    properties["composed"] =
        map_of(text, "field -> text in which {name} is a column or field: \"{Item}-{thickness}\"");
    properties["remove"] = map_of({{"type", "array"}, {"items", text}},
                                  "field -> texts taken out of it, such as a currency sign");
    return schema;
}

} // namespace aumbry
