#include "aumbry/fields.hpp"

#include "documents/places.hpp"

#include "aumbry/date.hpp"
#include "aumbry/money.hpp"
#include "aumbry/short_form.hpp"

#include <algorithm>
#include <cmath>
#include <cstdlib>

namespace aumbry {

using contract::Field;
using contract::FieldType;

void FaultList::find_places(std::string_view text,
                            const std::function<std::string(const std::string&)>& origin) {
    if (faults_.empty()) return;
    const PlaceIndex places(text);
    for (Fault& fault : faults_) {
        if (fault.place.line > 0) continue;
        if (origin) fault.place.pointer = origin(fault.place.pointer);
        const auto position = places.nearest(fault.place.pointer);
        if (!position) continue;
        fault.place.line = position->line;
        fault.place.column = position->column;
    }
}

void FaultList::throw_if_any() const {
    if (!faults_.empty()) throw FaultError(faults_);
}

namespace {

std::string joined(const std::vector<std::string>& names) {
    std::string text;
    for (const std::string& name : names) text += (text.empty() ? "" : ", ") + name;
    return text;
}

std::string printed(double value, const std::string& unit) {
    // Beyond what a double holds in whole numbers, a row of digits says less than the exponent.
    const std::string number =
        std::abs(value) < 1e15 ? format_trimmed(value, 6) : Json(value).dump();
    return number + (unit.empty() ? "" : " " + unit);
}

/// An example of a value for the sentence that says what would be right.
std::string example(const Field& field) {
    if (field.unit == "mm") return "'280 mm' or '11 in'";
    if (field.unit == "min") return "'30 min' or '2 h'";
    return "'12 " + field.unit + "'";
}

std::string with_article(const std::string& name) {
    return (name.starts_with('a') ? "an " : "a ") + name;
}

std::string expected_kind(const Field& field) {
    if (field.type == FieldType::count) return "a whole number";
    return field.unit.empty() ? "a number"
                              : with_article(dimension_name(dimension_of_unit(field.unit)));
}

[[noreturn]] void wrong_type(const Json& in, const std::string& right) {
    fail("wrong-type", {}, "found " + in_words(in), right);
}

void check_range(const Field& field, double value) {
    if (field.minimum &&
        (value < *field.minimum || (field.above_minimum && value <= *field.minimum))) {
        fail("too-small", {}, printed(value, field.unit) + " is too small",
             std::string("write ") + (field.above_minimum ? "more than " : "at least ") +
                 printed(*field.minimum, field.unit));
    }
    if (field.maximum && value > *field.maximum) {
        fail("too-large", {}, printed(value, field.unit) + " is too large",
             "write at most " + printed(*field.maximum, field.unit));
    }
}

/// A number from a JSON number or a formula.
double read_number(const Field& field, const Json& in, const FieldContext& context,
                   std::string_view default_unit) {
    Quantity quantity;
    if (in.is_number()) {
        const double value = in.get<double>();
        quantity = default_unit.empty() ? Quantity(value) : from_unit(value, default_unit);
        if (!field.unit.empty() && quantity.dimension == Dimension{} && value != 0) {
            fail("missing-unit", {},
                 in_words(in) + " has no unit where " + expected_kind(field) + " is expected",
                 "write the unit, as in " + example(field));
        }
        if (!field.unit.empty() && value == 0) quantity = from_unit(0, field.unit);
    } else if (in.is_string()) {
        const Formula formula = Formula::parse(in.get_ref<const std::string&>());
        quantity = formula.evaluate([&](std::string_view name) {
            if (!context.lookup)
                fail("unknown-name", {}, "the name '" + std::string(name) + "' means nothing here",
                     "write a value with its unit");
            return context.lookup(name);
        });
        if (!default_unit.empty() && quantity.dimension == Dimension{})
            quantity = from_unit(quantity.value, default_unit);
    } else {
        wrong_type(in, "write " + expected_kind(field) +
                           (field.unit.empty() ? "" : ", as in " + example(field)));
    }
    if (!field.unit.empty() && quantity.dimension == Dimension{} && quantity.value == 0)
        quantity = from_unit(0, field.unit);
    if (quantity.dimension != dimension_of_unit(field.unit)) {
        if (quantity.dimension == Dimension{}) {
            fail("missing-unit", {},
                 (in.is_string() ? '\'' + in.get<std::string>() + '\'' : in_words(in)) +
                     " has no unit where " + expected_kind(field) + " is expected",
                 "write the unit, as in " + example(field));
        }
        fail("dimension-clash", {},
             "found " + with_article(dimension_name(quantity.dimension)) + " where " +
                 expected_kind(field) + " is expected",
             "write " + expected_kind(field) +
                 (field.unit.empty() ? " without unit" : ", as in " + example(field)));
    }
    // Nine decimals of the contract unit: far below what can be made, and equal on every machine.
    const double value =
        round_to(field.unit.empty() ? quantity.value : in_unit(quantity, field.unit), 9);
    if (!std::isfinite(value))
        fail("not-finite", {}, "the value is not finite", "check the formula");
    check_range(field, value);
    return value;
}

Json read_scalar(const Field& field, const Json& in, const FieldContext& context,
                 std::string_view default_unit) {
    switch (field.type) {
    case FieldType::text:
        if (!in.is_string()) wrong_type(in, "write a text in quotes");
        return in;
    case FieldType::choice: {
        if (!in.is_string()) wrong_type(in, "write one of " + joined(field.choices));
        const std::string& value = in.get_ref<const std::string&>();
        if (std::find(field.choices.begin(), field.choices.end(), value) == field.choices.end()) {
            const std::string near = nearest_name(value, field.choices);
            fail("unknown-choice", {}, "unknown value '" + value + "'",
                 near.empty() ? "write one of " + joined(field.choices)
                              : "did you mean '" + near + "'?");
        }
        return in;
    }
    case FieldType::flag:
        if (!in.is_boolean()) wrong_type(in, "write true or false");
        return in;
    case FieldType::count: {
        const double value = read_number(field, in, context, default_unit);
        if (value != std::floor(value))
            fail("not-whole", {}, printed(value, "") + " is not a whole number",
                 "write a whole number");
        if (std::abs(value) > 9e15)
            fail("too-large", {}, printed(value, "") + " is too large",
                 "write a number that can be counted");
        return static_cast<std::int64_t>(value);
    }
    case FieldType::number:
    case FieldType::quantity:
        return read_number(field, in, context, default_unit);
    case FieldType::money: {
        if (!in.is_string()) wrong_type(in, "write an amount as text, as in \"12.50\"");
        const Decimal amount = Decimal::parse(in.get_ref<const std::string&>());
        check_range(field, amount.to_double());
        if (std::abs(amount.to_double()) > highest_price)
            fail("too-large", {}, amount.str() + " is too large",
                 "write an amount of at most " + printed(highest_price, ""));
        return amount.str();
    }
    case FieldType::date:
        if (!in.is_string()) wrong_type(in, "write a date as \"2027-03-01\"");
        return format_date(parse_date(in.get_ref<const std::string&>()));
    default:
        fail("wrong-type", {}, "the field '" + field.name + "' is no single value",
             "leave the cell empty");
    }
}

/// Runs a reading that may throw, filing its faults at the pointer.
template <class Read>
std::optional<Json> guarded(const std::string& pointer, FaultList& faults, const Read& reading) {
    try {
        return reading();
    } catch (const FaultError& error) {
        for (const Fault& fault : error.faults()) faults.add_at(fault, pointer);
        return std::nullopt;
    }
}

/// A word where a record is wanted, as that record: `{ "treatment": "banded" }`; empty when no
/// field of it knows the word.
std::string as_record(const Field& field, const Json& in) {
    if (!in.is_string()) return {};
    for (const Field& inner : field.fields) {
        if (std::find(inner.choices.begin(), inner.choices.end(), in.get<std::string>()) !=
            inner.choices.end())
            return "{ " + Json(inner.name).dump() + ": " + in.dump() + " }";
    }
    return {};
}

std::vector<std::string> expand(const Field& field, const Json& entry,
                                const FieldContext& context) {
    if (!entry.is_string()) wrong_type(entry, "write the id of a line in quotes");
    const std::string& id = entry.get_ref<const std::string&>();
    return context.expand_lines ? context.expand_lines(field, id) : std::vector<std::string>{id};
}

/// A record in { } or in its short form.
std::optional<Json> read_record(const Field& field, const Json& in, const std::string& pointer,
                                const FieldContext& context, FaultList& faults) {
    const std::size_t before = faults.size();
    if (in.is_string() && has_short_form(field)) {
        const auto record = guarded(pointer, faults, [&] {
            return from_short_form(field, in.get_ref<const std::string&>());
        });
        return record ? std::optional(read_fields(field.fields, *record, pointer, context, faults))
                      : std::nullopt;
    }
    if (const std::string right = as_record(field, in); !right.empty()) {
        faults.add("wrong-type", pointer, "found " + in_words(in), "write " + right);
        return std::nullopt;
    }
    Json out = read_fields(field.fields, in, pointer, context, faults);
    if (faults.size() != before) return std::nullopt;
    return out;
}

} // namespace

std::optional<Json> read_value(const Field& field, const Json& in, const std::string& pointer,
                               const FieldContext& context, FaultList& faults) {
    if (in.is_null()) {
        faults.add("null-value", pointer, "null is no value", "write a value or leave the key out");
        return std::nullopt;
    }
    const auto list_of = [&](const char* what) {
        if (in.is_array()) return true;
        faults.add("wrong-type", pointer, "found " + in_words(in),
                   std::string("write a list of ") + what + " in [ ]");
        return false;
    };
    switch (field.type) {
    case FieldType::line:
        return guarded(pointer, faults, [&]() -> Json {
            const std::vector<std::string> ids = expand(field, in, context);
            if (ids.size() != 1)
                fail("wrong-type", {},
                     "one line is expected, '" + in.get<std::string>() + "' names " +
                         std::to_string(ids.size()),
                     "name one line");
            return ids.front();
        });
    case FieldType::lines: {
        if (!list_of("line ids")) return std::nullopt;
        Json out = Json::array();
        bool sound = true;
        for (std::size_t i = 0; i < in.size(); ++i) {
            const auto ids = guarded(pointer + '/' + std::to_string(i), faults,
                                     [&]() -> Json { return expand(field, in[i], context); });
            sound = sound && ids;
            if (!ids) continue;
            for (const Json& id : *ids) {
                if (std::find(out.begin(), out.end(), id) == out.end()) out.push_back(id);
            }
        }
        if (!sound) return std::nullopt;
        return out;
    }
    case FieldType::texts: {
        if (!list_of("texts")) return std::nullopt;
        bool sound = true;
        for (std::size_t i = 0; i < in.size(); ++i) {
            if (in[i].is_string()) continue;
            faults.add("wrong-type", pointer + '/' + std::to_string(i), "found " + in_words(in[i]),
                       "write a text in quotes");
            sound = false;
        }
        if (!sound) return std::nullopt;
        return in;
    }
    case FieldType::record:
        return read_record(field, in, pointer, context, faults);
    case FieldType::records: {
        if (!list_of("objects")) return std::nullopt;
        const std::size_t before = faults.size();
        Json out = Json::array();
        for (std::size_t i = 0; i < in.size(); ++i) {
            out.push_back(read_fields(field.fields, in[i], pointer + '/' + std::to_string(i),
                                      context, faults));
        }
        if (faults.size() != before) return std::nullopt;
        return out;
    }
    default:
        return guarded(pointer, faults, [&] { return read_scalar(field, in, context, {}); });
    }
}

void refuse_unknown_keys(const Json& in, std::span<const std::string> known,
                         const std::string& pointer, FaultList& faults) {
    for (const auto& [key, value] : in.items()) {
        if (key.starts_with("x-") || std::find(known.begin(), known.end(), key) != known.end())
            continue;
        const std::vector<std::string> candidates(known.begin(), known.end());
        const std::string near = nearest_name(key, candidates);
        faults.add("unknown-key", pointer_to(pointer, key), "unknown key '" + key + "'",
                   near.empty() ? "known here: " + joined(candidates)
                                : "did you mean '" + near + "'?");
    }
}

Json read_fields(std::span<const Field> fields, const Json& in, const std::string& pointer,
                 const FieldContext& context, FaultList& faults,
                 std::span<const std::string_view> also_known) {
    Json out = Json::object();
    if (!in.is_object()) {
        faults.add("wrong-type", pointer, "found " + in_words(in), "write an object in { }");
        return out;
    }
    std::vector<std::string> known;
    known.reserve(fields.size() + also_known.size());
    for (const Field& field : fields) known.push_back(field.name);
    for (const std::string_view name : also_known) known.emplace_back(name);
    refuse_unknown_keys(in, known, pointer, faults);
    for (const Field& field : fields) {
        const auto found = in.find(field.name);
        if (found == in.end()) {
            if (field.required) {
                faults.add("missing-key", pointer, "missing key '" + field.name + "'",
                           field.help.empty() ? std::string() : "add it: " + field.help);
            } else if (!field.fallback.is_null()) {
                out[field.name] = field.fallback;
            }
            continue;
        }
        if (auto value =
                read_value(field, *found, pointer_to(pointer, field.name), context, faults))
            out[field.name] = std::move(*value);
    }
    return out;
}

Json read_cell(const Field& field, std::string_view cell, std::string_view default_unit) {
    const std::string text(cell);
    switch (field.type) {
    case FieldType::flag:
        if (text == "yes" || text == "true") return true;
        if (text == "no" || text == "false") return false;
        fail("wrong-type", {}, "'" + text + "' is neither yes nor no", "write yes or no");
    case FieldType::texts: {
        Json out = Json::array();
        for (std::size_t start = 0; start <= text.size();) {
            const std::size_t end = std::min(text.find(';', start), text.size());
            std::string item = text.substr(start, end - start);
            item.erase(0, item.find_first_not_of(' '));
            if (const auto last = item.find_last_not_of(' '); last != std::string::npos)
                item.resize(last + 1);
            if (!item.empty()) out.push_back(item);
            start = end + 1;
        }
        return out;
    }
    default:
        return read_scalar(field, Json(text), {}, default_unit);
    }
}

namespace {

void collect_names(const Field& field, const Json& in, std::vector<std::string>& names) {
    switch (field.type) {
    case FieldType::count:
    case FieldType::number:
    case FieldType::quantity:
        if (!in.is_string()) return;
        try {
            for (const std::string& name :
                 Formula::parse(in.get_ref<const std::string&>()).names()) {
                if (std::find(names.begin(), names.end(), name) == names.end())
                    names.push_back(name);
            }
        } catch (const FaultError&) {
            // The same fault is reported when the value is read.
        }
        return;
    case FieldType::record:
        if (!in.is_object()) return;
        for (const Field& inner : field.fields) {
            if (const auto found = in.find(inner.name); found != in.end())
                collect_names(inner, *found, names);
        }
        return;
    case FieldType::records:
        if (!in.is_array()) return;
        for (const Json& item : in) {
            if (!item.is_object()) continue;
            for (const Field& inner : field.fields) {
                if (const auto found = item.find(inner.name); found != item.end())
                    collect_names(inner, *found, names);
            }
        }
        return;
    default:
        return;
    }
}

Json schema_of_field(const Field& field) {
    Json schema = Json::object();
    switch (field.type) {
    case FieldType::text:
    case FieldType::line:
        schema["type"] = "string";
        break;
    case FieldType::choice:
        schema["enum"] = field.choices;
        break;
    case FieldType::flag:
        schema["type"] = "boolean";
        break;
    case FieldType::count:
    case FieldType::number:
        schema["type"] =
            Json::array({field.type == FieldType::count ? "integer" : "number", "string"});
        // Bounds hold for numbers; a formula is checked when it is evaluated.
        if (field.minimum)
            schema[field.above_minimum ? "exclusiveMinimum" : "minimum"] = *field.minimum;
        if (field.maximum) schema["maximum"] = *field.maximum;
        break;
    case FieldType::quantity:
        schema["anyOf"] = Json::array({{{"type", "string"}, {"minLength", 1}}, {{"const", 0}}});
        break;
    case FieldType::money:
        schema["type"] = "string";
        schema["pattern"] = "^-?[0-9]+(\\.[0-9]+)?$";
        break;
    case FieldType::date:
        schema["type"] = "string";
        schema["pattern"] = "^[0-9]{4}-[0-9]{2}-[0-9]{2}$";
        break;
    case FieldType::lines:
    case FieldType::texts:
        schema["type"] = "array";
        schema["items"] = {{"type", "string"}};
        break;
    case FieldType::record:
        schema = schema_of_fields(field.fields);
        if (has_short_form(field))
            schema = {{"anyOf", Json::array({{{"type", "string"}, {"minLength", 1}}, schema})}};
        break;
    case FieldType::records:
        schema["type"] = "array";
        schema["items"] = schema_of_fields(field.fields);
        break;
    }
    if (!field.help.empty()) schema["description"] = field.help;
    return schema;
}

} // namespace

std::vector<std::string> names_in(const Field& field, const Json& in) {
    std::vector<std::string> names;
    collect_names(field, in, names);
    return names;
}

const Field* find_field(std::span<const Field> fields, std::string_view name) {
    const auto found = std::find_if(fields.begin(), fields.end(),
                                    [&](const Field& field) { return field.name == name; });
    return found == fields.end() ? nullptr : &*found;
}

Json schema_of_fields(std::span<const Field> fields) {
    Json properties = Json::object();
    Json required = Json::array();
    for (const Field& field : fields) {
        properties[field.name] = schema_of_field(field);
        if (field.required) required.push_back(field.name);
    }
    Json schema = {{"type", "object"},
                   {"properties", properties},
                   {"patternProperties", {{"^x-", Json::object()}}},
                   {"additionalProperties", false}};
    if (!required.empty()) schema["required"] = required;
    return schema;
}

} // namespace aumbry
