#include "catalog/import_convert.hpp"

#include "aumbry/fields.hpp"
#include "aumbry/project.hpp"
#include "catalog/catalog_content.hpp"
#include "catalog/cell_text.hpp"
#include "values/characters.hpp"
#include "values/excerpt.hpp"
#include "values/trimmed.hpp"

#include <algorithm>
#include <functional>
#include <set>

namespace aumbry {

using contract::Field;
using contract::FieldType;

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

std::size_t Converter::column_number(Columns& columns, const std::string& name,
                                     const std::string& pointer) const {
    const auto found = std::find(columns.names.begin(), columns.names.end(), cleaned(name));
    if (found != columns.names.end())
        return static_cast<std::size_t>(found - columns.names.begin());
    const std::string near = nearest_name(name, columns.names);
    std::string all;
    for (const std::string& one : columns.names) all += (all.empty() ? "" : ", ") + one;
    columns.faults.push_back(
        {"no-such-column",
         {mapping_.file, pointer, 0, 0},
         source_ + " has no column '" + name + "'",
         near.empty() ? "its columns are " + all.substr(0, 300) : "is '" + near + "' meant?"});
    return 0;
}

void Converter::lay_out(std::span<const std::string_view> header) {
    Columns columns;
    for (const std::string_view name : header) columns.names.push_back(cleaned(name));
    std::set<std::string> given;
    for (const auto& [name, field] : mapping_.columns) {
        sources_.push_back({column_number(columns, name, pointer_to("/columns", name)), field});
        given.insert(field);
    }
    for (std::size_t i = 0; i < mapping_.patterns.size(); ++i) {
        pattern_columns_.push_back(column_number(columns, mapping_.patterns[i].column,
                                                 "/patterns/" + std::to_string(i) + "/column"));
        for (const TextPattern& pattern : mapping_.patterns[i].patterns)
            given.insert(pattern.names().begin(), pattern.names().end());
    }
    for (std::size_t i = 0; i < mapping_.row_needs.size(); ++i)
        needed_.push_back(
            column_number(columns, mapping_.row_needs[i], "/row_needs/" + std::to_string(i)));
    for (const auto& [field, value] : mapping_.constants) given.insert(field);
    if (mapping_.sections) {
        section_column_ = column_number(columns, mapping_.sections->column, "/sections/column");
        for (const TextPattern& pattern : mapping_.sections->patterns)
            given.insert(pattern.names().begin(), pattern.names().end());
        for (const auto& [heading, constants] : mapping_.sections->constants) {
            for (const auto& [field, value] : constants) given.insert(field);
        }
    }
    if (mapping_.spread) {
        for (const auto& [name, value] : mapping_.spread->columns)
            spread_.emplace_back(column_number(columns, name, pointer_to("/spread/columns", name)),
                                 value);
        given.insert(mapping_.spread->over);
        given.insert(mapping_.spread->gives);
    }
    lay_out_composed(columns);
    for (const auto& [field, text] : mapping_.composed) given.insert(field);
    if (!columns.faults.empty()) throw placed(std::move(columns.faults));

    for (const std::string_view name : common_columns()) {
        if (given.erase(std::string(name)) > 0) fields_.emplace_back(name);
    }
    for (const contract::CatalogClass& one : classes_) {
        for (const Field& attribute : one.attributes) {
            if (given.erase(attribute.name) > 0) fields_.push_back(attribute.name);
        }
    }
}

/// What a composed text names is a column or a field.
void Converter::lay_out_composed(Columns& columns) {
    for (const auto& [field, text] : mapping_.composed) {
        for (std::size_t open = text.find('{'); open != std::string::npos;
             open = text.find('{', open + 1)) {
            const std::size_t close = text.find('}', open);
            if (close == std::string::npos) break;
            const std::string name = text.substr(open + 1, close - open - 1);
            const bool of_class = std::any_of(
                classes_.begin(), classes_.end(),
                [&](const contract::CatalogClass& of) { return has_attribute(of, name); });
            if (!of_class && !is_common(name))
                (void)column_number(columns, name, pointer_to("/composed", field));
        }
    }
}

bool Converter::reads_column(int column) const {
    const auto number = static_cast<std::size_t>(column) - 1;
    return std::any_of(sources_.begin(), sources_.end(),
                       [&](const Source& source) { return source.column == number; }) ||
           std::find(pattern_columns_.begin(), pattern_columns_.end(), number) !=
               pattern_columns_.end() ||
           std::any_of(spread_.begin(), spread_.end(),
                       [&](const auto& each) { return each.first == number; });
}

bool Converter::passes_over(std::span<const std::string_view> cells) const {
    return std::any_of(needed_.begin(), needed_.end(),
                       [&](std::size_t column) { return cleaned(cells[column]).empty(); });
}

void Converter::take_heading(const csv::Reader& reader, std::vector<csv::RowFault>& faults) {
    if (!mapping_.sections) return;
    const std::string text = cleaned(reader.fields()[section_column_]);
    if (text.empty()) return;
    section_.clear();
    unknown_heading_ = false;
    if (const auto found = mapping_.sections->constants.find(text);
        found != mapping_.sections->constants.end()) {
        section_ = found->second;
        return;
    }
    values_.clear();
    settle_class();
    for (const TextPattern& pattern : mapping_.sections->patterns) {
        const auto found =
            pattern.match(text, [this](std::string_view name) { return reading_of(name); });
        if (!found) continue;
        for (const auto& [name, value] : *found) section_[name] = in_our_words(name, value);
        return;
    }
    unknown_heading_ = true;
    faults.push_back(csv::row_fault(
        "unknown-heading", source_, reader.line(), reader.row(), mapping_.sections->column, text,
        in_quotes(text) +
            " is no heading that the mapping knows, so the rows below it are left out",
        "add it to the sections of the mapping, with {} in constants where it says nothing"));
}

std::vector<std::vector<std::string>> Converter::convert(const csv::Reader& reader,
                                                         std::vector<csv::RowFault>& faults) {
    const std::span<const std::string_view> cells = reader.fields();
    values_.clear();
    for (const Source& source : sources_) {
        std::string cell = cleaned(cells[source.column]);
        if (!cell.empty())
            values_[source.field] = {std::move(cell), reader.header()[source.column]};
    }
    // The class decides which attributes a pattern may find.
    settle_class();
    const std::size_t before = faults.size();
    for (std::size_t i = 0; i < mapping_.patterns.size(); ++i) take_apart(i, reader, faults);
    for (const auto* further : std::initializer_list<const std::map<std::string, std::string>*>{
             &section_, &mapping_.constants}) {
        for (const auto& [field, value] : *further) {
            // One list may hold several classes: a constant goes where the class has the field.
            if (class_ == nullptr || is_common(field) || has_attribute(*class_, field))
                values_.try_emplace(field, Value{value, {}});
        }
    }
    settle_class();

    std::vector<std::vector<std::string>> rows;
    if (!mapping_.spread) {
        rows.push_back(row_of_values(reader, faults));
    } else {
        const Values common = values_;
        for (const auto& [column, value] : spread_) {
            const std::string cell = cleaned(cells[column]);
            if (in_our_words(mapping_.spread->gives, cell).empty()) continue;
            values_ = common;
            values_[mapping_.spread->over] = {value, {}};
            values_[mapping_.spread->gives] = {cell, reader.header()[column]};
            rows.push_back(row_of_values(reader, faults));
        }
    }
    if (faults.size() > before) rows.clear();
    return rows;
}

std::vector<std::string> Converter::row_of_values(const csv::Reader& reader,
                                                  std::vector<csv::RowFault>& faults) {
    std::vector<std::pair<std::string, std::string>> made;
    for (const auto& [field, pattern] : mapping_.composed)
        made.emplace_back(field, composed(pattern, reader));
    for (auto& [field, text] : made) values_[field] = {std::move(text), {}};
    std::vector<std::string> row;
    for (const std::string& field : fields_) {
        const auto found = values_.find(field);
        row.push_back(found == values_.end() ? std::string()
                                             : convert_value(field, found->second, reader, faults));
    }
    return row;
}

/// The text with each {name} replaced by that column's or field's text.
std::string Converter::composed(const std::string& pattern, const csv::Reader& reader) const {
    std::string text;
    for (std::size_t at = 0; at < pattern.size();) {
        const std::size_t close = pattern[at] == '{' ? pattern.find('}', at) : std::string::npos;
        if (close == std::string::npos) {
            text += pattern[at++];
            continue;
        }
        const std::string name = pattern.substr(at + 1, close - at - 1);
        at = close + 1;
        const auto header = reader.header();
        const auto column = std::find_if(header.begin(), header.end(), [&](std::string_view each) {
            return cleaned(each) == cleaned(name);
        });
        if (column != header.end())
            text += cleaned(reader.fields()[static_cast<std::size_t>(column - header.begin())]);
        else if (const auto value = values_.find(name); value != values_.end())
            text += value->second.text;
    }
    return cleaned(text);
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
    else if (const auto of_section = section_.find("class"); of_section != section_.end())
        name = of_section->second;
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
    const std::string text = cleaned(reader.fields()[pattern_columns_[number]]);
    if (text.empty()) return;
    for (const TextPattern& pattern : patterns.patterns) {
        auto found =
            pattern.match(text, [this](std::string_view name) { return reading_of(name); });
        if (!found) continue;
        share_units(text, *found);
        for (const auto& [name, value] : *found)
            values_.try_emplace(name, Value{value, reader.header()[pattern_columns_[number]]});
        return;
    }
    faults.push_back(csv::row_fault("no-pattern-fits", source_, reader.line(), reader.row(),
                                    patterns.column, text,
                                    in_quotes(text) + " fits no pattern of the mapping",
                                    "add a pattern for it, such as {} for text that is not kept"));
}

void Converter::share_units(std::string_view text, TextPattern::Values& values) const {
    std::size_t at = 0;
    std::vector<std::size_t> joined; // sizes without a unit, each followed by "x"
    for (std::size_t i = 0; i < values.size(); ++i) {
        std::string& value = values[i].second;
        const std::size_t found = text.find(value.substr(0, leading_number(value).size()), at);
        if (!kind_of(values[i].first).dimension || found == std::string_view::npos) {
            joined.clear();
            continue;
        }
        const std::string between = cleaned(text.substr(at, found - at));
        if (between != "x" && between != "X" && between != "\u00D7") joined.clear();
        at = found + leading_number(value).size();
        if (is_bare_number(value)) {
            joined.push_back(i);
            continue;
        }
        const std::string unit(
            trimmed(std::string_view(value).substr(leading_number(value).size())));
        if (unit.find_first_of("0123456789") == std::string::npos) {
            for (const std::size_t bare : joined) values[bare].second += ' ' + unit;
        }
        joined.clear();
        at = std::min(found + value.size(), text.size());
    }
}

void Converter::refuse_currency(std::string_view text, std::string_view column,
                                const csv::Reader& reader,
                                std::vector<csv::RowFault>& faults) const {
    const std::string other = other_currency(text, supplier_.currency.code);
    if (other.empty()) return;
    faults.push_back(
        csv::row_fault("currency-clash", source_, reader.line(), reader.row(), column, text,
                       in_quotes(text) + " is in " + other + ", the supplier's currency is " +
                           supplier_.currency.code,
                       "state the right currency in supplier.json, or convert the list"));
}

std::string Converter::convert_value(const std::string& field, const Value& value,
                                     const csv::Reader& reader,
                                     std::vector<csv::RowFault>& faults) const {
    std::string text = value.text;
    if (field == "price") {
        refuse_currency(text, value.column, reader, faults);
        if (!value.column.empty()) refuse_currency(value.column, value.column, reader, faults);
    }
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
    try {
        const auto unit = mapping_.units.find(field);
        text = with_decimal_point(
            text, {mapping_.decimal_comma, mapping_.decimal_stated, mapping_.grouping},
            !kind.dimension                ? std::string()
            : unit != mapping_.units.end() ? unit->second
                                           : supplier_.length_unit);
    } catch (const FaultError& error) {
        refuse(error.faults().front().code, error.faults().front().wrong,
               error.faults().front().right);
        return {};
    }
    std::replace(text.begin(), text.end(), '.', sign);
    const auto unit = mapping_.units.find(field);
    if (unit != mapping_.units.end() && is_bare_number(text)) text += ' ' + unit->second;
    return text;
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
