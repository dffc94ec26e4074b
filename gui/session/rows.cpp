#include "session/rows.hpp"

#include "app/state.hpp"
#include "session/text.hpp"

#include "aumbry/csv.hpp"
#include "aumbry/project.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>

namespace aumbry::gui {

using contract::Field;
using contract::FieldType;

namespace {

std::string unit_in(const Json& document) {
    const std::string unit = written(find_at(document, "/length_unit"));
    return unit.empty() ? "mm" : unit;
}

bool is_length_field(const Field& field) {
    return field.type == FieldType::quantity && field.unit == "mm";
}

/// A cell that a spreadsheet reads back whole.
std::string cell_of(const std::string& text) {
    if (text.find_first_of("\t\n\r\"") == std::string::npos) return text;
    std::string quoted = "\"";
    for (const char c : text) quoted += c == '"' ? "\"\"" : std::string(1, c);
    return quoted + '"';
}

/// The required lengths of the kinds of some lines, in their order.
std::vector<const Field*> lengths_of(const Json& document, const Knowledge& knowledge,
                                     const std::vector<std::string>& ids) {
    std::vector<const Field*> found;
    for (const std::string& id : ids) {
        const Json* line = find_at(document, pointer_to("/lines", id));
        const auto* kind = knowledge.kind(written(member_of(line, "kind")));
        if (kind == nullptr) continue;
        for (const Field& field : kind->fields) {
            const auto same = [&](const Field* each) { return each->name == field.name; };
            if (is_length_field(field) && (field.required || line->contains(field.name)) &&
                std::none_of(found.begin(), found.end(), same))
                found.push_back(&field);
        }
    }
    return found;
}

/// A length as a bare number of the job's unit; as it is written where it is not known yet.
std::string bare_length_of(const Json& line, const EstimateLine* now, const Field& field,
                           const std::string& unit) {
    const Json* value = now == nullptr ? nullptr : member_of(&now->fields, field.name);
    if (value == nullptr || !value->is_number()) return written(member_of(&line, field.name));
    return format_trimmed(value->get<double>() / (unit == "in" ? 25.4 : 1), 4);
}

/// What a column of the rows says of its lines.
struct RowsColumn {
    enum class What { title, kind, count, material, field } what = What::field;
    std::string name;  ///< as its heading says, without the unit
    std::string unit;  ///< of bare numbers
    std::string shown; ///< the heading as it stands
};

/// "Length mm" and "Length (mm)" are a length in mm.
RowsColumn column_of(std::string heading, const std::string& unit_of_job) {
    RowsColumn column;
    column.shown = trimmed(heading);
    std::string name = lower(column.shown);
    std::replace_if(
        name.begin(), name.end(), [](char c) { return c == '(' || c == ')' || c == ','; }, ' ');
    name = trimmed(name);
    column.unit = unit_of_job;
    const std::size_t blank = name.rfind(' ');
    if (blank != std::string::npos) {
        const std::string last = name.substr(blank + 1);
        for (const char* unit : {"mm", "cm", "m", "in"}) {
            if (last != unit) continue;
            column.unit = unit;
            name = trimmed(name.substr(0, blank));
            break;
        }
    }
    using What = RowsColumn::What;
    if (name == "title" || name == "line" || name == "name" || name == "part")
        column.what = What::title;
    if (name == "kind") column.what = What::kind;
    if (name == "count" || name == "quantity") column.what = What::count;
    if (name == "material") column.what = What::material;
    column.name = name;
    return column;
}

/// Reads rows into lines, and gathers what is wrong with them.
class RowsReader {
  public:
    RowsReader(const Json& document, const Knowledge& knowledge, const RowsPlace& place)
        : document_(document), knowledge_(knowledge), place_(place) {}

    LineEdit read(std::string text) {
        csv::Reader rows(text, "the clipboard", '\t');
        for (const std::string_view heading : rows.header())
            columns_.push_back(column_of(std::string(heading), unit_in(document_)));
        refuse_without_headings();
        Json with_new = document_; // ids of new lines are taken too
        LineEdit result;
        std::string after = place_.after;
        while (rows.next()) {
            row_ = rows.row();
            Json line = line_of_row(rows.fields());
            const std::string id = new_id(with_new, "lines", written(member_of(&line, "title")));
            with_new["lines"][id] = line;
            result.edit.changes.push_back({pointer_to("/lines", id), std::move(line), after});
            result.lines.push_back(id);
            after = after.empty() ? after : id;
        }
        for (const csv::RowFault& fault : rows.faults()) faults_.push_back(fault.fault);
        if (!faults_.empty()) throw FaultError(std::move(faults_));
        const std::size_t count = result.lines.size();
        result.edit.label = "Paste " + std::to_string(count) + (count == 1 ? " line" : " lines");
        return result;
    }

  private:
    using What = RowsColumn::What;

    void refuse_without_headings() const {
        const auto titled = [](const RowsColumn& column) { return column.what == What::title; };
        if (columns_.size() < 2 || std::none_of(columns_.begin(), columns_.end(), titled))
            fail("missing-column", {"the clipboard, row 1", "", 0, 0},
                 "the first row does not name the columns",
                 "write over them what they are: Title, Count, Material, Length mm, Width mm");
    }

    void tell(const RowsColumn& column, std::string code, std::string wrong, std::string right) {
        faults_.push_back({std::move(code),
                           {"row " + std::to_string(row_) + ", column " + column.shown, "", 0, 0},
                           std::move(wrong),
                           std::move(right)});
    }

    [[nodiscard]] std::string cell(std::span<const std::string_view> cells, What what) const {
        for (std::size_t i = 0; i < columns_.size(); ++i) {
            if (columns_[i].what == what) return trimmed(std::string(cells[i]));
        }
        return "";
    }

    /// The kind that a row says, else the one of the place, else the first that takes a material.
    [[nodiscard]] const contract::LineKind* kind_of(const std::string& said) const {
        const std::string wanted = lower(said.empty() ? place_.kind : said);
        for (const contract::Description& module : knowledge_.modules) {
            for (const contract::LineKind& kind : module.line_kinds) {
                if (wanted.empty() ? !kind.material_class.empty()
                                   : kind.kind == wanted || lower(kind.title) == wanted)
                    return &kind;
            }
        }
        return nullptr;
    }

    Json line_of_row(std::span<const std::string_view> cells) {
        Json line = Json::object();
        const std::string said = cell(cells, What::kind);
        const contract::LineKind* kind = kind_of(said);
        if (kind == nullptr) {
            for (const RowsColumn& column : columns_) {
                if (column.what == What::kind)
                    tell(column, "unknown-kind", "there is no kind of line '" + said + "'",
                         "write one that 'Add a line' shows, as Panel");
            }
            return line;
        }
        line["kind"] = kind->kind;
        if (!place_.piece.empty()) line["piece"] = place_.piece;
        for (std::size_t i = 0; i < columns_.size(); ++i) {
            const std::string text = trimmed(std::string(cells[i]));
            if (!text.empty()) take(columns_[i], text, *kind, line);
        }
        if (!line.contains("title")) line["title"] = kind->title;
        return line;
    }

    void take(const RowsColumn& column, const std::string& text, const contract::LineKind& kind,
              Json& line) {
        switch (column.what) {
        case What::title:
            line["title"] = text;
            break;
        case What::kind:
            break;
        case What::count:
            if (text.find_first_not_of("0123456789") == std::string::npos && text.size() < 7) {
                line["count"] = std::stoi(text);
            } else {
                tell(column, "wrong-type", "'" + text + "' is no whole number",
                     "write how many there are, as 2");
            }
            break;
        case What::material:
            take_material(column, text, line);
            break;
        case What::field:
            take_field(column, text, kind, line);
            break;
        }
    }

    /// A role by its name or title.
    void take_material(const RowsColumn& column, const std::string& text, Json& line) {
        const Json* materials = find_at(document_, "/materials");
        std::string names;
        if (materials != nullptr && materials->is_object()) {
            for (const auto& [id, material] : materials->items()) {
                const std::string title = written(member_of(&material, "title"));
                if (lower(id) == lower(text) || (!title.empty() && lower(title) == lower(text))) {
                    line["material"] = id;
                    return;
                }
                names += (names.empty() ? "" : ", ") + id;
            }
        }
        tell(column, "unknown-material", "the job has no material '" + text + "'",
             names.empty() ? "add it under Sizes and materials first" : "it has " + names);
    }

    void take_field(const RowsColumn& column, const std::string& text,
                    const contract::LineKind& kind, Json& line) {
        for (const Field& field : kind.fields) {
            if (lower(field.title) != column.name && field.name != column.name) continue;
            if (field.type == FieldType::record || field.type == FieldType::records) break;
            if (const auto value = read_written(field, text, column.unit))
                line[field.name] = *value;
            return;
        }
        tell(column, "unknown-column",
             "a line of kind " + kind.title + " has no '" + column.shown + "'",
             "rename the column, or take it out");
    }

    const Json& document_;
    const Knowledge& knowledge_;
    const RowsPlace& place_;
    std::vector<RowsColumn> columns_;
    std::vector<Fault> faults_;
    int row_ = 0;
};

} // namespace

std::string rows_of_lines(const Json& document, const Knowledge& knowledge,
                          const Estimate* estimate, const std::vector<std::string>& ids) {
    const std::string unit = unit_in(document);
    const std::vector<const Field*> lengths = lengths_of(document, knowledge, ids);
    std::string text = "Title\tKind\tCount\tMaterial";
    for (const Field* field : lengths) text += '\t' + field->title + ' ' + unit;
    text += '\n';
    for (const std::string& id : ids) {
        const Json* line = find_at(document, pointer_to("/lines", id));
        if (line == nullptr) continue;
        const std::string kind_id = written(member_of(line, "kind"));
        const auto* kind = knowledge.kind(kind_id);
        const EstimateLine* now = line_of(estimate, id);
        const std::string title = written(member_of(line, "title"));
        const std::string count =
            now != nullptr ? std::to_string(now->count) : written(member_of(line, "count"));
        text += cell_of(title.empty() ? id : title) + '\t' +
                cell_of(kind == nullptr ? kind_id : kind->title) + '\t' + cell_of(count) + '\t' +
                cell_of(written(member_of(line, "material")));
        for (const Field* field : lengths)
            text += '\t' + cell_of(bare_length_of(*line, now, *field, unit));
        text += '\n';
    }
    return text;
}

LineEdit lines_of_rows(const Json& document, const Knowledge& knowledge, const std::string& text,
                       const RowsPlace& place) {
    return RowsReader(document, knowledge, place).read(text);
}

} // namespace aumbry::gui
