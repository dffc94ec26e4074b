#include "aumbry/catalog_import.hpp"

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
constexpr std::array<std::string_view, 5> free_keys = {"columns", "constants", "units", "words",
                                                       "remove"};

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

class MappingReader {
  public:
    MappingReader(const Json& json, FaultList& faults,
                  const std::vector<contract::CatalogClass>& classes)
        : json_(json), faults_(faults) {
        for (const std::string_view name : common_columns()) known_.emplace_back(name);
        for (const contract::CatalogClass& one : classes) {
            for (const Field& attribute : one.attributes) known_.push_back(attribute.name);
        }
    }

    void check_field(const std::string& name, const std::string& pointer) const {
        if (std::find(known_.begin(), known_.end(), name) != known_.end()) return;
        const std::string near = nearest_name(name, known_);
        faults_.add("unknown-field", pointer, "unknown field '" + name + "'",
                    near.empty() ? "write a column of price lists or an attribute of a class"
                                 : "did you mean '" + near + "'?");
    }

    /// Calls `take(key, value, pointer)` for the members of an object.
    template <class Take>
    void members(const std::string& key, const Json& in, const std::string& base,
                 const Take& take) const {
        const auto found = in.find(key);
        if (found == in.end()) return;
        const std::string pointer = pointer_to(base, key);
        if (!found->is_object()) {
            faults_.add("wrong-type", pointer, std::string("found ") + found->type_name(),
                        "write an object in { }");
            return;
        }
        for (const auto& [name, value] : found->items())
            take(name, value, pointer_to(pointer, name));
    }

    bool text(const Json& value, const std::string& pointer, std::string& out) const {
        if (!value.is_string()) {
            faults_.add("wrong-type", pointer, std::string("found ") + value.type_name(),
                        "write a text in quotes");
            return false;
        }
        out = value.get<std::string>();
        return true;
    }

    void field_texts(const std::string& key, std::map<std::string, std::string>& out) const {
        members(key, json_, "",
                [&](const std::string& name, const Json& value, const std::string& pointer) {
                    check_field(name, pointer);
                    text(value, pointer, out[name]);
                });
    }

    void columns(std::map<std::string, std::string>& out) const {
        std::map<std::string, std::string> taken;
        members("columns", json_, "",
                [&](const std::string& column, const Json& value, const std::string& pointer) {
                    std::string name;
                    if (!text(value, pointer, name)) return;
                    check_field(name, pointer);
                    const auto [at, is_new] = taken.emplace(name, column);
                    if (!is_new)
                        faults_.add("field-twice", pointer,
                                    "the field '" + name + "' comes from the column '" +
                                        at->second + "' already",
                                    "keep one of them");
                    out[column] = name;
                });
    }

    void units(std::map<std::string, std::string>& out) const {
        field_texts("units", out);
        for (const auto& [name, unit] : out) {
            try {
                (void)dimension_of_unit(unit);
            } catch (const FaultError& error) {
                faults_.add_at(error.faults().front(), pointer_to("/units", name));
            }
        }
    }

    void words(std::map<std::string, std::map<std::string, std::string>>& out) const {
        members("words", json_, "",
                [&](const std::string& name, const Json& value, const std::string& pointer) {
                    check_field(name, pointer);
                    if (!value.is_object()) {
                        faults_.add("wrong-type", pointer,
                                    std::string("found ") + value.type_name(),
                                    "write an object of their words and ours");
                        return;
                    }
                    for (const auto& [theirs, ours] : value.items())
                        text(ours, pointer_to(pointer, theirs), out[name][theirs]);
                });
    }

    void remove(std::map<std::string, std::vector<std::string>>& out) const {
        members("remove", json_, "",
                [&](const std::string& name, const Json& value, const std::string& pointer) {
                    check_field(name, pointer);
                    Field list = field("remove", FieldType::texts, "", "");
                    if (const auto texts = read_value(list, value, pointer, {}, faults_))
                        out[name] = texts->get<std::vector<std::string>>();
                });
    }

    void patterns(const Json& read, std::vector<ColumnPatterns>& out) const {
        const auto found = read.find("patterns");
        if (found == read.end()) return;
        for (std::size_t i = 0; i < found->size(); ++i) {
            ColumnPatterns one;
            one.column = (*found)[i].value("column", "");
            one.texts = (*found)[i].value("texts", std::vector<std::string>{});
            for (std::size_t p = 0; p < one.texts.size(); ++p) {
                const std::string pointer =
                    "/patterns/" + std::to_string(i) + "/texts/" + std::to_string(p);
                try {
                    one.patterns.push_back(TextPattern::parse(one.texts[p]));
                    for (const std::string& name : one.patterns.back().names())
                        check_field(name, pointer);
                } catch (const FaultError& error) {
                    faults_.add_at(error.faults().front(), pointer);
                }
            }
            out.push_back(std::move(one));
        }
    }

  private:
    const Json& json_;
    FaultList& faults_;
    std::vector<std::string> known_;
};

} // namespace

Mapping read_mapping(std::string_view text, const std::string& file,
                     const std::vector<contract::CatalogClass>& classes) {
    const Json json = parse_json(text, file);
    FaultList faults(file);
    const Json read = read_fields(mapping_fields(), json, "", {}, faults, free_keys);
    Mapping mapping;
    mapping.file = file;
    mapping.note = read.value("note", "");
    mapping.list = read.value("list", "");
    mapping.header_row = read.value("header_row", 1);
    mapping.separator = separator_of(read.value("separator", ""));
    mapping.decimal_comma = read.value("decimal", "point") == "comma";
    mapping.grouping = read.value("grouping", "");
    mapping.date_order =
        static_cast<DateOrder>(std::find(date_orders.begin(), date_orders.end(),
                                         read.value("dates", std::string(date_orders[0]))) -
                               date_orders.begin());
    mapping.row_needs = read.value("row_needs", std::vector<std::string>{});
    if (json.is_object()) {
        const MappingReader reader(json, faults, classes);
        reader.columns(mapping.columns);
        reader.field_texts("constants", mapping.constants);
        reader.units(mapping.units);
        reader.words(mapping.words);
        reader.remove(mapping.remove);
        reader.patterns(read, mapping.patterns);
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
            bool given = mapping.constants.contains(needed);
            for (const auto& [column, name] : mapping.columns) given = given || name == needed;
            for (const ColumnPatterns& one : mapping.patterns) {
                for (const TextPattern& pattern : one.patterns)
                    given = given || std::find(pattern.names().begin(), pattern.names().end(),
                                               needed) != pattern.names().end();
            }
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
    if (mapping.decimal_comma) json["decimal"] = "comma";
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
    properties["remove"] = map_of({{"type", "array"}, {"items", text}},
                                  "field -> texts taken out of it, such as a currency sign");
    return schema;
}

} // namespace aumbry
