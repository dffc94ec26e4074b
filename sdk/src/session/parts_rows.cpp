#include "session/parts_rows.hpp"

#include "catalog/cell_text.hpp"
#include "documents/spreadsheet.hpp"
#include "values/excerpt.hpp"
#include "values/trimmed.hpp"

#include "aumbry/fields.hpp"
#include "aumbry/project.hpp"
#include "aumbry/quantity.hpp"
#include "aumbry/short_form.hpp"

#include <algorithm>
#include <array>
#include <optional>

namespace aumbry {

using contract::Field;
using contract::FieldType;

namespace {

/// What a list may say of any line.
constexpr std::array<std::string_view, 7> common_parts_fields = {
    "id", "name", "piece", "kind", "material", "thickness", "count"};

/// A row that begins so adds the others up (from memory, in the languages of our examples).
constexpr std::array<std::string_view, 13> words_of_totals = {
    "total",   "totals", "subtotal", "sum",    "totaal", "subtotaal",    "som",
    "totalen", "gesamt", "summe",    "totale", "somme",  "zwischensumme"};

/// A length, the one quantity that parts lists have.
bool is_length(std::string_view unit) {
    try {
        return dimension_of_unit(unit) == dimension_of_unit("mm");
    } catch (const FaultError&) {
        return false;
    }
}

/// A heading without the unit behind it: "Length (mm)", "length mm", "Width [in]".
struct Heading {
    std::string name;
    std::string unit;
};
Heading heading_of(std::string_view text) {
    const std::string plain = cleaned(text);
    const auto cut = plain.find_last_of(" ([/");
    if (cut == std::string::npos || cut == 0) return {plain, {}};
    std::string unit = plain.substr(cut + 1);
    while (!unit.empty() && (unit.back() == ')' || unit.back() == ']')) unit.pop_back();
    if (!is_length(unit)) return {plain, {}};
    const auto last = plain.find_last_not_of(" ([/,", cut);
    return {last == std::string::npos ? plain : plain.substr(0, last + 1), unit};
}

const Field* field_of_kinds(const std::vector<const contract::LineKind*>& kinds,
                            std::string_view name) {
    for (const contract::LineKind* kind : kinds) {
        if (const Field* found = find_field(kind->fields, name)) return found;
    }
    return nullptr;
}

class PartsReader {
  public:
    PartsReader(PartsSource source, const PartsToTake& wanted,
                std::span<const contract::Description> modules)
        : source_(std::move(source)), wanted_(wanted), mapping_(wanted.mapping),
          kinds_(kinds_of_parts(modules)), fields_(fields_of_parts(modules)) {}

    PartsRows read() {
        out_.source = source_.name;
        open();
        csv::Reader reader(source_.text, source_.name,
                           mapping_.separator.empty() || sheet_ ? '\0' : mapping_.separator.front(),
                           mapping_.header_row);
        lay_out(reader.header());
        while (reader.next()) take(reader);
        for (csv::RowFault& fault : reader.take_faults()) out_.faults.push_back(std::move(fault));
        tell_merged();
        std::stable_sort(
            out_.faults.begin(), out_.faults.end(),
            [](const csv::RowFault& a, const csv::RowFault& b) { return a.row < b.row; });
        return std::move(out_);
    }

  private:
    struct Column {
        std::string field;
        std::string unit;
    };

    void open() {
        if (begins_as_spreadsheet(source_.text)) {
            if (source_.spreadsheet.empty())
                fail("not-csv", {source_.name, "", 0, 0},
                     "this is a spreadsheet as its program stores it",
                     "name its file, or copy its cells as text");
            sheet_ = read_sheet(source_.spreadsheet, mapping_.sheet, mapping_.decimal_comma);
            source_.text = sheet_->csv;
            if (sheet_->hidden_rows > 0)
                out_.notes.push_back(std::to_string(sheet_->hidden_rows) +
                                     " rows of the sheet are hidden; they are read too");
            return;
        }
        if (csv::decode(source_.text, source_.name) == csv::Encoding::latin1)
            out_.notes.push_back(
                source_.name +
                ": not UTF-8, read as Latin-1; check that letters with accents look right");
    }

    [[nodiscard]] std::string field_named(const std::string& heading) const {
        const std::string wanted = small_letters(heading);
        for (const std::string& name : fields_) {
            if (name == wanted) return name;
        }
        for (const std::string& name : fields_) {
            const Field* field = field_of_kinds(kinds_, name);
            if (field != nullptr && small_letters(field->title) == wanted) return name;
        }
        return {};
    }

    void lay_out(std::span<const std::string_view> header) {
        std::vector<Fault> faults;
        std::vector<std::string> names;
        for (const std::string_view each : header) names.push_back(cleaned(each));
        columns_.resize(header.size());
        const auto no_column = [&](const std::string& name, const std::string& pointer) {
            const std::string near = nearest_name(name, names);
            std::string all;
            for (const std::string& one : names) all += (all.empty() ? "" : ", ") + one;
            faults.push_back({"no-such-column",
                              {mapping_.file, pointer, 0, 0},
                              source_.name + " has no column '" + name + "'",
                              near.empty() ? "its columns are " + excerpt(all, 300)
                                           : "is '" + near + "' meant?"});
        };
        for (const auto& [name, field] : mapping_.columns) {
            const auto found = std::find(names.begin(), names.end(), cleaned(name));
            if (found == names.end()) {
                no_column(name, pointer_to("/columns", name));
                continue;
            }
            columns_[static_cast<std::size_t>(found - names.begin())].field = field;
        }
        for (std::size_t i = 0; i < mapping_.row_needs.size(); ++i) {
            const auto found =
                std::find(names.begin(), names.end(), cleaned(mapping_.row_needs[i]));
            if (found == names.end())
                no_column(mapping_.row_needs[i], "/row_needs/" + std::to_string(i));
            else
                needed_.push_back(static_cast<std::size_t>(found - names.begin()));
        }
        if (!faults.empty()) throw FaultError(std::move(faults));
        for (std::size_t i = 0; i < names.size(); ++i) name_column(i, names[i]);
        for (const std::string needed : {"name", "length"}) {
            if (!out_.columns.contains(needed) && !mapping_.constants.contains(needed) &&
                !(needed == "name" && out_.columns.contains("id")))
                fail(
                    "no-such-column", {source_.name, "", 0, 0}, "it has no column '" + needed + "'",
                    "give it that heading, or say in a mapping (--mapping) which column it is; its "
                    "columns are " +
                        columns_as_text(names));
        }
    }

    static std::string columns_as_text(const std::vector<std::string>& names) {
        std::string all;
        for (const std::string& name : names) {
            if (!name.empty()) all += (all.empty() ? "" : ", ") + name;
        }
        return excerpt(all, 300);
    }

    void name_column(std::size_t number, const std::string& name) {
        Column& column = columns_[number];
        const Heading heading = heading_of(name);
        if (column.field.empty() && mapping_.columns.empty()) {
            column.field = field_named(heading.name);
            if (column.field.empty() && !name.empty())
                out_.notes.push_back("the column '" + name + "' is no field and is not taken");
        }
        if (column.field.empty()) return;
        column.unit = heading.unit;
        if (const auto unit = mapping_.units.find(column.field); unit != mapping_.units.end())
            column.unit = unit->second;
        if (const auto [at, is_new] = out_.columns.emplace(column.field, name); !is_new)
            fail("duplicate-column", {source_.name, "", 0, 0},
                 "the columns '" + at->second + "' and '" + name + "' are both " + column.field,
                 "rename one, or say in a mapping which is meant");
    }

    void take(const csv::Reader& reader) {
        const auto cells = reader.fields();
        if (std::any_of(needed_.begin(), needed_.end(),
                        [&](std::size_t column) { return cleaned(cells[column]).empty(); })) {
            out_.passed_over.push_back(reader.row());
            return;
        }
        PartsRow row;
        row.row = reader.row();
        row.line = reader.line();
        for (std::size_t i = 0; i < columns_.size(); ++i) {
            if (columns_[i].field.empty()) continue;
            std::string text = in_our_words(columns_[i].field, cleaned(cells[i]));
            if (!text.empty()) row.cells[columns_[i].field] = std::move(text);
        }
        if (row.cells.empty()) return;
        if (is_total(row)) {
            out_.refuse(row, "name", "total-row", "this row adds others up and is no part",
                        "leave it out of the list, or name under row_needs a column that is empty "
                        "in it");
            return;
        }
        const std::size_t before = out_.faults.size();
        for (std::size_t i = 0; i < columns_.size(); ++i) read_number(row, i);
        for (const auto& [field, value] : mapping_.constants) row.cells.try_emplace(field, value);
        if (!wanted_.piece.empty()) row.cells.try_emplace("piece", wanted_.piece);
        if (out_.faults.size() == before) out_.rows.push_back(std::move(row));
    }

    [[nodiscard]] std::string in_our_words(const std::string& field, std::string text) const {
        if (const auto taken = mapping_.remove.find(field); taken != mapping_.remove.end()) {
            for (const std::string& part : taken->second) {
                for (auto at = part.empty() ? std::string::npos : text.find(part);
                     at != std::string::npos; at = text.find(part))
                    text.erase(at, part.size());
            }
            text = std::string(trimmed(text));
        }
        if (const auto words = mapping_.words.find(field); words != mapping_.words.end()) {
            if (const auto found = words->second.find(text); found != words->second.end())
                return found->second;
        }
        return text;
    }

    [[nodiscard]] bool is_total(const PartsRow& row) const {
        for (std::size_t i = 0; sheet_ && i < columns_.size(); ++i) {
            if (!columns_[i].field.empty() &&
                sheet_->sums.contains({row.row, static_cast<int>(i) + 1}))
                return true;
        }
        for (const char* field : {"name", "id"}) {
            const auto found = row.cells.find(field);
            if (found == row.cells.end()) continue;
            std::string word =
                small_letters(found->second.substr(0, found->second.find_first_of(" :")));
            std::erase(word, '-');
            return std::find(words_of_totals.begin(), words_of_totals.end(), word) !=
                   words_of_totals.end();
        }
        return false;
    }

    /// A number gets a decimal point, and a length its unit.
    void read_number(PartsRow& row, std::size_t number) {
        const Column& column = columns_[number];
        const auto cell = row.cells.find(column.field);
        if (cell == row.cells.end()) return;
        if (sheet_ && sheet_->without_result.contains({row.row, static_cast<int>(number) + 1})) {
            out_.refuse(row, column.field, "no-result", "this formula has no result in the file",
                        "open the spreadsheet, let it calculate, and save it");
            return;
        }
        const Field* field = field_of_kinds(kinds_, column.field);
        const bool length =
            column.field == "thickness" || (field != nullptr && field->type == FieldType::quantity);
        const bool plain = column.field == "count" ||
                           (field != nullptr &&
                            (field->type == FieldType::count || field->type == FieldType::number));
        if (!length && !plain) return;
        const std::string& unit = column.unit.empty() ? wanted_.unit : column.unit;
        try {
            cell->second = with_decimal_point(
                cell->second, {mapping_.decimal_comma, mapping_.decimal_stated, mapping_.grouping},
                length ? unit : std::string());
        } catch (const FaultError& error) {
            const Fault& fault = error.faults().front();
            out_.refuse(row, column.field, fault.code, fault.wrong, fault.right);
            return;
        }
        if (!length || !is_bare_number(cell->second)) return;
        if (unit.empty()) {
            out_.refuse(row, column.field, "missing-unit", in_quotes(cell->second) + " has no unit",
                        "write it into the heading, as '" + column.field +
                            " mm', or say --unit mm");
            return;
        }
        cell->second += ' ' + unit;
    }

    /// A cell that reaches over several rows or columns says nothing of what it covers.
    void tell_merged() {
        if (!sheet_) return;
        for (const MergedCells& cells : sheet_->merged) {
            const bool in_rows =
                std::any_of(out_.rows.begin(), out_.rows.end(), [&](const PartsRow& row) {
                    return row.row >= cells.first_row && row.row <= cells.last_row;
                });
            if (!in_rows) continue;
            for (std::size_t i = 0; i < columns_.size(); ++i) {
                const int column = static_cast<int>(i) + 1;
                if (columns_[i].field.empty() || column < cells.first_column ||
                    column > cells.last_column)
                    continue;
                PartsRow first;
                first.row = first.line = cells.first_row;
                out_.refuse(first, columns_[i].field, "merged-cells",
                            "the cells " + cells.range +
                                " are merged, so that only the first of "
                                "them says something",
                            "split them and write the value into each row");
                break;
            }
        }
    }

    PartsSource source_;
    const PartsToTake& wanted_;
    const PartsMapping& mapping_;
    std::vector<const contract::LineKind*> kinds_;
    std::vector<std::string> fields_;
    std::optional<SheetText> sheet_;
    std::vector<Column> columns_;
    std::vector<std::size_t> needed_;
    PartsRows out_;
};

} // namespace

std::vector<const contract::LineKind*>
kinds_of_parts(std::span<const contract::Description> modules) {
    std::vector<const contract::LineKind*> kinds;
    for (const contract::Description& module : modules) {
        for (const contract::LineKind& kind : module.line_kinds) {
            if (!kind.material_class.empty() && find_field(kind.fields, "length") != nullptr)
                kinds.push_back(&kind);
        }
    }
    return kinds;
}

std::vector<std::string> fields_of_parts(std::span<const contract::Description> modules) {
    std::vector<std::string> names(common_parts_fields.begin(), common_parts_fields.end());
    for (const contract::LineKind* kind : kinds_of_parts(modules)) {
        for (const Field& field : kind->fields) {
            const bool one_cell = field.type != FieldType::records &&
                                  field.type != FieldType::lines &&
                                  field.type != FieldType::texts &&
                                  (field.type != FieldType::record || has_short_form(field));
            if (one_cell && std::find(names.begin(), names.end(), field.name) == names.end())
                names.push_back(field.name);
        }
    }
    return names;
}

void PartsRows::refuse(const PartsRow& row, const std::string& field, std::string code,
                       std::string wrong, std::string right) {
    const auto heading = columns.find(field);
    const auto cell = row.cells.find(field);
    faults.push_back(csv::row_fault(std::move(code), source, row.line, row.row,
                                    heading == columns.end() ? std::string_view{} : heading->second,
                                    cell == row.cells.end() ? std::string_view{} : cell->second,
                                    std::move(wrong), std::move(right)));
}

PartsRows read_parts_rows(PartsSource source, const PartsToTake& wanted,
                          std::span<const contract::Description> modules) {
    return PartsReader(std::move(source), wanted, modules).read();
}

} // namespace aumbry
