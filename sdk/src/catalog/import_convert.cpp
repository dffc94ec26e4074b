#include "catalog/import_convert.hpp"

#include "aumbry/fields.hpp"
#include "aumbry/project.hpp"
#include "catalog/catalog_content.hpp"
#include "values/characters.hpp"
#include "values/excerpt.hpp"
#include "values/trimmed.hpp"

#include <algorithm>
#include <functional>
#include <set>

namespace aumbry {

using contract::Field;
using contract::FieldType;

namespace {

/// Digits with decimal sign, grouping and fractions: the number that a text begins with.
std::string_view leading_number(std::string_view text) {
    if (text.empty() || !is_digit(text.front())) return {};
    std::size_t end = 0;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (is_digit(text[i]))
            end = i + 1;
        else if (text[i] != '.' && text[i] != ',' && text[i] != '/' && text[i] != ' ' &&
                 text[i] != '\'')
            break;
    }
    return text.substr(0, end);
}

} // namespace

bool Units::is(std::string_view unit, Dimension wanted) {
    auto found = known_.find(unit);
    if (found == known_.end()) {
        std::optional<Dimension> dimension;
        try {
            dimension = dimension_of_unit(unit);
        } catch (const FaultError&) {
            // Not a unit: remembered as such.
        }
        found = known_.emplace(unit, dimension).first;
    }
    return found->second == wanted;
}

void Converter::lay_out(std::span<const std::string_view> header) {
    std::vector<Fault> faults;
    const auto column_number = [&](const std::string& name, const std::string& pointer) {
        const auto found = std::find(header.begin(), header.end(), std::string_view(name));
        if (found != header.end()) return static_cast<std::size_t>(found - header.begin());
        const std::string near = nearest_name(name, {header.begin(), header.end()});
        std::string all;
        for (const std::string_view one : header)
            all += (all.empty() ? "" : ", ") + std::string(one);
        faults.push_back(
            {"no-such-column",
             {mapping_.file, pointer, 0, 0},
             source_ + " has no column '" + name + "'",
             near.empty() ? "its columns are " + all.substr(0, 300) : "is '" + near + "' meant?"});
        return std::size_t{0};
    };
    std::set<std::string> given;
    for (const auto& [name, field] : mapping_.columns) {
        sources_.push_back({column_number(name, pointer_to("/columns", name)), field});
        given.insert(field);
    }
    for (std::size_t i = 0; i < mapping_.patterns.size(); ++i) {
        pattern_columns_.push_back(column_number(mapping_.patterns[i].column,
                                                 "/patterns/" + std::to_string(i) + "/column"));
        for (const TextPattern& pattern : mapping_.patterns[i].patterns)
            given.insert(pattern.names().begin(), pattern.names().end());
    }
    for (std::size_t i = 0; i < mapping_.row_needs.size(); ++i)
        needed_.push_back(column_number(mapping_.row_needs[i], "/row_needs/" + std::to_string(i)));
    for (const auto& [field, value] : mapping_.constants) given.insert(field);
    if (!faults.empty()) throw placed(std::move(faults));

    for (const std::string_view name : common_columns()) {
        if (given.erase(std::string(name)) > 0) fields_.emplace_back(name);
    }
    for (const contract::CatalogClass& one : classes_) {
        for (const Field& attribute : one.attributes) {
            if (given.erase(attribute.name) > 0) fields_.push_back(attribute.name);
        }
    }
}

bool Converter::passes_over(std::span<const std::string_view> cells) const {
    return std::any_of(needed_.begin(), needed_.end(),
                       [&](std::size_t column) { return trimmed(cells[column]).empty(); });
}

std::optional<std::vector<std::string>> Converter::convert(const csv::Reader& reader,
                                                           std::vector<csv::RowFault>& faults) {
    const std::span<const std::string_view> cells = reader.fields();
    values_.clear();
    for (const Source& source : sources_) {
        const std::string_view cell = trimmed(cells[source.column]);
        if (!cell.empty())
            values_[source.field] = {std::string(cell), reader.header()[source.column]};
    }
    // The class decides which attributes a pattern may find.
    settle_class();
    const std::size_t before = faults.size();
    for (std::size_t i = 0; i < mapping_.patterns.size(); ++i) take_apart(i, reader, faults);
    for (const auto& [field, value] : mapping_.constants) {
        // One list may hold several classes: a constant goes where the class has the field.
        if (class_ == nullptr || is_common(field) || has_attribute(*class_, field))
            values_.try_emplace(field, Value{value, {}});
    }
    settle_class();

    std::vector<std::string> row;
    for (const std::string& field : fields_) {
        const auto found = values_.find(field);
        row.push_back(found == values_.end() ? std::string()
                                             : convert_value(field, found->second, reader, faults));
    }
    if (faults.size() > before) return std::nullopt;
    return row;
}

std::string Converter::origin_of(const std::string& field) const {
    for (const Source& source : sources_) {
        if (source.field == field) {
            for (const auto& [column, name] : mapping_.columns) {
                if (name == field) return column;
            }
        }
    }
    for (const ColumnPatterns& one : mapping_.patterns) {
        for (const TextPattern& pattern : one.patterns) {
            if (std::find(pattern.names().begin(), pattern.names().end(), field) !=
                pattern.names().end())
                return one.column;
        }
    }
    return field;
}

FaultError Converter::placed(std::vector<Fault> faults) const {
    std::error_code error;
    const std::string text = std::filesystem::is_regular_file(mapping_.file, error)
                                 ? read_file(mapping_.file)
                                 : std::string();
    for (Fault& fault : faults) {
        const Position position = locate(text, fault.place.pointer).value_or(Position{0, 0});
        fault.place.line = position.line;
        fault.place.column = position.column;
    }
    return FaultError(std::move(faults));
}

bool Converter::is_common(std::string_view field) {
    const auto common = common_columns();
    return std::find(common.begin(), common.end(), field) != common.end();
}

bool Converter::has_attribute(const contract::CatalogClass& of, const std::string& name) {
    return std::any_of(of.attributes.begin(), of.attributes.end(),
                       [&](const Field& field) { return field.name == name; });
}

void Converter::settle_class() {
    class_ = nullptr;
    const auto given = values_.find("class");
    std::string name;
    if (given != values_.end())
        name = in_our_words("class", given->second.text);
    else if (const auto constant = mapping_.constants.find("class");
             constant != mapping_.constants.end())
        name = constant->second;
    for (const contract::CatalogClass& one : classes_) {
        if (one.name == name) class_ = &one;
    }
}

std::string Converter::in_our_words(const std::string& field, const std::string& text) const {
    const auto words = mapping_.words.find(field);
    if (words == mapping_.words.end()) return text;
    const auto found = words->second.find(text);
    return found == words->second.end() ? text : found->second;
}

FieldOfRow Converter::kind_of(std::string_view name) const {
    FieldOfRow kind;
    const auto common = common_columns();
    if (std::find(common.begin(), common.end(), name) != common.end()) {
        kind.number = name == "price" || name == "pack" || name == "min_quantity" ||
                      name == "stock" || name == "lead_days";
        kind.date = name == "valid_from" || name == "valid_to";
        return kind;
    }
    if (class_ != nullptr) kind.attribute = find_field(class_->attributes, name);
    if (kind.attribute != nullptr) {
        const FieldType type = kind.attribute->type;
        kind.number = type == FieldType::count || type == FieldType::number ||
                      type == FieldType::quantity || type == FieldType::money;
        kind.date = type == FieldType::date;
        if (type == FieldType::quantity) kind.dimension = dimension_of_unit(kind.attribute->unit);
    }
    return kind;
}

TextPattern::Reading Converter::reading_of(std::string_view name) {
    const FieldOfRow kind = kind_of(name);
    if (kind.number) {
        return {[this, kind](std::string_view text) {
                    // A number, or numbers each with a unit.
                    bool first = true;
                    while (!text.empty()) {
                        const std::string_view number = leading_number(text);
                        if (number.empty()) return false;
                        text = trimmed(text.substr(number.size()));
                        if (text.empty()) return first;
                        if (!kind.dimension) return false;
                        std::size_t end = 0;
                        while (end < text.size() && !is_digit(text[end])) ++end;
                        if (!units_.is(trimmed(text.substr(0, end)), *kind.dimension)) return false;
                        text = text.substr(end);
                        first = false;
                    }
                    return true;
                },
                true};
    }
    if (kind.attribute != nullptr && kind.attribute->type == FieldType::choice) {
        return {[this, kind](std::string_view text) {
                    const std::string ours = in_our_words(kind.attribute->name, std::string(text));
                    return std::find(kind.attribute->choices.begin(), kind.attribute->choices.end(),
                                     ours) != kind.attribute->choices.end();
                },
                false};
    }
    return {};
}

void Converter::take_apart(std::size_t number, const csv::Reader& reader,
                           std::vector<csv::RowFault>& faults) {
    const ColumnPatterns& patterns = mapping_.patterns[number];
    const std::string_view text = trimmed(reader.fields()[pattern_columns_[number]]);
    if (text.empty()) return;
    for (const TextPattern& pattern : patterns.patterns) {
        const auto found =
            pattern.match(text, [this](std::string_view name) { return reading_of(name); });
        if (!found) continue;
        for (const auto& [name, value] : *found)
            values_.try_emplace(name, Value{value, reader.header()[pattern_columns_[number]]});
        return;
    }
    faults.push_back(csv::row_fault("no-pattern-fits", source_, reader.line(), reader.row(),
                                    patterns.column, text,
                                    in_quotes(text) + " fits no pattern of the mapping",
                                    "add a pattern for it, such as {} for text that is not kept"));
}

std::string Converter::convert_value(const std::string& field, const Value& value,
                                     const csv::Reader& reader,
                                     std::vector<csv::RowFault>& faults) const {
    std::string text = value.text;
    if (const auto taken_out = mapping_.remove.find(field); taken_out != mapping_.remove.end()) {
        for (const std::string& part : taken_out->second) {
            for (auto at = part.empty() ? std::string::npos : text.find(part);
                 at != std::string::npos; at = text.find(part))
                text.erase(at, part.size());
        }
        text = std::string(trimmed(text));
    }
    text = in_our_words(field, text);
    const FieldOfRow kind = kind_of(field);
    const auto refuse = [&](std::string code, std::string wrong, std::string right) {
        faults.push_back(
            csv::row_fault(std::move(code), source_, reader.line(), reader.row(),
                           value.column.empty() ? std::string_view(field) : value.column, text,
                           std::move(wrong), std::move(right)));
    };
    if (kind.date && mapping_.date_order != DateOrder::year_month_day && !text.empty()) {
        const std::string iso = as_iso(text);
        if (iso.empty())
            refuse("bad-date", in_quotes(text) + " is no date of the order that the mapping says",
                   "write day, month and year in that order, or change dates in the mapping");
        return iso;
    }
    if (!kind.number || text.empty()) return text;
    const char sign = supplier_.decimal_comma ? ',' : '.';
    if (value.column.empty()) { // a constant: mappings write a decimal point
        std::replace(text.begin(), text.end(), '.', sign);
        return text;
    }
    // Numbers of the spreadsheet: their sign becomes that of the supplier's lists.
    take_out_grouping(text);
    if (text.find(mapping_.decimal_comma ? '.' : ',') != std::string::npos) {
        refuse("wrong-decimal-sign",
               in_quotes(text) + (mapping_.decimal_comma
                                      ? " has a point where the mapping says decimal comma"
                                      : " has a comma where the mapping says decimal point"),
               "change decimal in the mapping, or name the sign as its grouping");
        return {};
    }
    std::replace(text.begin(), text.end(), mapping_.decimal_comma ? ',' : '.', sign);
    const auto unit = mapping_.units.find(field);
    if (unit != mapping_.units.end() && leading_number(text).size() == text.size())
        text += ' ' + unit->second;
    return text;
}

void Converter::take_out_grouping(std::string& text) const {
    const std::string& sign = mapping_.grouping;
    if (sign.empty()) return;
    for (auto at = text.find(sign); at != std::string::npos; at = text.find(sign, at)) {
        const std::size_t behind = at + sign.size();
        std::size_t digits = 0;
        while (behind + digits < text.size() && is_digit(text[behind + digits])) ++digits;
        if (at > 0 && is_digit(text[at - 1]) && digits == 3)
            text.erase(at, sign.size());
        else
            at = behind;
    }
}

std::string Converter::as_iso(std::string_view text) const {
    std::vector<std::string> parts(1);
    for (const char c : text) {
        if (is_digit(c))
            parts.back() += c;
        else if (c == '.' || c == '/' || c == '-')
            parts.emplace_back();
        else
            return {};
    }
    if (parts.size() != 3) return {};
    if (mapping_.date_order == DateOrder::month_day_year) std::swap(parts[0], parts[1]);
    for (std::string& part : {std::ref(parts[0]), std::ref(parts[1])}) {
        if (part.empty() || part.size() > 2) return {};
        if (part.size() == 1) part.insert(0, 1, '0');
    }
    if (parts[2].size() == 2) parts[2].insert(0, "20");
    if (parts[2].size() != 4) return {};
    return parts[2] + '-' + parts[1] + '-' + parts[0];
}

} // namespace aumbry
