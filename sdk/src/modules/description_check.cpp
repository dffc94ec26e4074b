#include "modules/description_check.hpp"

#include "values/excerpt.hpp"

#include "modules/check/sample_lines.hpp"

#include "aumbry/fields.hpp"
#include "aumbry/plugin.h"
#include "aumbry/project.hpp"

#include <algorithm>
#include <functional>
#include <set>

namespace aumbry {

using contract::Description;
using contract::Field;
using contract::FieldType;
using contract::LineKind;

namespace {

bool is_snake_case(const std::string& name) {
    const auto sound = [](char c) {
        return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '_';
    };
    return !name.empty() && name.front() >= 'a' && name.front() <= 'z' &&
           std::all_of(name.begin(), name.end(), sound);
}

bool is_known_unit(const std::string& unit) {
    const auto units = contract_units();
    return unit.empty() || std::any_of(units.begin(), units.end(),
                                       [&](const UnitSpec& each) { return each.name == unit; });
}

bool is_number(FieldType type) {
    return type == FieldType::count || type == FieldType::number || type == FieldType::quantity;
}

/// The first fault that `check` finds in any field of a description, with where it stands.
std::string first_fault(const Description& description,
                        const std::function<std::string(const Field&)>& check) {
    std::function<std::string(std::span<const Field>, const std::string&)> walk =
        [&](std::span<const Field> fields, const std::string& where) -> std::string {
        for (const Field& field : fields) {
            const std::string here = where + '.' + field.name;
            if (std::string fault = check(field); !fault.empty())
                return "field " + in_quotes(here) + ' ' + fault;
            if (std::string fault = walk(field.fields, here); !fault.empty()) return fault;
        }
        return {};
    };
    for (const LineKind& kind : description.line_kinds) {
        if (std::string fault = walk(kind.fields, kind.kind); !fault.empty()) return fault;
    }
    for (const contract::CatalogClass& each : description.catalog_classes) {
        if (std::string fault = walk(each.attributes, each.name); !fault.empty()) return fault;
    }
    return walk(description.settings, "settings");
}

std::string fault_of_value(const Field& field, const Json& value) {
    if (is_number(field.type)) {
        if (!value.is_number()) return "is no number";
        const double number = value.get<double>();
        if (field.minimum &&
            (number < *field.minimum || (field.above_minimum && number <= *field.minimum)))
            return "is below its minimum";
        if (field.maximum && number > *field.maximum) return "is above its maximum";
        if (field.type == FieldType::count && !value.is_number_integer())
            return "is no whole number";
        return {};
    }
    switch (field.type) {
    case FieldType::choice:
        return std::find(field.choices.begin(), field.choices.end(), value) == field.choices.end()
                   ? "is none of its choices"
                   : "";
    case FieldType::flag:
        return value.is_boolean() ? "" : "is neither true nor false";
    case FieldType::lines:
    case FieldType::texts:
    case FieldType::records:
        return value.is_array() ? "" : "is no list";
    case FieldType::record:
        return value.is_object() ? "" : "is no object";
    default:
        return value.is_string() ? "" : "is no text";
    }
}

std::string fault_of_field(const Field& field) {
    if (!is_snake_case(field.name)) return "is not written in snake_case";
    if (field.title.empty() || field.help.empty())
        return "has no title or no help: forms and manuals need both";
    if (field.type == FieldType::quantity && field.unit.empty())
        return "is a quantity without a unit";
    if (field.type != FieldType::quantity && !field.unit.empty())
        return "has a unit but is no quantity";
    if (!is_known_unit(field.unit))
        return "has the unit " + in_quotes(field.unit) + ", which is none of the contract's";
    if ((field.type == FieldType::choice) == field.choices.empty())
        return field.choices.empty() ? "is a choice without choices"
                                     : "has choices but is no choice";
    if (std::set<std::string>(field.choices.begin(), field.choices.end()).size() !=
        field.choices.size())
        return "has a choice twice";
    if ((field.minimum || field.maximum) && !is_number(field.type) &&
        field.type != FieldType::money)
        return "has a range but is no number";
    if (field.minimum && field.maximum &&
        (*field.minimum > *field.maximum ||
         (field.above_minimum && *field.minimum == *field.maximum)))
        return "has a minimum above its maximum";
    if ((field.type == FieldType::record || field.type == FieldType::records) ==
        field.fields.empty())
        return field.fields.empty() ? "is a record without fields" : "has fields but is no record";
    if (field.required && !field.fallback.is_null())
        return "is required and has a default: one of the two is never used";
    if (!field.fallback.is_null()) {
        if (std::string fault = fault_of_value(field, field.fallback); !fault.empty())
            return "has a default that " + fault;
    }
    return {};
}

/// As a person would write a value of contract form.
Json written(const Field& field, double value) {
    if (field.unit.empty()) return value;
    return format_trimmed(value, 9) + ' ' + field.unit;
}

std::string fault_of_reading_field(const Field& field) {
    const auto code = [&](const Json& in) {
        FaultList faults({});
        (void)read_value(field, in, "", {}, faults);
        return faults.empty() ? std::string() : faults.faults().front().code;
    };
    const auto refuses = [&](const Json& in, const char* with) { return code(in) == with; };
    if (is_number(field.type)) {
        const double step = field.type == FieldType::count ? 1 : 0.001;
        for (const Json& value : edge_values(field)) {
            if (!code(written(field, value.get<double>())).empty())
                return "does not take " + value.dump() + ", which its range allows";
        }
        if (field.minimum && !refuses(written(field, *field.minimum - step), "too-small"))
            return "takes less than its minimum";
        if (field.maximum && !refuses(written(field, *field.maximum + step), "too-large"))
            return "takes more than its maximum";
        if (field.type == FieldType::quantity && !refuses(1, "missing-unit"))
            return "takes a number without unit";
        if (!refuses(true, "wrong-type")) return "takes true for a number";
    }
    if (field.type == FieldType::choice) {
        for (const std::string& choice : field.choices) {
            if (!code(choice).empty()) return "does not take its choice " + in_quotes(choice);
        }
        if (!refuses("none of these", "unknown-choice")) return "takes what is none of its choices";
    }
    if (!refuses(nullptr, "null-value")) return "takes null";
    return {};
}

std::string twice(const std::vector<std::string>& names, const std::string& what) {
    std::set<std::string> seen;
    for (const std::string& name : names) {
        if (!seen.insert(name).second) return what + ' ' + in_quotes(name) + " is described twice";
    }
    return {};
}

template <class Items, class Name>
std::vector<std::string> names_of(const Items& items, Name name) {
    std::vector<std::string> names;
    for (const auto& item : items) names.push_back(item.*name);
    return names;
}

/// Whether a path of group_by or match leads to something that lines of the kind have.
bool leads_somewhere(const Description& description, const LineKind& kind,
                     const std::string& path) {
    if (path == "material") return !kind.material_class.empty();
    if (path.starts_with("material.")) {
        if (kind.material_class.empty()) return false;
        for (const contract::CatalogClass& each : description.catalog_classes) {
            if (each.name == kind.material_class)
                return find_field(each.attributes, path.substr(9)) != nullptr;
        }
        return true; // a class that another module describes
    }
    if (path.starts_with("derived.")) {
        return std::any_of(kind.derived.begin(), kind.derived.end(),
                           [&](const auto& each) { return each.name == path.substr(8); });
    }
    if (!path.starts_with("fields.")) return false;
    std::span<const Field> fields = kind.fields;
    for (std::size_t start = 7; start <= path.size();) {
        const std::size_t end = std::min(path.find('.', start), path.size());
        const Field* field = find_field(fields, path.substr(start, end - start));
        if (field == nullptr) return false;
        fields = field->fields;
        start = end + 1;
    }
    return true;
}

} // namespace

std::string fault_of_description(const Description& description,
                                 const aumbry_module_functions& functions, const KindTable& homes) {
    std::string fault = fault_of_contract(description, functions);
    if (fault.empty()) fault = fault_of_kind_names(description, homes);
    for (const auto check :
         {fault_of_names, fault_of_fields, fault_of_references, fault_of_reading}) {
        if (fault.empty()) fault = check(description);
    }
    return fault;
}

std::string fault_of_contract(const Description& description,
                              const aumbry_module_functions& functions) {
    const std::string spoken =
        std::to_string(functions.contract_major) + '.' + std::to_string(functions.contract_minor);
    if (description.contract == spoken) return {};
    return "the description names the contract " + in_quotes(description.contract) +
           ", the table of functions " + in_quotes(spoken);
}

std::string fault_of_names(const Description& description) {
    if (!is_snake_case(description.id))
        return "the id " + in_quotes(description.id) + " is not written in snake_case";
    if (description.title.empty() || description.version.empty())
        return "the module has no title or no version";
    for (const LineKind& kind : description.line_kinds) {
        if (kind.title.empty()) return "the line kind " + in_quotes(kind.kind) + " has no title";
        std::vector<std::string> names = names_of(kind.fields, &Field::name);
        for (const Field& common : common_line_fields()) names.push_back(common.name);
        for (const contract::DerivedValue& value : kind.derived) {
            if (!is_snake_case(value.name))
                return "the derived value " + in_quotes(value.name) + " of " +
                       in_quotes(kind.kind) + " is not written in snake_case";
            // A derived value may stand in for a field that a line leaves out: the same thing, in
            // the same unit.
            const Field* field = find_field(kind.fields, value.name);
            if (field == nullptr)
                names.push_back(value.name);
            else if (field->unit != value.unit)
                return "in kind " + in_quotes(kind.kind) + ", the name " + in_quotes(value.name) +
                       " is a field in one unit and a derived value in another";
        }
        if (std::string fault = twice(names, "in kind " + in_quotes(kind.kind) + ", the name");
            !fault.empty())
            return fault;
    }
    if (std::string fault =
            twice(names_of(description.line_kinds, &LineKind::kind), "the line kind");
        !fault.empty())
        return fault;
    if (std::string fault = twice(names_of(description.settings, &Field::name), "the setting");
        !fault.empty())
        return fault;
    for (const contract::CatalogClass& each : description.catalog_classes) {
        if (!is_snake_case(each.name))
            return "the catalog class " + in_quotes(each.name) + " is not written in snake_case";
        if (each.title.empty())
            return "the catalog class " + in_quotes(each.name) + " has no title";
        if (std::string fault = twice(names_of(each.attributes, &Field::name),
                                      "in class " + in_quotes(each.name) + ", the attribute");
            !fault.empty())
            return fault;
    }
    return twice(names_of(description.catalog_classes, &contract::CatalogClass::name),
                 "the catalog class");
}

std::string fault_of_kind_names(const Description& description, const KindTable& homes) {
    for (const LineKind& kind : description.line_kinds) {
        const std::string last = kind.kind.substr(kind.kind.find('.') + 1);
        if (home_of_kind(homes, kind.kind) != description.id || !is_snake_case(last)) {
            return "the line kind " + in_quotes(kind.kind) + " should be called " +
                   in_quotes(description.id + ".kind") + ", in snake_case";
        }
    }
    return {};
}

std::string fault_of_fields(const Description& description) {
    return first_fault(description, fault_of_field);
}

std::string fault_of_references(const Description& description) {
    for (const LineKind& kind : description.line_kinds) {
        for (const std::string& path : kind.group_by) {
            if (!leads_somewhere(description, kind, path))
                return "kind " + in_quotes(kind.kind) + " groups by " + in_quotes(path) +
                       ", which its lines do not have";
        }
        for (const contract::DerivedValue& value : kind.derived) {
            if (!is_known_unit(value.unit))
                return "the derived value " + in_quotes(value.name) + " has the unit " +
                       in_quotes(value.unit) + ", which is none of the contract's";
        }
        for (const contract::OfferQuery& query : kind.offers) {
            for (const contract::Match& match : query.match) {
                if (!leads_somewhere(description, kind, match.value))
                    return "kind " + in_quotes(kind.kind) + " matches offers by " +
                           in_quotes(match.value) + ", which its lines do not have";
                for (const contract::CatalogClass& each : description.catalog_classes) {
                    if (each.name == query.catalog_class &&
                        find_field(each.attributes, match.attribute) == nullptr) {
                        return "kind " + in_quotes(kind.kind) + " matches offers of class " +
                               in_quotes(each.name) + " by " + in_quotes(match.attribute) +
                               ", which the class does not have";
                    }
                }
            }
        }
    }
    if (std::find(description.after.begin(), description.after.end(), description.id) !=
        description.after.end())
        return "the module comes after itself";
    return {};
}

std::string fault_of_reading(const Description& description) {
    return first_fault(description, fault_of_reading_field);
}

} // namespace aumbry
