// A comparison as documents for programs: JSON with its schema, and CSV.
#include "aumbry/study.hpp"

#include "aumbry/csv.hpp"
#include "aumbry/rounding.hpp"

#include <array>
#include <cmath>

namespace aumbry {

namespace {

constexpr std::array<const char*, 3> kinds{"changed", "added", "removed"};

/// A value as JSON: money as a decimal in a text, a date as ISO 8601, all else a number.
template <class Value>
Json value_json(const Value& value, int decimals) {
    return std::visit(
        [decimals](const auto& of) -> Json {
            using Of = std::decay_t<decltype(of)>;
            if constexpr (std::is_same_v<Of, Money>)
                return of.str();
            else if constexpr (std::is_same_v<Of, Date>)
                return format_date(of);
            else if constexpr (std::is_same_v<Of, double>)
                return decimals == 0 ? Json(std::llround(of)) : Json(of);
            else
                return nullptr;
        },
        value);
}

/// The same as a cell of a spreadsheet: no group, no unit; empty when there is none.
template <class Value>
std::string value_cell(const Value& value, int decimals) {
    const Json json = value_json(value, decimals);
    if (json.is_null()) return {};
    if (json.is_string()) return json.get<std::string>();
    return format_number(json.get<double>(), decimals);
}

Json finding_json(const EstimateFinding& finding) {
    Json out = {{"code", finding.code}};
    if (!finding.module.empty()) out["module"] = finding.module;
    if (!finding.line.empty()) out["line"] = finding.line;
    out["text"] = finding.text;
    return out;
}

Json findings_json(const std::vector<EstimateFinding>& findings) {
    Json list = Json::array();
    for (const EstimateFinding& finding : findings) list.push_back(finding_json(finding));
    return list;
}

Json figures_json(const std::vector<Figure>& figures) {
    Json out = Json::object();
    for (const Figure& figure : figures) {
        Json row = {{"title", figure.title},
                    {"unit", figure.unit},
                    {"value", value_json(figure.value, figure.decimals)}};
        if (Json difference = value_json(figure.difference, figure.decimals); !difference.is_null())
            row["difference"] = std::move(difference);
        if (figure.percent) row["percent"] = *figure.percent;
        out[figure.name] = std::move(row);
    }
    return out;
}

Json line_json(const LineDifference& line) {
    Json values = Json::array();
    for (const ValueDifference& value : line.values)
        values.push_back({{"name", value.name}, {"before", value.before}, {"after", value.after}});
    return {{"line", line.line},
            {"title", line.title},
            {"kind", kinds[static_cast<std::size_t>(line.kind)]},
            {"why", line.why},
            {"cost_before", line.cost_before.str()},
            {"cost_after", line.cost_after.str()},
            {"values", values}};
}

Json column_json(const Column& column) {
    Json out = {{"alternative", column.id}, {"title", column.title}};
    if (!column.estimate) {
        Json faults = Json::array();
        for (const Fault& fault : column.faults) faults.push_back(fault.sentence());
        out["faults"] = std::move(faults);
        return out;
    }
    out["figures"] = figures_json(column.figures);
    out["problems_gained"] = findings_json(column.problems_gained);
    out["problems_lost"] = findings_json(column.problems_lost);
    out["cautions_gained"] = findings_json(column.cautions_gained);
    out["cautions_lost"] = findings_json(column.cautions_lost);
    Json lines = Json::array();
    for (const LineDifference& line : column.lines) lines.push_back(line_json(line));
    out["lines"] = std::move(lines);
    return out;
}

Json array_of(Json items) {
    return {{"type", "array"}, {"items", std::move(items)}};
}

/// An object with nothing but these members; the named ones must be there.
Json object_of(Json members, Json required) {
    return {{"type", "object"},
            {"properties", std::move(members)},
            {"required", std::move(required)},
            {"additionalProperties", false}};
}

Json figure_schema() {
    const Json decimal = {{"type", "string"}, {"pattern", "^-?[0-9]+([.][0-9]+)?$"}};
    const Json date = {{"type", "string"}, {"pattern", "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"}};
    const Json number = {{"type", "number"}};
    const Json none = {{"type", "null"}};
    return object_of(
        {{"title", {{"type", "string"}}},
         {"unit",
          {{"type", "string"}, {"description", "the currency, %, kg, date; empty: a count"}}},
         {"value", {{"anyOf", {decimal, date, number, none}}}},
         {"difference",
          {{"anyOf", {decimal, number}},
           {"description", "from the base, of a date in days; absent when equal"}}},
         {"percent", number}},
        {"title", "unit", "value"});
}

Json column_schema() {
    const Json text = {{"type", "string"}};
    const Json decimal = {{"type", "string"}, {"pattern", "^-?[0-9]+([.][0-9]+)?$"}};
    const Json finding = object_of(
        {{"code", text}, {"module", text}, {"line", text}, {"text", text}}, {"code", "text"});
    const Json anything = Json::object();
    const Json value = object_of({{"name", text}, {"before", anything}, {"after", anything}},
                                 {"name", "before", "after"});
    const Json line =
        object_of({{"line", text},
                   {"title", text},
                   {"kind", {{"enum", {kinds[0], kinds[1], kinds[2]}}}},
                   {"why", text},
                   {"cost_before", decimal},
                   {"cost_after", decimal},
                   {"values", array_of(value)}},
                  {"line", "title", "kind", "why", "cost_before", "cost_after", "values"});
    return object_of(
        {{"alternative", {{"type", "string"}, {"description", "its id; empty: the base"}}},
         {"title", text},
         {"faults", array_of(text)},
         {"figures", {{"type", "object"}, {"additionalProperties", figure_schema()}}},
         {"problems_gained", array_of(finding)},
         {"problems_lost", array_of(finding)},
         {"cautions_gained", array_of(finding)},
         {"cautions_lost", array_of(finding)},
         {"lines", array_of(line)}},
        {"alternative", "title"});
}

} // namespace

Json to_json(const Comparison& comparison) {
    Json columns = Json::array();
    for (const Column& column : comparison.columns) columns.push_back(column_json(column));
    return {{"aumbry_comparison", 1},
            {"title", comparison.title},
            {"currency", comparison.currency.code},
            {"columns", columns}};
}

Json comparison_schema() {
    Json schema = {{"$schema", "http://json-schema.org/draft-07/schema#"},
                   {"title", "Aumbry comparison"}};
    const Json text = {{"type", "string"}};
    schema.update(object_of({{"aumbry_comparison", {{"const", 1}}},
                             {"title", text},
                             {"currency", text},
                             {"columns", array_of(column_schema())}},
                            {"aumbry_comparison", "title", "currency", "columns"}));
    return schema;
}

std::string to_csv(const Comparison& comparison) {
    std::vector<std::string> record{"figure", "title", "unit"};
    for (const Column& column : comparison.columns) {
        record.push_back(column.id.empty() ? "base" : column.id);
        if (column.id.empty()) continue;
        record.push_back(column.id + ", difference");
        record.push_back(column.id + ", difference in %");
    }
    std::string text = csv::write_record(record);
    const std::vector<Figure>& rows = comparison.columns.front().figures;
    for (std::size_t row = 0; row < rows.size(); ++row) {
        record = {rows[row].name, rows[row].title, rows[row].unit};
        for (const Column& column : comparison.columns) {
            const Figure figure = column.estimate ? column.figures[row] : Figure{};
            record.push_back(value_cell(figure.value, figure.decimals));
            if (column.id.empty()) continue;
            record.push_back(value_cell(figure.difference, figure.decimals));
            record.push_back(figure.percent ? format_number(*figure.percent, 1) : "");
        }
        text += csv::write_record(record);
    }
    return text;
}

} // namespace aumbry
