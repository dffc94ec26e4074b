#include "line/resolve/lines.hpp"

#include "line/resolve/sections.hpp"
#include "values/excerpt.hpp"

#include "aumbry/line_access.hpp"

#include <algorithm>
#include <utility>

namespace aumbry::resolving {

using contract::Field;
using contract::FieldType;

namespace {

std::string nearest_advice(const std::string& name, const std::vector<std::string>& names,
                           const std::string& otherwise) {
    const std::string near = nearest_name(name, names);
    return near.empty() ? otherwise : "did you mean " + in_quotes(near) + "?";
}

const Field& parameter_field() {
    static const Field field = [] {
        Field made;
        made.name = "value";
        made.type = FieldType::number;
        return made;
    }();
    return field;
}

bool is_note(std::string_view key) {
    return key == "class" || key == "title" || key == "note" || key == "carriage" ||
           key.starts_with("x-");
}

} // namespace

LineReader::LineReader(const Project& project, const KnownModules& modules,
                       std::span<const Piece> pieces, FaultList& faults)
    : project_(project), modules_(modules), pieces_(pieces), faults_(faults) {}

void LineReader::open() {
    open_materials();
    open_lines();
    open_parameters();
}

NodeId LineReader::add_value(Source source, std::string name) {
    if (graph_.find(name))
        faults_.add("name-clash", source.pointer, "the name " + in_quotes(name) + " is used twice",
                    "rename one of the two");
    sources_.push_back(std::move(source));
    return graph_.add(std::move(name), NodeRole::value);
}

void LineReader::open_parameters() {
    const Json* parameters = Reading{project_.document, faults_}.section("parameters");
    if (parameters == nullptr) return;
    for (const auto& [name, value] : parameters->items()) {
        if (name.starts_with("x-")) continue;
        const std::string pointer = pointer_to("/parameters", name);
        const NodeId node =
            add_value({Source::Kind::parameter, 0, &parameter_field(), &value, pointer}, name);
        if (value.is_string() || value.is_number()) continue;
        faults_.add("wrong-type", pointer, std::string("found ") + value.type_name(),
                    "write a quantity such as '8 mm', a number, or a formula");
        graph_.set_faulty(node);
    }
}

// ---------------------------------------------------------------- materials

void LineReader::open_materials() {
    const Json* materials = Reading{project_.document, faults_}.section("materials");
    if (materials == nullptr) return;
    for (const auto& [id, material] : materials->items()) {
        if (!id.starts_with("x-")) open_material(id, material);
    }
}

void LineReader::open_material(const std::string& id, const Json& json) {
    const std::string pointer = pointer_to("/materials", id);
    const std::size_t owner = materials_.size();
    material_index_[id] = owner;
    materials_.push_back({{id, "", Json::object()}, false, true, {}});
    if (!json.is_object() || !json.contains("class") || !json["class"].is_string()) {
        faults_.add("missing-key", pointer, "the material " + in_quotes(id) + " has no class",
                    modules_.missing_class_advice());
        materials_.back().faulty = true;
        return;
    }
    materials_.back().material.catalog_class = json["class"].get<std::string>();
    out_.material_titles[id] = text(json, "title", id);
    read_carriage(materials_.back().material, json, pointer);
    open_attributes(owner, json, pointer);
}

void LineReader::read_carriage(contract::Material& material, const Json& json,
                               const std::string& pointer) {
    const auto found = json.find("carriage");
    if (found == json.end()) return;
    if (*found == "vehicle")
        material.carriage = contract::Carriage::vehicle;
    else if (*found == "delivered")
        material.carriage = contract::Carriage::delivered;
    else
        faults_.add("unknown-choice", pointer + "/carriage",
                    "the carriage of the material " + in_quotes(material.id) +
                        " is neither \"vehicle\" nor \"delivered\"",
                    "write one of the two, or leave it out");
}

void LineReader::open_attributes(std::size_t owner, const Json& json, const std::string& pointer) {
    MaterialEntry& entry = materials_[owner];
    const std::string& id = entry.material.id;
    const std::string& name = entry.material.catalog_class;
    const contract::CatalogClass* catalog_class = modules_.find_class(name);
    if (catalog_class == nullptr) {
        // What an attribute of such a class is, nobody knows: what uses one is not priced.
        entry.class_known = false;
        for (const auto& [key, value] : json.items()) {
            if (is_note(key)) continue;
            const NodeId node = add_value(
                {Source::Kind::attribute, owner, nullptr, &value, pointer_to(pointer, key)},
                id + '.' + key);
            graph_.set_not_priced(node, "no module knows the class " + in_quotes(name));
        }
        return;
    }
    std::vector<std::string> known{"class", "title", "note", "carriage"};
    for (const Field& field : catalog_class->attributes) known.push_back(field.name);
    refuse_unknown_keys(json, known, pointer, faults_);
    for (const Field& field : catalog_class->attributes) {
        const auto found = json.find(field.name);
        if (found == json.end()) continue;
        entry.attributes.push_back(add_value(
            {Source::Kind::attribute, owner, &field, &*found, pointer_to(pointer, field.name)},
            id + '.' + field.name));
    }
}

// ---------------------------------------------------------------- lines

void LineReader::open_lines() {
    const Json* lines = Reading{project_.document, faults_}.section("lines");
    if (lines == nullptr) return;
    out_.lines.reserve(lines->size());
    // Names first: a line may name one that stands after it.
    for (const auto& [id, line] : lines->items()) {
        if (id.starts_with("x-")) continue;
        if (material_index_.contains(id)) {
            faults_.add("name-clash", pointer_to("/lines", id),
                        "the line " + in_quotes(id) + " is called like a material",
                        "rename one of the two");
        }
        line_index_[id] = out_.lines.size();
        ResolvedLine resolved;
        resolved.line.id = id;
        if (line.is_object()) {
            resolved.line.kind = text(line, "kind");
            resolved.line.piece = text(line, "piece");
        }
        out_.lines.push_back(std::move(resolved));
    }
    entries_.resize(out_.lines.size());
    for (const auto& [id, line] : lines->items()) {
        if (!id.starts_with("x-")) open_line(line_index_.at(id), line);
    }
}

void LineReader::open_line(std::size_t index, const Json& json) {
    const std::string pointer = pointer_to("/lines", out_.lines[index].line.id);
    sources_.push_back({Source::Kind::line, index, nullptr, nullptr, pointer});
    const NodeId node = graph_.add(out_.lines[index].line.id, NodeRole::line);
    entries_[index].node = node;
    const contract::LineKind* kind = open_kind(index, json, pointer);
    if (kind == nullptr) return;
    const std::string& module = out_.lines[index].module = modules_.module_of(kind->kind);
    const bool common = open_common(out_.lines[index], *kind, json, pointer);
    const bool material = open_material_of(index, *kind, json, pointer);
    bool fields = true;
    try {
        fields = open_fields(index, *kind, json, pointer);
    } catch (const ModuleError& error) {
        module_failed(module, error.reason(), {&node, 1});
    }
    for (const NodeId field : entries_[index].fields) graph_.depend(node, field);
    if (!common || !material || !fields) graph_.set_faulty(node);
}

const contract::LineKind* LineReader::open_kind(std::size_t index, const Json& json,
                                                const std::string& pointer) {
    const std::string& name = out_.lines[index].line.kind;
    const NodeId node = entries_[index].node;
    if (!json.is_object()) {
        faults_.add("wrong-type", pointer, std::string("found ") + json.type_name(),
                    "write an object in { }");
        graph_.set_faulty(node);
        return nullptr;
    }
    if (name.empty()) {
        faults_.add("missing-key", pointer,
                    "the line " + in_quotes(out_.lines[index].line.id) + " has no kind",
                    modules_.missing_kind_advice());
        graph_.set_faulty(node);
        return nullptr;
    }
    if (const contract::LineKind* kind = modules_.find_kind(name)) return kind;
    const std::string home = modules_.absent_home_of(name);
    if (home.empty()) {
        faults_.add("unknown-kind", pointer + "/kind", "unknown line kind " + in_quotes(name),
                    modules_.kind_advice(name));
        graph_.set_faulty(node);
    } else {
        graph_.set_not_priced(node, "module '" + home + "' is missing");
        note_absent(home);
    }
    return nullptr;
}

bool LineReader::open_common(ResolvedLine& line, const contract::LineKind& kind, const Json& json,
                             const std::string& pointer) {
    std::vector<std::string> known;
    for (const Field& field : common_line_fields()) known.push_back(field.name);
    for (const Field& field : kind.fields) known.push_back(field.name);
    refuse_unknown_keys(json, known, pointer, faults_);
    line.line.title = text(json, "title");
    bool sound = true;
    for (const Field& field : common_line_fields()) {
        const auto found = json.find(field.name);
        if (found == json.end()) continue;
        const bool fits = field.type == FieldType::text   ? found->is_string()
                          : field.type == FieldType::flag ? found->is_boolean()
                                                          : true;
        if (fits) continue;
        faults_.add("wrong-type", pointer_to(pointer, field.name),
                    std::string("found ") + found->type_name(),
                    field.type == FieldType::flag ? "write true or false"
                                                  : "write a text in quotes");
        sound = false;
    }
    line.size_known = flag(json, "size_known");
    if (line.size_known) line.line.fields["size_known"] = true;
    check_piece(line.line.piece, pointer + "/piece");
    return sound;
}

void LineReader::check_piece(const std::string& piece, const std::string& pointer) {
    if (piece.empty() || has_piece(pieces_, piece)) return;
    std::vector<std::string> names;
    for (const Piece& each : pieces_) names.push_back(each.id);
    faults_.add("unknown-piece", pointer, "there is no piece " + in_quotes(piece),
                nearest_advice(piece, names, "add it under \"pieces\""));
}

bool LineReader::open_material_of(std::size_t index, const contract::LineKind& kind,
                                  const Json& json, const std::string& pointer) {
    const std::string id = text(json, "material");
    const auto refuse = [&](const char* code, const char* key, std::string wrong,
                            std::string right) {
        faults_.add(code, pointer + key, std::move(wrong), std::move(right));
        return false;
    };
    if (kind.material_class.empty()) {
        if (id.empty()) return true;
        return refuse("needless-material", "/material",
                      "a line of kind " + in_quotes(kind.kind) + " takes no material",
                      "take it out");
    }
    if (id.empty())
        return refuse("missing-key", "", "missing key 'material'",
                      "name a role under \"materials\" of class " + in_quotes(kind.material_class));
    const auto found = material_index_.find(id);
    if (found == material_index_.end()) {
        std::vector<std::string> names;
        for (const MaterialEntry& entry : materials_) names.push_back(entry.material.id);
        return refuse("unknown-material", "/material", "there is no material role " + in_quotes(id),
                      nearest_advice(id, names, "add it under \"materials\""));
    }
    const MaterialEntry& entry = materials_[found->second];
    if (entry.faulty) return false;
    const std::string& of = entry.material.catalog_class;
    if (of != kind.material_class)
        return refuse("wrong-material", "/material",
                      "the material " + in_quotes(id) + " is of class " + in_quotes(of),
                      "a line of kind " + in_quotes(kind.kind) + " takes class " +
                          in_quotes(kind.material_class));
    entries_[index].material = found->second;
    if (!entry.class_known)
        graph_.set_not_priced(entries_[index].node,
                              "no module knows the class " + in_quotes(of) + " of its material");
    return true;
}

bool LineReader::open_fields(std::size_t index, const contract::LineKind& kind, const Json& json,
                             const std::string& pointer) {
    ResolvedLine& line = out_.lines[index];
    bool sound = true;
    const auto open_field = [&](const Field& field) {
        const auto found = json.find(field.name);
        if (found != json.end()) {
            entries_[index].fields.push_back(add_value(
                {Source::Kind::field, index, &field, &*found, pointer_to(pointer, field.name)},
                line.line.id + '.' + field.name));
        } else if (field.required) {
            faults_.add("missing-key", pointer, "missing key " + in_quotes(field.name),
                        field.help.empty() ? std::string() : "add it: " + field.help);
            sound = false;
        } else if (!field.fallback.is_null()) {
            use_fallback(line, field);
        }
    };
    const Field& count = *find_field(common_line_fields(), "count");
    if (json.contains(count.name))
        open_field(count);
    else
        values_[line.line.id + ".count"] = Quantity(1);
    for (const Field& field : kind.fields) open_field(field);
    return sound;
}

void LineReader::use_fallback(ResolvedLine& line, const Field& field) {
    line.line.fields[field.name] = field.fallback;
    if (!field.fallback.is_number()) return;
    values_[line.line.id + '.' + field.name] =
        module_quantity(line.module, field.name, field.fallback, field.unit);
}

void LineReader::note_absent(const std::string& module) {
    for (const AbsentModule& absent : out_.absent) {
        if (absent.module == module) return;
    }
    out_.absent.push_back({module, modules_.why_absent(module)});
}

} // namespace aumbry::resolving
