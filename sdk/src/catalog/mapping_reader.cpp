#include "catalog/mapping_reader.hpp"

#include "aumbry/field_makers.hpp"
#include "aumbry/quantity.hpp"

#include <algorithm>
#include <initializer_list>

namespace aumbry {

using contract::Field;
using contract::FieldType;

void MappingReader::check_field(const std::string& name, const std::string& pointer) const {
    if (std::find(known_.begin(), known_.end(), name) != known_.end()) return;
    const std::string near = nearest_name(name, known_);
    faults_.add("unknown-field", pointer, "unknown field '" + name + "'",
                near.empty() ? "write a column of price lists or an attribute of a class"
                             : "did you mean '" + near + "'?");
}

void MappingReader::members(const std::string& key, const Json& in, const std::string& base,
                            const Take& take) const {
    const auto found = in.find(key);
    if (found == in.end()) return;
    const std::string pointer = pointer_to(base, key);
    if (!found->is_object()) {
        faults_.add("wrong-type", pointer, std::string("found ") + found->type_name(),
                    "write an object in { }");
        return;
    }
    for (const auto& [name, value] : found->items()) take(name, value, pointer_to(pointer, name));
}

bool MappingReader::text(const Json& value, const std::string& pointer, std::string& out) const {
    if (!value.is_string()) {
        faults_.add("wrong-type", pointer, std::string("found ") + value.type_name(),
                    "write a text in quotes");
        return false;
    }
    out = value.get<std::string>();
    return true;
}

void MappingReader::field_texts(const std::string& key,
                                std::map<std::string, std::string>& out) const {
    members(key, json_, "",
            [&](const std::string& name, const Json& value, const std::string& pointer) {
                check_field(name, pointer);
                text(value, pointer, out[name]);
            });
}

void MappingReader::columns(std::map<std::string, std::string>& out) const {
    std::map<std::string, std::string> taken;
    members("columns", json_, "",
            [&](const std::string& column, const Json& value, const std::string& pointer) {
                std::string name;
                if (!text(value, pointer, name)) return;
                check_field(name, pointer);
                const auto [at, is_new] = taken.emplace(name, column);
                if (!is_new)
                    faults_.add("field-twice", pointer,
                                "the field '" + name + "' comes from the column '" + at->second +
                                    "' already",
                                "keep one of them");
                out[column] = name;
            });
}

void MappingReader::units(std::map<std::string, std::string>& out) const {
    field_texts("units", out);
    for (const auto& [name, unit] : out) {
        try {
            (void)dimension_of_unit(unit);
        } catch (const FaultError& error) {
            faults_.add_at(error.faults().front(), pointer_to("/units", name));
        }
    }
}

void MappingReader::words(std::map<std::string, std::map<std::string, std::string>>& out) const {
    members("words", json_, "",
            [&](const std::string& name, const Json& value, const std::string& pointer) {
                check_field(name, pointer);
                if (!value.is_object()) {
                    faults_.add("wrong-type", pointer, std::string("found ") + value.type_name(),
                                "write an object of their words and ours");
                    return;
                }
                for (const auto& [theirs, ours] : value.items())
                    text(ours, pointer_to(pointer, theirs), out[name][theirs]);
            });
}

void MappingReader::remove(std::map<std::string, std::vector<std::string>>& out) const {
    members("remove", json_, "",
            [&](const std::string& name, const Json& value, const std::string& pointer) {
                check_field(name, pointer);
                Field list = field("remove", FieldType::texts, "", "");
                if (const auto texts = read_value(list, value, pointer, {}, faults_))
                    out[name] = texts->get<std::vector<std::string>>();
            });
}

void MappingReader::parse_texts(const std::vector<std::string>& texts, const std::string& pointer,
                                std::vector<TextPattern>& out) const {
    for (std::size_t i = 0; i < texts.size(); ++i) {
        const std::string here = pointer + '/' + std::to_string(i);
        try {
            out.push_back(TextPattern::parse(texts[i]));
            for (const std::string& name : out.back().names()) check_field(name, here);
        } catch (const FaultError& error) {
            faults_.add_at(error.faults().front(), here);
        }
    }
}

void MappingReader::patterns(const Json& read, std::vector<ColumnPatterns>& out) const {
    const auto found = read.find("patterns");
    if (found == read.end()) return;
    for (std::size_t i = 0; i < found->size(); ++i) {
        ColumnPatterns one;
        one.column = (*found)[i].value("column", "");
        one.texts = (*found)[i].value("texts", std::vector<std::string>{});
        parse_texts(one.texts, "/patterns/" + std::to_string(i) + "/texts", one.patterns);
        out.push_back(std::move(one));
    }
}

const Json* MappingReader::object(const std::string& key,
                                  std::initializer_list<std::string_view> known) const {
    const auto found = json_.find(key);
    if (found == json_.end()) return nullptr;
    if (!found->is_object()) {
        faults_.add("wrong-type", "/" + key, "found " + in_words(*found), "write an object in { }");
        return nullptr;
    }
    const std::vector<std::string> names(known.begin(), known.end());
    refuse_unknown_keys(*found, names, "/" + key, faults_);
    return &*found;
}

void MappingReader::sections(std::optional<MappingSections>& out) const {
    const Json* given = object("sections", {"column", "texts", "constants"});
    if (given == nullptr) return;
    MappingSections made;
    if (!given->contains("column"))
        faults_.add("missing-key", "/sections", "missing key 'column'",
                    "add it: the column that has the text of headings");
    members("sections", json_, "",
            [&](const std::string& key, const Json& value, const std::string& pointer) {
                if (key == "column") text(value, pointer, made.column);
                if (key == "texts") {
                    const Field list = field("texts", FieldType::texts, "", "");
                    if (const auto texts = read_value(list, value, pointer, {}, faults_))
                        made.texts = texts->get<std::vector<std::string>>();
                }
            });
    parse_texts(made.texts, "/sections/texts", made.patterns);
    members("constants", *given, "/sections",
            [&](const std::string& heading, const Json& value, const std::string& pointer) {
                auto& constants = made.constants[heading];
                if (!value.is_object()) {
                    faults_.add("wrong-type", pointer, "found " + in_words(value),
                                "write an object of fields and texts");
                    return;
                }
                for (const auto& [name, constant] : value.items()) {
                    check_field(name, pointer_to(pointer, name));
                    text(constant, pointer_to(pointer, name), constants[name]);
                }
            });
    out = std::move(made);
}

void MappingReader::spread(std::optional<MappingSpread>& out) const {
    const Json* given = object("spread", {"over", "gives", "columns"});
    if (given == nullptr) return;
    MappingSpread made;
    for (const auto& [key, into] : {std::pair{"over", &made.over}, {"gives", &made.gives}}) {
        if (!given->contains(key)) {
            faults_.add("missing-key", "/spread", std::string("missing key '") + key + "'",
                        "name the field that the columns differ in (over), and the one that their "
                        "cells state (gives)");
        } else if (text((*given)[key], std::string("/spread/") + key, *into)) {
            check_field(*into, std::string("/spread/") + key);
        }
    }
    members("columns", *given, "/spread",
            [&](const std::string& column, const Json& value, const std::string& pointer) {
                text(value, pointer, made.columns[column]);
            });
    if (made.columns.empty())
        faults_.add("missing-key", "/spread", "no columns are named",
                    "write such as \"columns\": { \"12 mm\": \"12 mm\" }");
    out = std::move(made);
}

} // namespace aumbry
