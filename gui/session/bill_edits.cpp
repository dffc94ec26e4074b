#include "session/bill_edits.hpp"

#include "app/state.hpp"

namespace aumbry::gui {

namespace {

std::string title_at(const Json& document, const std::string& pointer, const std::string& id) {
    const std::string title = written(find_at(document, pointer_to(pointer, id) + "/title"));
    return title.empty() ? id : title;
}

/// "Bed side", or "3 lines".
std::string named(const Json& document, const std::vector<std::string>& ids) {
    if (ids.size() == 1) return title_at(document, "/lines", ids.front());
    return std::to_string(ids.size()) + " lines";
}

/// The first material role of a class; empty when there is none.
std::string first_material(const Json& document, const std::string& catalog_class) {
    const Json* materials = find_at(document, "/materials");
    if (materials == nullptr || !materials->is_object()) return "";
    for (const auto& [id, material] : materials->items()) {
        if (written(member_of(&material, "class")) == catalog_class) return id;
    }
    return "";
}

} // namespace

LineEdit add_line(const Json& document, const contract::LineKind& kind, const std::string& piece,
                  const std::string& after) {
    const std::string id = new_id(document, "lines", kind.title);
    Json line = Json::object();
    line["kind"] = kind.kind;
    if (!piece.empty()) line["piece"] = piece;
    line["title"] = kind.title;
    if (!kind.material_class.empty()) {
        if (const std::string material = first_material(document, kind.material_class);
            !material.empty())
            line["material"] = material;
    }
    return {{"Add " + kind.title, {{pointer_to("/lines", id), std::move(line), after}}}, {id}};
}

LineEdit duplicate_lines(const Json& document, const std::vector<std::string>& ids) {
    LineEdit result;
    result.edit.label = "Duplicate " + named(document, ids);
    Json with_copies = document; // ids of copies are taken too
    for (const std::string& id : ids) {
        const Json* line = find_at(document, pointer_to("/lines", id));
        if (line == nullptr) continue;
        const std::string copy = new_id(with_copies, "lines", id);
        with_copies["lines"][copy] = *line;
        result.edit.changes.push_back({pointer_to("/lines", copy), *line, id});
        result.lines.push_back(copy);
    }
    return result;
}

Edit delete_lines(const Json& document, const std::vector<std::string>& ids) {
    Edit edit{"Delete " + named(document, ids), {}};
    for (const std::string& id : ids)
        edit.changes.push_back({pointer_to("/lines", id), std::nullopt, ""});
    return edit;
}

Edit move_lines(const Json& document, const std::vector<std::string>& ids,
                const std::string& piece) {
    const std::string where =
        piece.empty() ? std::string("the whole job") : title_at(document, "/pieces", piece);
    Edit edit{"Move " + named(document, ids) + " to " + where, {}};
    for (const std::string& id : ids) {
        const std::string pointer = pointer_to("/lines", id) + "/piece";
        if (piece.empty()) {
            edit.changes.push_back({pointer, std::nullopt, ""});
        } else {
            edit.changes.push_back({pointer, Json(piece), "kind"});
        }
    }
    return edit;
}

LineEdit move_to_new_piece(const Json& document, const std::vector<std::string>& ids,
                           const std::string& title) {
    const std::string piece = new_id(document, "pieces", title);
    Edit edit = move_lines(document, ids, piece);
    edit.label = ids.empty() ? "Add piece " + title : "Move to new piece " + title;
    edit.changes.insert(edit.changes.begin(),
                        Change{pointer_to("/pieces", piece), Json{{"title", title}}, ""});
    return {std::move(edit), {piece}};
}

} // namespace aumbry::gui
