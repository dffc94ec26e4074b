// What formulas and fields refer to: values by name, lines by id or by piece.
#include "line/resolve/lines.hpp"

#include "line/resolve/sections.hpp"
#include "values/excerpt.hpp"

#include <algorithm>
#include <utility>

namespace aumbry::resolving {

using contract::Field;
using contract::FieldType;

LineReader::NameAnswer LineReader::find_name(const std::string& name) {
    if (const auto node = graph_.find(name)) return {node, {}, {}};
    const auto point = name.find('.');
    const auto line =
        point == std::string::npos ? line_index_.end() : line_index_.find(name.substr(0, point));
    if (line != line_index_.end()) {
        const std::string member = name.substr(point + 1);
        const NodeId derived = entries_[line->second].node;
        const contract::LineKind* kind = modules_.find_kind(out_.lines[line->second].line.kind);
        if (kind == nullptr) return {derived, {}, {}};
        if (std::any_of(kind->derived.begin(), kind->derived.end(),
                        [&](const auto& value) { return value.name == member; }))
            return {derived, {}, {}};
        if (const Field* field = find_field(kind->fields, member))
            return {std::nullopt,
                    "the line " + in_quotes(line->first) + " has no value for " + in_quotes(member),
                    field->fallback.is_null() ? "give it one" : "it is no number"};
    }
    const std::string near = nearest_name(name, all_names());
    return {std::nullopt, "unknown name " + in_quotes(name),
            near.empty()
                ? "parameters are written as they are, values of lines and materials as 'id.name'"
                : "did you mean " + in_quotes(near) + "?"};
}

const std::vector<std::string>& LineReader::all_names() {
    if (!all_names_.empty()) return all_names_;
    for (NodeId id = 0; id < graph_.size(); ++id) {
        if (graph_[id].role == NodeRole::value) all_names_.push_back(graph_[id].name);
    }
    for (const auto& [name, value] : values_) all_names_.push_back(name);
    for (const ResolvedLine& line : out_.lines) {
        const contract::LineKind* kind = modules_.find_kind(line.line.kind);
        if (kind == nullptr) continue;
        for (const contract::DerivedValue& value : kind->derived)
            all_names_.push_back(line.line.id + '.' + value.name);
    }
    std::sort(all_names_.begin(), all_names_.end());
    all_names_.erase(std::unique(all_names_.begin(), all_names_.end()), all_names_.end());
    return all_names_;
}

void LineReader::link() {
    link_formulas();
    note_dependence();
    for (std::size_t line = 0; line < out_.lines.size(); ++line) {
        const NodeId node = entries_[line].node;
        if (graph_[node].state == NodeState::not_priced) continue;
        if (const auto material = entries_[line].material) {
            for (const NodeId attribute : materials_[*material].attributes)
                graph_.depend(node, attribute);
        }
        // Lines that its fields name, records included.
        std::vector<std::string> ids;
        for (const NodeId field : entries_[line].fields) {
            if (graph_[field].state == NodeState::waiting)
                collect_lines(*sources_[field].field, *sources_[field].raw, line, ids);
        }
        for (const std::string& id : ids) {
            graph_.depend(node, entries_[line_index_.at(id)].node);
            add_dependence(line, id);
        }
    }
}

void LineReader::link_formulas() {
    for (NodeId node = 0; node < graph_.size(); ++node) {
        const Source& source = sources_[node];
        if (source.kind == Source::Kind::line || graph_[node].state != NodeState::waiting) continue;
        for (const std::string& name : names_in(*source.field, *source.raw)) {
            if (values_.contains(name)) continue;
            const NameAnswer answer = find_name(name);
            if (answer.node) {
                graph_.depend(node, *answer.node);
            } else {
                faults_.add("unknown-name", source.pointer, answer.wrong, answer.right);
                graph_.set_faulty(node);
            }
        }
    }
}

/// Which lines' values each line uses: also through parameters and attributes.
void LineReader::note_dependence() {
    std::vector<NodeId> seen_for(graph_.size(), graph_.size());
    std::vector<NodeId> open;
    for (NodeId user = 0; user < graph_.size(); ++user) {
        if (sources_[user].kind != Source::Kind::field) continue;
        open = graph_[user].needs;
        while (!open.empty()) {
            const NodeId used = open.back();
            open.pop_back();
            if (std::exchange(seen_for[used], user) == user) continue;
            const Source& source = sources_[used];
            if (source.kind == Source::Kind::parameter || source.kind == Source::Kind::attribute)
                open.insert(open.end(), graph_[used].needs.begin(), graph_[used].needs.end());
            else if (source.owner != sources_[user].owner)
                add_dependence(sources_[user].owner, out_.lines[source.owner].line.id);
        }
    }
}

void LineReader::add_dependence(std::size_t line, const std::string& on) {
    auto& list = out_.lines[line].depends_on;
    const auto place = std::lower_bound(list.begin(), list.end(), on);
    if (place == list.end() || *place != on) list.insert(place, on);
}

void LineReader::collect_lines(const Field& field, const Json& raw, std::size_t self,
                               std::vector<std::string>& ids) const {
    const auto collect = [&](const Json& entry) {
        if (!entry.is_string()) return;
        try {
            for (std::string& id : expand(field, entry.get<std::string>())) {
                if (line_index_.at(id) != self &&
                    std::find(ids.begin(), ids.end(), id) == ids.end())
                    ids.push_back(std::move(id));
            }
        } catch (const FaultError&) {
            // The same fault is reported when the value is read.
        }
    };
    if (field.type == FieldType::line) collect(raw);
    if (field.type == FieldType::lines && raw.is_array()) {
        for (const Json& entry : raw) collect(entry);
    }
    const auto within = [&](const Json& record) {
        if (!record.is_object()) return;
        for (const Field& inner : field.fields) {
            if (record.contains(inner.name)) collect_lines(inner, record[inner.name], self, ids);
        }
    };
    if (field.type == FieldType::record) within(raw);
    if (field.type == FieldType::records && raw.is_array()) {
        for (const Json& record : raw) within(record);
    }
}

namespace {

bool may_name(const Field& field, const std::string& kind) {
    return field.kinds.empty() ||
           std::find(field.kinds.begin(), field.kinds.end(), kind) != field.kinds.end();
}

std::string kinds_of(const Field& field) {
    std::string kinds;
    for (const std::string& kind : field.kinds) kinds += (kinds.empty() ? "" : " or ") + kind;
    return kinds;
}

} // namespace

std::vector<std::string> LineReader::expand(const Field& field, const std::string& entry) const {
    if (entry.ends_with(".*")) return lines_of_piece(entry.substr(0, entry.size() - 2), field);
    const auto found = line_index_.find(entry);
    if (found == line_index_.end()) {
        std::vector<std::string> names;
        for (const ResolvedLine& line : out_.lines) names.push_back(line.line.id);
        const std::string near = nearest_name(entry, names);
        fail("unknown-line", {}, "there is no line " + in_quotes(entry),
             near.empty() ? "name a line by its id" : "did you mean " + in_quotes(near) + "?");
    }
    const std::string& kind = out_.lines[found->second].line.kind;
    if (!may_name(field, kind))
        fail("wrong-kind", {}, "the line " + in_quotes(entry) + " is of kind " + in_quotes(kind),
             "name a line of kind " + kinds_of(field));
    return {entry};
}

std::vector<std::string> LineReader::lines_of_piece(const std::string& piece,
                                                    const Field& field) const {
    if (!has_piece(pieces_, piece))
        fail("unknown-piece", {}, "there is no piece " + in_quotes(piece),
             "name a piece, as in 'bed.*'");
    std::vector<std::string> ids;
    for (const ResolvedLine& line : out_.lines) {
        if (line.line.piece == piece && may_name(field, line.line.kind))
            ids.push_back(line.line.id);
    }
    if (ids.empty())
        fail("empty-piece", {},
             "the piece " + in_quotes(piece) + " has no line" +
                 (field.kinds.empty() ? "" : " of kind " + kinds_of(field)),
             "name a line or another piece");
    return ids;
}

} // namespace aumbry::resolving
