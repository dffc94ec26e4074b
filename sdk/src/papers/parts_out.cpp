#include "aumbry/parts_list.hpp"

#include "session/parts_rows.hpp"

#include "aumbry/fields.hpp"
#include "aumbry/line_access.hpp"
#include "aumbry/quantity.hpp"
#include "aumbry/short_form.hpp"

#include <algorithm>

namespace aumbry {

using contract::Field;

namespace {

/// The columns of a list that is written, in the order of the trade.
constexpr const char* columns[] = {"id",    "name",      "piece",    "count", "length",
                                   "width", "thickness", "material", "edges", "grain"};

bool is_size(std::string_view column) {
    return column == "length" || column == "width" || column == "thickness";
}

/// In the reader's unit, to a thousandth of a millimetre; in inches to a millionth, so that it
/// comes back as it was. Never three decimals, which could be read as thousands.
std::string size_text(double mm, const std::string& unit) {
    std::string text = unit == "in" ? format_trimmed(mm / 25.4, 6) : format_trimmed(mm, 3);
    if (text.size() > 4 && text[text.size() - 4] == '.') text += '0';
    return text;
}

class PartRow {
  public:
    PartRow(const contract::Line& line, const contract::LineKind& kind, const std::string& unit)
        : line_(line), kind_(kind), unit_(unit) {}

    [[nodiscard]] std::string cell(const std::string& column) const {
        if (column == "id") return line_.id;
        if (column == "name") return display_name(line_);
        if (column == "piece") return line_.piece;
        if (column == "count") return std::to_string(line_.count);
        if (column == "material") return line_.material->id;
        const Field* field = find_field(kind_.fields, column);
        // What a line does not say itself, its material does.
        const Json& of = field == nullptr ? line_.material->attributes : line_.fields;
        const auto value = of.find(column);
        if (value == of.end() || value->is_null()) return {};
        if (value->is_number() && is_size(column)) return size_text(value->get<double>(), unit_);
        if (field != nullptr && has_short_form(*field)) return short_form_of(*field, *value);
        if (field == nullptr && !is_size(column)) return {};
        return value->is_string() ? value->get<std::string>() : std::string();
    }

  private:
    const contract::Line& line_;
    const contract::LineKind& kind_;
    const std::string& unit_;
};

} // namespace

PartsTable parts_of(const Resolved& project, std::span<const contract::Description> modules) {
    PartsTable table;
    for (const std::string column : columns) {
        table.header.push_back(is_size(column) ? column + ' ' + project.length_unit : column);
        table.numbers.push_back(is_size(column) || column == "count");
    }
    const std::vector<const contract::LineKind*> kinds = kinds_of_parts(modules);
    for (const ResolvedLine& each : project.lines) {
        const auto kind =
            std::find_if(kinds.begin(), kinds.end(), [&](const contract::LineKind* known) {
                return known->kind == each.line.kind;
            });
        if (kind == kinds.end() || !each.line.material) continue;
        const PartRow row(each.line, **kind, project.length_unit);
        table.rows.emplace_back();
        for (const char* column : columns) table.rows.back().push_back(row.cell(column));
    }
    return table;
}

std::string parts_csv(const PartsTable& parts) {
    std::string text = csv::write_record(parts.header);
    for (const std::vector<std::string>& row : parts.rows) text += csv::write_record(row);
    return text;
}

} // namespace aumbry
