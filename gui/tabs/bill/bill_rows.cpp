#include "tabs/bill/bill_rows.hpp"

#include "widgets/widgets.hpp"

#include "aumbry/reader_measures.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>
#include <map>
#include <unordered_map>

namespace aumbry::gui {

using contract::Field;

namespace {

/// More lengths than this do not fit beside the rest; the form has them all.
constexpr std::size_t max_sizes = 3;

std::string lowered(std::string text) {
    for (char& c : text) {
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    }
    return text;
}

const Json* value_of(const EstimateLine* line, const std::string& name) {
    if (line == nullptr) return nullptr;
    const Json* value = member_of(&line->fields, name);
    return value != nullptr ? value : member_of(&line->derived, name);
}

std::string title_of_line(const BillRow& row) {
    const std::string title = written(member_of(row.line, "title"));
    return title.empty() ? row.id : title;
}

std::string kind_title(const BillRow& row) {
    return row.kind != nullptr ? row.kind->title : written(member_of(row.line, "kind"));
}

/// What a row is sorted by: number first, then text; rows without a number go last.
struct SortKey {
    bool none = false;
    double number = 0;
    std::string text;
};

SortKey key_of(const State& state, const BillRow& row, const BillColumn& column) {
    switch (column.type) {
    case ColumnType::finding:
        return {!row.worst, row.worst ? -static_cast<double>(*row.worst) : 0, ""};
    case ColumnType::count:
        return {row.now == nullptr, row.now == nullptr ? 0 : static_cast<double>(row.now->count),
                ""};
    case ColumnType::size: {
        const Json* value = value_of(row.now, column.name);
        const bool number = value != nullptr && value->is_number();
        return {!number, number ? value->get<double>() : 0, ""};
    }
    case ColumnType::cost: {
        const bool priced = row.now != nullptr && row.now->not_priced.empty();
        return {!priced, priced ? static_cast<double>(row.now->cost.minor()) : 0, ""};
    }
    case ColumnType::mass: {
        const bool heavy = row.now != nullptr && row.now->mass > 0;
        return {!heavy, heavy ? row.now->mass : 0, ""};
    }
    default:
        return {false, 0, lowered(cell_text(state, row, column).main)};
    }
}

void sort_rows(const State& state, std::vector<BillRow>& rows, const BillColumn& column,
               bool down) {
    std::vector<std::pair<SortKey, BillRow>> keyed;
    keyed.reserve(rows.size());
    for (BillRow& row : rows) {
        SortKey key = key_of(state, row, column);
        keyed.emplace_back(std::move(key), std::move(row));
    }
    std::stable_sort(keyed.begin(), keyed.end(), [&](const auto& a, const auto& b) {
        if (a.first.none || b.first.none) return !a.first.none && b.first.none;
        const auto one = std::tie(a.first.number, a.first.text);
        const auto other = std::tie(b.first.number, b.first.text);
        return down ? other < one : one < other;
    });
    for (std::size_t i = 0; i < rows.size(); ++i) rows[i] = std::move(keyed[i].second);
}

bool passes(const BillRow& row, const std::string& filter, const std::string& piece) {
    if (filter.empty()) return true;
    const std::string all = title_of_line(row) + '\n' + row.id + '\n' + kind_title(row) + '\n' +
                            written(member_of(row.line, "material")) + '\n' + piece;
    return lowered(all).find(filter) != std::string::npos;
}

} // namespace

std::string piece_title(const State& state, const std::string& piece) {
    if (piece.empty()) return "The whole job";
    const std::string title =
        written(find_at(state.document, pointer_to("/pieces", piece) + "/title"));
    return title.empty() ? piece : title;
}

std::vector<BillColumn> bill_columns(const State& state) {
    std::vector<BillColumn> columns{
        {ColumnType::title, "title", "Line"},
        {ColumnType::kind, "", "Kind"},
        {ColumnType::count, "count", "Count"},
        {ColumnType::material, "material", "Material"},
    };
    // The lengths that most lines have, as their kinds declare them.
    std::map<std::string, std::size_t> uses;
    std::map<std::string, std::string> titles;
    std::vector<std::string> order;
    // As people say them: the long way first.
    static constexpr std::array<std::string_view, 3> spoken{"length", "width", "thickness"};
    const auto use = [&](const std::string& name, const std::string& title) {
        if (titles.emplace(name, title).second) order.push_back(name);
        ++uses[name];
    };
    if (const Json* lines = find_at(state.document, "/lines"); lines && lines->is_object()) {
        for (const Json& line : *lines) {
            const contract::LineKind* kind =
                state.knowledge == nullptr
                    ? nullptr
                    : state.knowledge->kind(written(member_of(&line, "kind")));
            if (kind == nullptr) continue;
            for (const Field& field : kind->fields) {
                if (field.unit == "mm" && (field.required || line.contains(field.name)))
                    use(field.name, field.title);
            }
            for (const contract::DerivedValue& value : kind->derived) {
                const bool said =
                    std::find(spoken.begin(), spoken.end(), value.name) != spoken.end();
                if (said && value.unit == "mm" && !line.contains(value.name))
                    use(value.name, value.title);
            }
        }
    }
    std::stable_sort(order.begin(), order.end(),
                     [&](const std::string& a, const std::string& b) { return uses[a] > uses[b]; });
    if (order.size() > max_sizes) order.resize(max_sizes);
    std::stable_sort(order.begin(), order.end(), [](const std::string& a, const std::string& b) {
        return std::find(spoken.begin(), spoken.end(), a) <
               std::find(spoken.begin(), spoken.end(), b);
    });
    for (const std::string& name : order)
        columns.push_back({ColumnType::size, name, titles.at(name)});
    columns.push_back({ColumnType::mass, "", "Mass"});
    columns.push_back({ColumnType::cost, "", "Cost"});
    columns.push_back({ColumnType::finding, "", "Watch out"});
    return columns;
}

BillTable bill_table(const State& state, const BillOrder& order) {
    BillTable table;
    table.columns = bill_columns(state);
    const Estimate* estimate = state.estimate();
    std::unordered_map<std::string_view, const EstimateLine*> now;
    std::unordered_map<std::string_view, const EstimateFinding*> findings;
    if (estimate != nullptr) {
        for (const EstimateLine& line : estimate->lines) now.emplace(line.id, &line);
        for (const EstimateFinding& finding : estimate->findings) {
            if (finding.line.empty()) continue;
            const EstimateFinding*& worst = findings[finding.line];
            if (worst == nullptr || worst->severity < finding.severity) worst = &finding;
        }
    }
    std::unordered_map<std::string, const contract::LineKind*> kinds;
    std::vector<std::string> pieces;
    std::unordered_map<std::string, std::vector<BillRow>> rows;
    if (const Json* known = find_at(state.document, "/pieces"); known && known->is_object()) {
        for (const auto& [id, piece] : known->items()) pieces.push_back(id);
    }
    const std::size_t known_pieces = pieces.size();
    const std::string filter = lowered(state.bill.filter);
    if (const Json* lines = find_at(state.document, "/lines"); lines && lines->is_object()) {
        for (const auto& [id, line] : lines->items()) {
            if (id.starts_with("x-")) continue;
            BillRow row;
            row.id = id;
            row.line = &line;
            row.piece = written(member_of(&line, "piece"));
            const std::string kind = written(member_of(&line, "kind"));
            const auto [known, fresh] = kinds.try_emplace(kind, nullptr);
            if (fresh && state.knowledge != nullptr) known->second = state.knowledge->kind(kind);
            row.kind = known->second;
            if (const auto found = now.find(id); found != now.end()) row.now = found->second;
            if (const auto found = findings.find(id); found != findings.end()) {
                row.worst = found->second->severity;
                row.finding = found->second->text;
            }
            if (!filter.empty() && !passes(row, filter, piece_title(state, row.piece))) continue;
            if (std::find(pieces.begin(), pieces.end(), row.piece) == pieces.end())
                pieces.push_back(row.piece);
            rows[row.piece].push_back(std::move(row));
        }
    }
    for (std::size_t i = 0; i < pieces.size(); ++i) {
        std::vector<BillRow>& of_piece = rows[pieces[i]];
        // An empty piece is shown too, for lines to be put there; not while something is searched.
        if (of_piece.empty() && (!filter.empty() || i >= known_pieces)) continue;
        if (order.column >= 0 && order.column < static_cast<int>(table.columns.size()))
            sort_rows(state, of_piece, table.columns[static_cast<std::size_t>(order.column)],
                      order.down);
        BillRow heading;
        heading.piece = pieces[i];
        table.rows.push_back(std::move(heading));
        for (BillRow& row : of_piece) table.rows.push_back(std::move(row));
    }
    return table;
}

const Field* field_of(const BillRow& row, const BillColumn& column) {
    if (row.line == nullptr || column.name.empty()) return nullptr;
    if (column.type == ColumnType::title || column.type == ColumnType::count)
        return find_field(common_line_fields(), column.name);
    if (row.kind == nullptr) return nullptr;
    if (column.type == ColumnType::material)
        return row.kind->material_class.empty() ? nullptr
                                                : find_field(common_line_fields(), column.name);
    return find_field(row.kind->fields, column.name);
}

const Json* written_in(const BillRow& row, const BillColumn& column) {
    return column.name.empty() ? nullptr : member_of(row.line, column.name);
}

CellText cell_text(const State& state, const BillRow& row, const BillColumn& column) {
    const Estimate* estimate = state.estimate();
    CellText text;
    switch (column.type) {
    case ColumnType::finding:
        if (row.worst) text.main = word_of(*row.worst);
        text.below = row.finding;
        break;
    case ColumnType::title:
        text.main = title_of_line(row);
        text.below = row.id;
        break;
    case ColumnType::kind:
        text.main = kind_title(row);
        break;
    case ColumnType::material: {
        text.main = written(written_in(row, column));
        const std::string title =
            written(find_at(state.document, pointer_to("/materials", text.main) + "/title"));
        if (!text.main.empty()) text.below = title;
        break;
    }
    case ColumnType::count: {
        const std::string entry = written(written_in(row, column));
        text.main = row.now != nullptr ? std::to_string(row.now->count) : entry;
        if (row.now == nullptr && entry.empty()) text.main = "1";
        if (entry != text.main) text.below = entry;
        break;
    }
    case ColumnType::size: {
        const Json* entry = written_in(row, column);
        const Json* value = value_of(row.now, column.name);
        Field field;
        field.unit = "mm";
        if (value != nullptr && estimate != nullptr) text.main = computed(field, *value, *estimate);
        const std::string as_written = written(entry);
        if (text.main.empty()) {
            text.main = as_written;
            break;
        }
        if (as_written != text.main) text.below = as_written;
        // The unit stands above the table.
        const std::string unit = ' ' + estimate->length_unit;
        if (text.main.ends_with(unit)) text.main.resize(text.main.size() - unit.size());
        break;
    }
    case ColumnType::cost:
        if (row.now != nullptr)
            text.main = row.now->not_priced.empty() ? row.now->cost.grouped() : "not priced";
        break;
    case ColumnType::mass:
        if (row.now != nullptr && row.now->mass > 0)
            text.main = mass_text(row.now->mass, estimate->length_unit);
        break;
    }
    return text;
}

} // namespace aumbry::gui
