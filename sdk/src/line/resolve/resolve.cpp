#include "aumbry/resolve.hpp"

#include "values/excerpt.hpp"

#include "line/recorded/bought.hpp"

#include "aumbry/plugin.hpp"

#include <algorithm>
#include <array>
#include <deque>
#include <set>
#include <unordered_map>
#include <utility>

namespace aumbry {

using contract::Field;
using contract::FieldType;

std::string home_of_kind(std::string_view kind) {
    static constexpr std::array<std::pair<std::string_view, std::string_view>, 10> homes{
        {{"panel", "sheet_goods"},
         {"solid", "solid_stock"},
         {"kit", "hardware_kits"},
         {"fastener", "hardware_kits"},
         {"lift", "hardware_kits"},
         {"fixing", "hardware_kits"},
         {"coating", "finish"},
         {"mattress", "mattress"},
         {"item", "sundries"},
         {"service", "sundries"}}};
    for (const auto& [name, home] : homes) {
        if (name == kind) return std::string(home);
    }
    const auto point = kind.find('.');
    return point == std::string_view::npos ? std::string() : std::string(kind.substr(0, point));
}

namespace {

enum class State { waiting, known, faulty, not_priced };

/// Something that formulas may depend on: a parameter, an attribute of a material, a field of a
/// line, or the values that a module derives from a line.
struct Node {
    enum class Kind { parameter, attribute, field, derived } kind = Kind::parameter;
    std::size_t owner = 0; ///< index of the material or line
    std::string name;      ///< full: "ease", "carcase.thickness", "bed.length", "bed"
    const Field* field = nullptr;
    const Json* raw = nullptr;
    std::string pointer;
    State state = State::waiting;
    std::string reason; ///< why not priced
    std::size_t waits_for = 0;
    std::vector<std::size_t> dependents;
};

struct MaterialEntry {
    std::string id;
    contract::Material material;
    bool faulty = false;
};

/// Reads the document. One object a run; every fault goes into one list.
class Resolver {
  public:
    Resolver(const Project& project, PluginHost& host, const Json& tables,
             const std::string& effort)
        : project_(project), host_(host), tables_(tables), effort_(effort), faults_(project.file) {}

    Resolved run() {
        read_head();
        read_pieces();
        open_materials();
        open_lines();
        open_parameters();
        link();
        settle();
        report_loops();
        read_sections();
        read_owned();
        finish_lines();
        faults_.find_places(project_.text,
                            [&](const std::string& pointer) { return project_.origin(pointer); });
        faults_.throw_if_any();
        return std::move(out_);
    }

  private:
    // ------------------------------------------------------------ sections

    const Json* section(const char* key) {
        const auto found = project_.document.find(key);
        if (found == project_.document.end()) return nullptr;
        if (found->is_object()) return &*found;
        faults_.add("wrong-type", std::string("/") + key,
                    std::string("found ") + found->type_name(), "write an object in { }");
        return nullptr;
    }

    std::string head_text(const char* key, bool must) {
        const auto found = project_.document.find(key);
        if (found == project_.document.end()) {
            if (must) faults_.add("missing-key", "", std::string("missing key '") + key + "'");
            return {};
        }
        if (!found->is_string()) {
            faults_.add("wrong-type", std::string("/") + key,
                        std::string("found ") + found->type_name(), "write a text in quotes");
            return {};
        }
        return found->get<std::string>();
    }

    template <class Reading>
    void at(const std::string& pointer, const Reading& reading) {
        try {
            reading();
        } catch (const FaultError& error) {
            for (const Fault& fault : error.faults()) faults_.add_at(fault, pointer);
        }
    }

    void read_head() {
        std::vector<std::string> known(project_keys().begin(), project_keys().end());
        refuse_unknown_keys(project_.document, known, "", faults_);
        out_.title = head_text("title", true);
        (void)head_text("note", false);
        if (const std::string code = head_text("currency", true); !code.empty())
            at("/currency", [&] { out_.currency = currency(code); });
        if (const std::string unit = head_text("length_unit", false); !unit.empty()) {
            if (unit == "mm" || unit == "in")
                out_.length_unit = unit;
            else
                faults_.add("unknown-choice", "/length_unit",
                            "unknown length unit " + in_quotes(unit), "write \"mm\" or \"in\"");
        }
        if (const std::string date = head_text("priced_on", true); !date.empty())
            at("/priced_on", [&] { out_.priced_on = parse_date(date); });
        if (const std::string date = head_text("start", true); !date.empty())
            at("/start", [&] { out_.start = parse_date(date); });
    }

    void read_pieces() {
        const Json* pieces = section("pieces");
        if (pieces == nullptr) return;
        for (const auto& [id, piece] : pieces->items()) {
            const Json values =
                read_fields(piece_fields(), piece, pointer_to("/pieces", id), {}, faults_);
            out_.pieces.push_back({id, text(values, "title", id)});
        }
    }

    [[nodiscard]] bool has_piece(const std::string& id) const {
        return std::any_of(out_.pieces.begin(), out_.pieces.end(),
                           [&](const Piece& piece) { return piece.id == id; });
    }

    // ------------------------------------------------------------ nodes

    std::size_t add_node(Node node) {
        const std::size_t index = nodes_.size();
        if (!by_name_.emplace(node.name, index).second) {
            faults_.add("name-clash", node.pointer,
                        "the name " + in_quotes(node.name) + " is used twice",
                        "rename one of the two");
        }
        nodes_.push_back(std::move(node));
        return index;
    }

    void open_parameters() {
        static const Field any = [] {
            Field field;
            field.name = "value";
            field.type = FieldType::number;
            return field;
        }();
        const Json* parameters = section("parameters");
        if (parameters == nullptr) return;
        for (const auto& [name, value] : parameters->items()) {
            if (name.starts_with("x-")) continue;
            Node node;
            node.name = name;
            node.field = &any;
            node.raw = &value;
            node.pointer = pointer_to("/parameters", name);
            if (!value.is_string() && !value.is_number()) {
                faults_.add("wrong-type", node.pointer, std::string("found ") + value.type_name(),
                            "write a quantity such as '8 mm', a number, or a formula");
                node.state = State::faulty;
            }
            add_node(std::move(node));
        }
    }

    void open_materials() {
        const Json* materials = section("materials");
        if (materials == nullptr) return;
        for (const auto& [id, material] : materials->items()) {
            if (id.starts_with("x-")) continue;
            const std::string pointer = pointer_to("/materials", id);
            MaterialEntry entry{id, {id, "", Json::object()}, false};
            if (!material.is_object() || !material.contains("class") ||
                !material["class"].is_string()) {
                faults_.add("missing-key", pointer,
                            "the material " + in_quotes(id) + " has no class",
                            "add \"class\", as in \"class\": \"sheet\"");
                entry.faulty = true;
                add_material(std::move(entry));
                continue;
            }
            entry.material.catalog_class = material["class"].get<std::string>();
            out_.material_titles[id] = text(material, "title", id);
            const contract::CatalogClass* catalog_class =
                host_.find_class(entry.material.catalog_class);
            const std::size_t owner = add_material(entry);
            if (catalog_class == nullptr) {
                // Lines that use it say why they are not priced; attributes of a class that nobody
                // knows have no meaning.
                materials_[owner].faulty = true;
                continue;
            }
            std::vector<std::string> known{"class", "title", "note"};
            for (const Field& field : catalog_class->attributes) known.push_back(field.name);
            refuse_unknown_keys(material, known, pointer, faults_);
            for (const Field& field : catalog_class->attributes) {
                const auto found = material.find(field.name);
                if (found == material.end()) continue;
                Node node;
                node.kind = Node::Kind::attribute;
                node.owner = owner;
                node.name = id + '.' + field.name;
                node.field = &field;
                node.raw = &*found;
                node.pointer = pointer_to(pointer, field.name);
                add_node(std::move(node));
            }
        }
    }

    std::size_t add_material(MaterialEntry entry) {
        material_index_[entry.id] = materials_.size();
        materials_.push_back(std::move(entry));
        return materials_.size() - 1;
    }

    void open_lines() {
        const Json* lines = section("lines");
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
            if (line.is_object() && line.contains("kind") && line["kind"].is_string())
                resolved.line.kind = line["kind"].get<std::string>();
            if (line.is_object()) resolved.line.piece = text(line, "piece");
            out_.lines.push_back(std::move(resolved));
            derived_node_.push_back(0);
            field_nodes_.emplace_back(0, 0);
        }
        for (const auto& [id, line] : lines->items()) {
            if (!id.starts_with("x-")) open_line(line_index_.at(id), line);
        }
    }

    void open_line(std::size_t index, const Json& json) {
        ResolvedLine& resolved = out_.lines[index];
        const std::string pointer = pointer_to("/lines", resolved.line.id);
        Node derived;
        derived.kind = Node::Kind::derived;
        derived.owner = index;
        derived.name = resolved.line.id;
        derived.pointer = pointer;

        if (!json.is_object()) {
            faults_.add("wrong-type", pointer, std::string("found ") + json.type_name(),
                        "write an object in { }");
            derived.state = State::faulty;
        } else if (resolved.line.kind.empty()) {
            faults_.add("missing-key", pointer,
                        "the line " + in_quotes(resolved.line.id) + " has no kind",
                        "add \"kind\", as in \"kind\": \"panel\"");
            derived.state = State::faulty;
        }
        const contract::LineKind* kind = host_.find_kind(resolved.line.kind);
        if (derived.state == State::waiting && kind == nullptr) {
            const std::string home = home_of_kind(resolved.line.kind);
            if (home.empty()) {
                faults_.add("unknown-kind", pointer + "/kind",
                            "unknown line kind " + in_quotes(resolved.line.kind),
                            unknown_kind_advice(resolved.line.kind));
                derived.state = State::faulty;
            } else {
                derived.state = State::not_priced;
                derived.reason = "module '" + home + "' is missing";
                note_absent(home);
            }
        }
        if (derived.state != State::waiting) {
            // Kept under a name that no formula can write, so that a parameter may carry the line's
            // id.
            derived.name += '.';
            derived_node_[index] = add_node(std::move(derived));
            return;
        }
        resolved.module = host_.module_of_kind(resolved.line.kind)->id;

        std::vector<std::string> known;
        for (const Field& field : common_line_fields()) known.push_back(field.name);
        for (const Field& field : kind->fields) known.push_back(field.name);
        refuse_unknown_keys(json, known, pointer, faults_);
        resolved.line.title = text(json, "title");
        bool faulty = false;
        if (json.contains("size_known")) {
            if (json["size_known"].is_boolean()) {
                resolved.size_known = json["size_known"].get<bool>();
            } else {
                faults_.add("wrong-type", pointer + "/size_known",
                            std::string("found ") + json["size_known"].type_name(),
                            "write true or false");
                faulty = true;
            }
        }
        for (const Field& field : common_line_fields()) {
            if (field.type != FieldType::text || !json.contains(field.name) ||
                json[field.name].is_string())
                continue;
            faults_.add("wrong-type", pointer_to(pointer, field.name),
                        std::string("found ") + json[field.name].type_name(),
                        "write a text in quotes");
            faulty = true;
        }
        if (!resolved.line.piece.empty() && !has_piece(resolved.line.piece)) {
            std::vector<std::string> names;
            for (const Piece& piece : out_.pieces) names.push_back(piece.id);
            const std::string near = nearest_name(resolved.line.piece, names);
            faults_.add("unknown-piece", pointer + "/piece",
                        "there is no piece " + in_quotes(resolved.line.piece),
                        near.empty() ? "add it under \"pieces\""
                                     : "did you mean " + in_quotes(near) + "?");
        }
        if (!open_material_of(resolved, *kind, json, pointer)) faulty = true;

        field_nodes_[index] = {nodes_.size(), nodes_.size()};
        const auto open_field = [&](const Field& field) {
            const auto found = json.find(field.name);
            if (found == json.end()) {
                if (field.required) {
                    faults_.add("missing-key", pointer, "missing key " + in_quotes(field.name),
                                field.help.empty() ? std::string() : "add it: " + field.help);
                    faulty = true;
                } else if (!field.fallback.is_null() && field.name != "count") {
                    resolved.line.fields[field.name] = field.fallback;
                    if (field.fallback.is_number()) {
                        values_[resolved.line.id + '.' + field.name] =
                            field.unit.empty()
                                ? Quantity(field.fallback.get<double>())
                                : from_unit(field.fallback.get<double>(), field.unit);
                    }
                }
                return;
            }
            Node node;
            node.kind = Node::Kind::field;
            node.owner = index;
            node.name = resolved.line.id + '.' + field.name;
            node.field = &field;
            node.raw = &*found;
            node.pointer = pointer_to(pointer, field.name);
            field_nodes_[index].second = add_node(std::move(node)) + 1;
        };
        open_field(*find_field(common_line_fields(), "count"));
        for (const Field& field : kind->fields) open_field(field);
        if (!json.contains("count")) values_[resolved.line.id + ".count"] = Quantity(1);

        if (faulty) derived.state = State::faulty;
        derived.name += '.';
        derived_node_[index] = add_node(std::move(derived));
        for (std::size_t node = field_nodes_[index].first; node < field_nodes_[index].second;
             ++node)
            depend(derived_node_[index], node);
    }

    std::string unknown_kind_advice(const std::string& kind) {
        std::vector<std::string> kinds;
        for (const contract::Description& module : host_.modules()) {
            for (const contract::LineKind& known : module.line_kinds) kinds.push_back(known.kind);
        }
        const std::string near = nearest_name(kind, kinds);
        if (!near.empty()) return "did you mean " + in_quotes(near) + "?";
        std::string list;
        for (const std::string& name : kinds) list += (list.empty() ? "" : ", ") + name;
        return "known kinds: " + list;
    }

    bool open_material_of(ResolvedLine& resolved, const contract::LineKind& kind, const Json& json,
                          const std::string& pointer) {
        const std::string id = text(json, "material");
        if (kind.material_class.empty()) {
            if (id.empty()) return true;
            faults_.add("needless-material", pointer + "/material",
                        "a line of kind " + in_quotes(kind.kind) + " takes no material",
                        "take it out");
            return false;
        }
        if (id.empty()) {
            faults_.add("missing-key", pointer, "missing key 'material'",
                        "name a role under \"materials\" of class " +
                            in_quotes(kind.material_class));
            return false;
        }
        const auto found = material_index_.find(id);
        if (found == material_index_.end()) {
            std::vector<std::string> names;
            for (const MaterialEntry& entry : materials_) names.push_back(entry.id);
            const std::string near = nearest_name(id, names);
            faults_.add("unknown-material", pointer + "/material",
                        "there is no material role " + in_quotes(id),
                        near.empty() ? "add it under \"materials\""
                                     : "did you mean " + in_quotes(near) + "?");
            return false;
        }
        const MaterialEntry& entry = materials_[found->second];
        if (entry.material.catalog_class != kind.material_class &&
            !entry.material.catalog_class.empty()) {
            faults_.add("wrong-material", pointer + "/material",
                        "the material " + in_quotes(id) + " is of class " +
                            in_quotes(entry.material.catalog_class),
                        "a line of kind " + in_quotes(kind.kind) + " takes class " +
                            in_quotes(kind.material_class));
            return false;
        }
        material_of_[resolved.line.id] = found->second;
        return !entry.faulty;
    }

    void note_absent(const std::string& module) {
        for (const AbsentModule& absent : out_.absent) {
            if (absent.module == module) return;
        }
        std::string reason = "is not in the plugin folder";
        for (const RefusedModule& refused : host_.refused()) {
            if (std::filesystem::path(refused.file).stem() == module)
                reason = "was refused: " + refused.reason;
        }
        out_.absent.push_back({module, reason});
    }

    // ------------------------------------------------------------ dependence

    /// `node` needs `other` first.
    void depend(std::size_t node, std::size_t other) {
        nodes_[other].dependents.push_back(node);
        ++nodes_[node].waits_for;
    }

    /// The node that gives a name its value. Empty when the name has its value already; a fault
    /// when nothing has the name.
    std::optional<std::size_t> node_of_name(const std::string& name, const Node& user,
                                            bool& unknown) {
        unknown = false;
        if (values_.contains(name)) return std::nullopt;
        if (const auto found = by_name_.find(name); found != by_name_.end()) return found->second;
        const auto point = name.find('.');
        if (point != std::string::npos) {
            const std::string owner = name.substr(0, point);
            const std::string member = name.substr(point + 1);
            if (const auto line = line_index_.find(owner); line != line_index_.end()) {
                const std::size_t derived = derived_node_[line->second];
                if (nodes_[derived].state == State::not_priced ||
                    nodes_[derived].state == State::faulty)
                    return derived;
                const contract::LineKind* kind =
                    host_.find_kind(out_.lines[line->second].line.kind);
                for (const contract::DerivedValue& value : kind->derived) {
                    if (value.name == member) return derived;
                }
                if (const Field* field = find_field(kind->fields, member)) {
                    faults_.add("unknown-name", user.pointer,
                                "the line " + in_quotes(owner) + " has no value for " +
                                    in_quotes(member),
                                field->fallback.is_null() ? "give it one" : "it is no number");
                    unknown = true;
                    return std::nullopt;
                }
            }
        }
        std::vector<std::string> names;
        for (const auto& [known, index] : by_name_) {
            if (known.back() != '.') names.push_back(known);
        }
        for (const auto& [known, value] : values_) names.push_back(known);
        std::sort(names.begin(), names.end());
        const std::string near = nearest_name(name, names);
        faults_.add(
            "unknown-name", user.pointer, "unknown name " + in_quotes(name),
            near.empty()
                ? "parameters are written as they are, values of lines and materials as 'id.name'"
                : "did you mean " + in_quotes(near) + "?");
        unknown = true;
        return std::nullopt;
    }

    void link() {
        std::map<std::size_t, std::vector<std::size_t>> users; // what each node's formula names
        for (std::size_t index = 0; index < nodes_.size(); ++index) {
            if (nodes_[index].kind == Node::Kind::derived || nodes_[index].state != State::waiting)
                continue;
            for (const std::string& name : names_in(*nodes_[index].field, *nodes_[index].raw)) {
                bool unknown = false;
                const auto other = node_of_name(name, nodes_[index], unknown);
                if (unknown) nodes_[index].state = State::faulty;
                if (!other) continue;
                depend(index, *other);
                users[index].push_back(*other);
            }
        }
        for (const auto& [index, used] : users) {
            if (nodes_[index].kind != Node::Kind::field) continue;
            std::set<std::size_t> seen;
            for (const std::size_t other : used) note_dependence(index, other, users, seen);
        }
        for (std::size_t line = 0; line < out_.lines.size(); ++line) {
            const std::size_t derived = derived_node_[line];
            if (nodes_[derived].state == State::not_priced) continue;
            if (const auto material = material_of_.find(out_.lines[line].line.id);
                material != material_of_.end()) {
                for (std::size_t index = 0; index < nodes_.size(); ++index) {
                    if (nodes_[index].kind != Node::Kind::attribute)
                        break; // materials are opened first
                    if (nodes_[index].owner == material->second) depend(derived, index);
                }
            }
            for (const std::string& id : named_lines(line)) {
                depend(derived, derived_node_[line_index_.at(id)]);
                add_dependence(line, id);
            }
        }
    }

    /// Through parameters and attributes to the lines whose values they use.
    void note_dependence(std::size_t user, std::size_t used,
                         const std::map<std::size_t, std::vector<std::size_t>>& users,
                         std::set<std::size_t>& seen) {
        if (!seen.insert(used).second) return;
        if (nodes_[used].kind != Node::Kind::field && nodes_[used].kind != Node::Kind::derived) {
            if (const auto further = users.find(used); further != users.end())
                for (const std::size_t other : further->second)
                    note_dependence(user, other, users, seen);
            return;
        }
        if (nodes_[user].owner != nodes_[used].owner)
            add_dependence(nodes_[user].owner, out_.lines[nodes_[used].owner].line.id);
    }
    void add_dependence(std::size_t line, const std::string& on) {
        auto& list = out_.lines[line].depends_on;
        const auto place = std::lower_bound(list.begin(), list.end(), on);
        if (place == list.end() || *place != on) list.insert(place, on);
    }

    /// The lines that the `line` and `lines` fields of a line name, records included.
    std::vector<std::string> named_lines(std::size_t line) {
        std::vector<std::string> ids;
        const auto [first, last] = field_nodes_[line];
        for (std::size_t index = first; index < last; ++index) {
            const Node& node = nodes_[index];
            if (node.state == State::waiting) collect_lines(*node.field, *node.raw, line, ids);
        }
        return ids;
    }

    void collect_lines(const Field& field, const Json& raw, std::size_t self,
                       std::vector<std::string>& ids) {
        const auto take = [&](const Json& entry) {
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
        if (field.type == FieldType::line) take(raw);
        if (field.type == FieldType::lines && raw.is_array()) {
            for (const Json& entry : raw) take(entry);
        }
        const auto within = [&](const Json& record) {
            if (!record.is_object()) return;
            for (const Field& inner : field.fields) {
                if (record.contains(inner.name))
                    collect_lines(inner, record[inner.name], self, ids);
            }
        };
        if (field.type == FieldType::record) within(raw);
        if (field.type == FieldType::records && raw.is_array()) {
            for (const Json& record : raw) within(record);
        }
    }

    /// The lines that an entry names: one by its id, or all of a piece by "piece.*".
    std::vector<std::string> expand(const Field& field, const std::string& entry) {
        const auto allowed = [&](const contract::Line& line) {
            return field.kinds.empty() || std::find(field.kinds.begin(), field.kinds.end(),
                                                    line.kind) != field.kinds.end();
        };
        std::string kinds;
        for (const std::string& kind : field.kinds) kinds += (kinds.empty() ? "" : " or ") + kind;
        if (entry.ends_with(".*")) {
            const std::string piece = entry.substr(0, entry.size() - 2);
            if (!has_piece(piece))
                fail("unknown-piece", {}, "there is no piece " + in_quotes(piece),
                     "name a piece, as in 'bed.*'");
            std::vector<std::string> ids;
            for (const ResolvedLine& line : out_.lines) {
                if (line.line.piece == piece && allowed(line.line)) ids.push_back(line.line.id);
            }
            if (ids.empty())
                fail("empty-piece", {},
                     "the piece " + in_quotes(piece) + " has no line of kind " + kinds,
                     "name a line or another piece");
            return ids;
        }
        const auto found = line_index_.find(entry);
        if (found == line_index_.end()) {
            std::vector<std::string> names;
            for (const ResolvedLine& line : out_.lines) names.push_back(line.line.id);
            const std::string near = nearest_name(entry, names);
            fail("unknown-line", {}, "there is no line " + in_quotes(entry),
                 near.empty() ? "name a line by its id" : "did you mean " + in_quotes(near) + "?");
        }
        const contract::Line& line = out_.lines[found->second].line;
        if (!allowed(line))
            fail("wrong-kind", {},
                 "the line " + in_quotes(entry) + " is of kind " + in_quotes(line.kind),
                 "name a line of kind " + kinds);
        return {entry};
    }

    // ------------------------------------------------------------ evaluation

    FieldContext context() {
        return {
            [this](std::string_view name) -> Quantity {
                const auto found = values_.find(std::string(name));
                if (found == values_.end())
                    fail("unknown-name", {}, "the name " + in_quotes(name) + " has no value");
                return found->second;
            },
            [this](const Field& field, const std::string& entry) { return expand(field, entry); }};
    }

    void settle() {
        std::deque<std::size_t> ready;
        for (std::size_t index = 0; index < nodes_.size(); ++index) {
            if (nodes_[index].waits_for == 0) ready.push_back(index);
        }
        std::vector<std::size_t> to_derive;
        while (!ready.empty() || !to_derive.empty()) {
            if (ready.empty()) {
                std::sort(to_derive.begin(), to_derive.end());
                derive(to_derive);
                for (const std::size_t index : to_derive) release(index, ready);
                to_derive.clear();
                continue;
            }
            const std::size_t index = ready.front();
            ready.pop_front();
            Node& node = nodes_[index];
            if (node.kind == Node::Kind::derived && node.state == State::waiting) {
                to_derive.push_back(index);
                continue;
            }
            if (node.state == State::waiting) evaluate(node);
            release(index, ready);
        }
    }

    /// Tells the dependents of a settled node; faults and reasons travel along.
    void release(std::size_t index, std::deque<std::size_t>& ready) {
        const Node& node = nodes_[index];
        for (const std::size_t dependent : node.dependents) {
            Node& other = nodes_[dependent];
            if (node.state == State::faulty) other.state = State::faulty;
            if (node.state == State::not_priced && other.state == State::waiting) {
                other.state = State::not_priced;
                const std::string on =
                    node.kind == Node::Kind::derived ? out_.lines[node.owner].line.id : node.name;
                other.reason = node.kind != Node::Kind::derived && other.kind == Node::Kind::derived
                                   ? node.reason
                                   : "depends on " + in_quotes(on) + ": " + node.reason;
            }
            if (--other.waits_for == 0) ready.push_back(dependent);
        }
    }

    void evaluate(Node& node) {
        const std::size_t before = faults_.size();
        if (node.kind == Node::Kind::parameter) {
            at(node.pointer, [&] { values_[node.name] = parameter_value(node); });
        } else {
            auto value = read_value(*node.field, *node.raw, node.pointer, context(), faults_);
            if (value) store(node, std::move(*value));
        }
        node.state = faults_.size() == before ? State::known : State::faulty;
        if (node.state == State::known) explain(node);
    }

    Quantity parameter_value(const Node& node) {
        if (node.raw->is_number()) return Quantity(node.raw->get<double>());
        const FieldContext names = context();
        const Quantity value =
            Formula::parse(node.raw->get_ref<const std::string&>()).evaluate(names.lookup);
        return value;
    }

    void store(const Node& node, Json value) {
        if (value.is_number() &&
            (node.field->type == FieldType::quantity || node.field->type == FieldType::number ||
             node.field->type == FieldType::count)) {
            values_[node.name] = node.field->unit.empty()
                                     ? Quantity(value.get<double>())
                                     : from_unit(value.get<double>(), node.field->unit);
        }
        if (node.kind == Node::Kind::attribute) {
            materials_[node.owner].material.attributes[node.field->name] = std::move(value);
        } else if (node.field->name == "count") {
            out_.lines[node.owner].line.count = value.get<std::int64_t>();
        } else {
            out_.lines[node.owner].line.fields[node.field->name] = std::move(value);
        }
    }

    [[nodiscard]] LengthUnit unit() const {
        return out_.length_unit == "in" ? LengthUnit::inch : LengthUnit::mm;
    }

    /// A working for every value that a formula gave.
    void explain(const Node& node) {
        if (!node.raw->is_string()) return;
        const bool numeric =
            node.kind == Node::Kind::parameter || node.field->type == FieldType::quantity ||
            node.field->type == FieldType::number || node.field->type == FieldType::count;
        if (!numeric) return;
        const Formula formula = Formula::parse(node.raw->get_ref<const std::string&>());
        contract::Working working;
        working.ref = node.name;
        working.title =
            node.kind == Node::Kind::parameter ? "parameter " + node.name : node.field->title;
        working.formula = formula.text();
        for (const std::string& name : formula.names()) {
            working.inputs.push_back({name, format_quantity(values_.at(name), unit()), name});
        }
        working.result = format_quantity(values_.at(node.name), unit());
        working.source = "project, " + project_.origin(node.pointer);
        out_.workings.push_back(std::move(working));
    }

    void derive(const std::vector<std::size_t>& derived_nodes) {
        std::map<std::string, std::vector<std::size_t>> by_module;
        for (const std::size_t index : derived_nodes)
            by_module[out_.lines[nodes_[index].owner].module].push_back(index);
        for (const auto& [module, indices] : by_module) {
            contract::DeriveRequest request;
            for (const std::size_t index : indices)
                request.lines.push_back(complete(nodes_[index].owner));
            if (!sections_read_) read_settings();
            request.settings = settings_for(out_, module, effort_);
            request.tables = tables_for(*host_.find_module(module), tables_);
            try {
                const auto reply = host_.derive(module, request);
                take(module, *reply);
                for (const std::size_t index : indices) nodes_[index].state = State::known;
            } catch (const ModuleError& error) {
                out_.absent.push_back({module, error.reason()});
                for (const std::size_t index : indices) {
                    nodes_[index].state = State::not_priced;
                    nodes_[index].reason = "module '" + module + "' failed: " + error.reason();
                }
            }
        }
    }

    /// The line with its material and the lines that it names.
    contract::Line complete(std::size_t index) {
        contract::Line& line = out_.lines[index].line;
        if (const auto material = material_of_.find(line.id); material != material_of_.end())
            line.material = materials_[material->second].material;
        line.references.clear();
        for (const std::string& id : named_lines_known(index)) {
            contract::Line named = out_.lines[line_index_.at(id)].line;
            named.references.clear();
            line.references.push_back(std::move(named));
        }
        return line;
    }

    std::vector<std::string> named_lines_known(std::size_t index) {
        std::vector<std::string> ids;
        const contract::LineKind* kind = host_.find_kind(out_.lines[index].line.kind);
        for (const Field& field : kind->fields) {
            const auto found = out_.lines[index].line.fields.find(field.name);
            if (found != out_.lines[index].line.fields.end())
                collect_lines(field, *found, index, ids);
        }
        return ids;
    }

    void take(const std::string& module, const contract::DeriveReply& reply) {
        for (const contract::DerivedLine& derived : reply.lines) {
            contract::Line& line = out_.lines[line_index_.at(derived.line)].line;
            line.derived = derived.values;
            const contract::LineKind* kind = host_.find_kind(line.kind);
            for (const contract::DerivedValue& value : kind->derived) {
                const auto found = derived.values.find(value.name);
                if (found == derived.values.end()) continue;
                // What the line states itself wins.
                values_.emplace(line.id + '.' + value.name,
                                value.unit.empty() ? Quantity(found->get<double>())
                                                   : from_unit(found->get<double>(), value.unit));
            }
        }
        auto& findings = out_.findings[module];
        findings.insert(findings.end(), reply.findings.begin(), reply.findings.end());
        out_.workings.insert(out_.workings.end(), reply.workings.begin(), reply.workings.end());
    }

    // ------------------------------------------------------------ loops

    void report_loops() {
        std::vector<bool> reported(nodes_.size(), false);
        for (std::size_t start = 0; start < nodes_.size(); ++start) {
            if (nodes_[start].waits_for == 0 || reported[start]) continue;
            // Walk back along what is waited for until a node comes twice.
            std::vector<std::size_t> walk;
            std::size_t at_node = start;
            while (std::find(walk.begin(), walk.end(), at_node) == walk.end()) {
                walk.push_back(at_node);
                at_node = waited_for_by(at_node);
            }
            const auto loop_start = std::find(walk.begin(), walk.end(), at_node);
            const bool seen = std::any_of(loop_start, walk.end(),
                                          [&](std::size_t index) { return reported[index]; });
            for (const std::size_t index : walk) reported[index] = true;
            if (seen) continue;
            // Lines between fields are told only when there is nothing else to tell.
            std::vector<std::size_t> told(loop_start, walk.end());
            const auto is_line = [&](std::size_t index) {
                return nodes_[index].kind == Node::Kind::derived;
            };
            if (!std::all_of(told.begin(), told.end(), is_line)) std::erase_if(told, is_line);
            std::string loop;
            for (const std::size_t index : told) loop += written_name(nodes_[index]) + " -> ";
            faults_.add("cycle", nodes_[told.front()].pointer,
                        "the value depends on itself: " + loop + written_name(nodes_[told.front()]),
                        "give one of them a value of its own");
        }
    }

    /// The name as a person writes it: that of a line without the point that keeps it apart.
    static std::string written_name(const Node& node) {
        return node.kind == Node::Kind::derived ? node.name.substr(0, node.name.size() - 1)
                                                : node.name;
    }

    std::size_t waited_for_by(std::size_t node) {
        for (std::size_t index = 0; index < nodes_.size(); ++index) {
            if (nodes_[index].waits_for == 0) continue;
            const auto& dependents = nodes_[index].dependents;
            if (std::find(dependents.begin(), dependents.end(), node) != dependents.end())
                return index;
        }
        return node;
    }

    // ------------------------------------------------------------ settings, people, tasks, owned

    void read_settings() {
        sections_read_ = true;
        const FieldContext names = context();
        const Json empty = Json::object();
        const Json* workshop = section("workshop");
        out_.workshop = read_fields(workshop_fields(), workshop == nullptr ? empty : *workshop,
                                    "/workshop", names, faults_);
        if (const Json* vehicle = section("vehicle"))
            out_.vehicle = read_fields(vehicle_fields(), *vehicle, "/vehicle", names, faults_);
        const Json* settings = section("settings");
        for (const contract::Description& module : host_.modules()) {
            const bool stated = settings != nullptr && settings->contains(module.id);
            out_.module_settings[module.id] =
                read_fields(module.settings, stated ? (*settings)[module.id] : empty,
                            pointer_to("/settings", module.id), names, faults_);
        }
        if (settings == nullptr) return;
        static const std::set<std::string> ours{"sheet_goods", "solid_stock", "hardware_kits",
                                                "finish",      "mattress",    "sundries"};
        for (const auto& [module, value] : settings->items()) {
            if (host_.find_module(module) != nullptr || ours.contains(module) ||
                module.starts_with("x-"))
                continue;
            std::vector<std::string> ids;
            for (const contract::Description& known : host_.modules()) ids.push_back(known.id);
            const std::string near = nearest_name(module, ids);
            // Settings of a module that is not loaded stay as they are; a slip of a known name is a
            // fault.
            if (!near.empty())
                faults_.add("unknown-key", pointer_to("/settings", module),
                            "unknown module " + in_quotes(module),
                            "did you mean " + in_quotes(near) + "?");
        }
    }

    void read_sections() {
        if (!sections_read_) read_settings();
        const FieldContext names = context();
        read_pricing(names);
        read_people(names);
        read_tasks(names);
        read_wishes(names);
        read_papers(names);
        read_bought(names);
        read_as_bought();
        read_worked(names);
    }

    Money money_of(const Json& values, const char* key, const std::string& pointer) {
        Money amount;
        if (!out_.currency.code.empty())
            at(pointer + '/' + key,
               [&] { amount = Money::parse(text(values, key, "0"), out_.currency); });
        return amount;
    }

    static std::optional<Date> date_of(const Json& values, const char* key) {
        return values.contains(key) ? std::optional(parse_date(text(values, key))) : std::nullopt;
    }

    void read_bought(const FieldContext& names) {
        const Json* bought = section("bought");
        if (bought == nullptr) return;
        const auto& states = find_field(bought_fields(), "state")->choices;
        for (const auto& [id, item] : bought->items()) {
            if (id.starts_with("x-")) continue;
            const std::string pointer = pointer_to("/bought", id);
            const std::size_t before = faults_.size();
            const Json values = read_fields(bought_fields(), item, pointer, names, faults_);
            if (faults_.size() != before) continue;
            Bought read;
            read.id = id;
            read.supplier = text(values, "supplier");
            read.sku = text(values, "sku");
            read.title = text(values, "title");
            read.catalog_class = text(values, "class");
            read.count = static_cast<std::int64_t>(number(values, "count", 1));
            read.amount = money_of(values, "amount", pointer);
            read.tax = money_of(values, "tax", pointer);
            read.charge = text(values, "charge", "goods");
            const auto state = std::find(states.begin(), states.end(), text(values, "state"));
            read.state = static_cast<Progress>(1 + (state - states.begin()));
            read.on = date_of(values, "on");
            read.arrives = date_of(values, "arrives");
            for (const Json& serves : values.value("for", Json::array()))
                read.serves.push_back({text(serves, "demand"), number(serves, "content", 0)});
            out_.bought.push_back(std::move(read));
        }
    }

    void read_as_bought() {
        const Json* plans = section("as_bought");
        if (plans == nullptr) return;
        for (const auto& [demand, entry] : plans->items()) {
            const std::string pointer = pointer_to("/as_bought", demand);
            at(pointer, [&] {
                BoughtPlan plan = read_bought_plan(entry);
                plan.demand = demand;
                for (const contract::Use& use : plan.way.uses) {
                    if (!use.offer.starts_with("bought/")) continue;
                    const std::string id = use.offer.substr(7);
                    if (std::none_of(out_.bought.begin(), out_.bought.end(),
                                     [&](const Bought& each) { return each.id == id; }))
                        faults_.add("unknown-purchase", pointer,
                                    "nothing called " + in_quotes(id) + " is bought",
                                    "take the plan out, or write the purchase under \"bought\"");
                }
                out_.as_bought.push_back(std::move(plan));
            });
        }
    }

    void read_worked(const FieldContext& names) {
        const Json* worked = section("worked");
        if (worked == nullptr) return;
        for (const auto& [id, entry] : worked->items()) {
            if (id.starts_with("x-")) continue;
            const std::string pointer = pointer_to("/worked", id);
            const std::size_t before = faults_.size();
            const Json values = read_fields(worked_fields(), entry, pointer, names, faults_);
            if (faults_.size() != before) continue;
            Worked read;
            read.step = text(values, "step");
            read.who = text(values, "who", "maker");
            read.minutes = number(values, "hours", 0);
            read.on = date_of(values, "on");
            read.done = flag(values, "done", false);
            if (std::none_of(out_.people.begin(), out_.people.end(),
                             [&](const Person& p) { return p.id == read.who; }))
                faults_.add("unknown-person", pointer + "/who",
                            "there is nobody called " + in_quotes(read.who),
                            "add them under \"people\"");
            out_.worked.push_back(std::move(read));
        }
    }

    static Decimal percent_of(const Json& values, const char* key) {
        return Decimal::from_double(number(values, key, 0), 6);
    }
    static std::optional<Decimal> stated_percent(const Json& values, const char* key) {
        return values.contains(key) ? std::optional(percent_of(values, key)) : std::nullopt;
    }

    void read_pricing(const FieldContext& names) {
        const Json* section_json = section("pricing");
        const Json empty = Json::object();
        const Json values =
            read_fields(pricing_fields(), section_json == nullptr ? empty : *section_json,
                        "/pricing", names, faults_);
        PricingTerms& terms = out_.pricing.terms;
        terms.currency = out_.currency;
        terms.tax_paid_recoverable = flag(values, "tax_recoverable", true);
        terms.tax_charged_percent = percent_of(values, "tax_charged");
        terms.contingency_percent = percent_of(values, "contingency");
        terms.markup_percent = stated_percent(values, "markup");
        terms.margin_percent = stated_percent(values, "margin");
        terms.deposit_percent = stated_percent(values, "deposit");
        if (terms.markup_percent && terms.margin_percent)
            faults_.add("both-given", "/pricing/margin", "both a markup and a margin are given",
                        "keep one of them");
        if (values.contains("rounded_to") && !out_.currency.code.empty()) {
            at("/pricing/rounded_to", [&] {
                out_.pricing.rounded_to = Money::parse(text(values, "rounded_to"), out_.currency);
            });
        }
        if (values.contains("valid_days"))
            out_.pricing.valid_days = values["valid_days"].get<int>();
        if (values.contains("rate")) default_rate_ = Decimal::parse(text(values, "rate"));
    }

    WorkCalendar calendar_of(const Json& days, double hours, const Json& holidays,
                             const std::string& pointer) {
        static constexpr std::array<std::string_view, 7> names{
            "monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"};
        std::array<double, 7> week{};
        WorkCalendar calendar;
        for (const Json& day : days) {
            const std::string name = day.get<std::string>();
            const auto found = std::find(names.begin(), names.end(), name);
            if (found == names.end()) {
                faults_.add(
                    "unknown-choice", pointer + "/weekdays", "unknown day " + in_quotes(name),
                    "write monday, tuesday, wednesday, thursday, friday, saturday or sunday");
                return calendar;
            }
            week[static_cast<std::size_t>(found - names.begin())] = hours;
        }
        at(pointer + "/weekdays", [&] {
            std::vector<DateRange> ranges;
            for (const Json& entry : holidays) {
                const std::string range = entry.get<std::string>();
                const auto slash = range.find('/');
                const Date first = parse_date(range.substr(0, slash));
                ranges.push_back({first, slash == std::string::npos
                                             ? first
                                             : parse_date(range.substr(slash + 1))});
            }
            calendar = WorkCalendar(week, std::move(ranges));
        });
        return calendar;
    }

    void read_people(const FieldContext& names) {
        const Json holidays = out_.workshop.value("holidays", Json::array());
        const Json days = out_.workshop.value("weekdays", Json::array());
        Person maker;
        maker.id = "maker";
        maker.title = "the maker";
        maker.rate = default_rate_.value_or(Decimal());
        maker.rate_stated = default_rate_.has_value();
        maker.calendar =
            calendar_of(days, number(out_.workshop, "hours_a_day", 8), holidays, "/workshop");
        out_.people.push_back(maker);
        const Json* people = section("people");
        if (people == nullptr) return;
        for (const auto& [id, person] : people->items()) {
            const std::string pointer = pointer_to("/people", id);
            const Json values = read_fields(person_fields(), person, pointer, names, faults_);
            Person read = maker;
            read.id = id;
            read.title = text(values, "title", id == "maker" ? "the maker" : id);
            at(pointer + "/rate", [&] {
                if (!values.contains("rate")) return;
                read.rate = Decimal::parse(text(values, "rate"));
                read.rate_stated = true;
            });
            if (values.contains("weekdays") ||
                (person.is_object() && person.contains("hours_a_day"))) {
                read.calendar = calendar_of(values.value("weekdays", days),
                                            number(values, "hours_a_day", 8), holidays, pointer);
            }
            for (const Json& date : values.value("dates", Json::array()))
                at(pointer + "/dates",
                   [&] { read.dates.push_back(parse_date(date.get<std::string>())); });
            std::sort(read.dates.begin(), read.dates.end());
            read.least_minutes = number(values, "least", 0);
            if (id == "maker")
                out_.people.front() = std::move(read);
            else
                out_.people.push_back(std::move(read));
        }
    }

    void read_tasks(const FieldContext& names) {
        const Json* tasks = section("tasks");
        if (tasks == nullptr) return;
        for (const auto& [id, task] : tasks->items()) {
            if (id.starts_with("x-")) continue;
            const std::string pointer = pointer_to("/tasks", id);
            const Json values = read_fields(task_fields(), task, pointer, names, faults_);
            ProjectTask read;
            read.id = id;
            read.title = text(values, "title", id);
            read.piece = text(values, "piece");
            if (!read.piece.empty() && !has_piece(read.piece))
                faults_.add("unknown-piece", pointer + "/piece",
                            "there is no piece " + in_quotes(read.piece),
                            "add it under \"pieces\"");
            const auto& phases = find_field(task_fields(), "phase")->choices;
            read.phase = static_cast<contract::Phase>(
                std::find(phases.begin(), phases.end(), text(values, "phase", "assemble")) -
                phases.begin());
            read.minutes = number(values, "hours", 0);
            read.wait_minutes = number(values, "wait", 0);
            read.people = static_cast<std::int64_t>(number(values, "people", 1));
            for (const Json& who : values.value("who", Json::array())) {
                const std::string person = who.get<std::string>();
                if (std::none_of(out_.people.begin(), out_.people.end(),
                                 [&](const Person& p) { return p.id == person; })) {
                    faults_.add("unknown-person", pointer + "/who",
                                "there is nobody called " + in_quotes(person),
                                "add them under \"people\"");
                }
                read.who.push_back(person);
            }
            if (values.contains("rate"))
                at(pointer + "/rate", [&] { read.rate = Decimal::parse(text(values, "rate")); });
            for (const Json& after : values.value("after", Json::array()))
                read.after.push_back(after.get<std::string>());
            if (values.contains("not_before"))
                read.not_before = parse_date(text(values, "not_before"));
            out_.tasks.push_back(std::move(read));
        }
    }

    void read_wishes(const FieldContext& names) {
        const Json* wishes = section("suppliers");
        if (wishes == nullptr) return;
        const Json values =
            read_fields(supplier_wish_fields(), *wishes, "/suppliers", names, faults_);
        for (const Json& id : values.value("exclude", Json::array()))
            out_.suppliers.exclude.push_back(id.get<std::string>());
        for (const Json& id : values.value("prefer", Json::array()))
            out_.suppliers.prefer.push_back(id.get<std::string>());
        for (const Json& rate : values.value("rates", Json::array())) {
            at("/suppliers/rates", [&] {
                out_.suppliers.rates.push_back({currency(text(rate, "currency")).code,
                                                Decimal::parse(text(rate, "rate")),
                                                parse_date(text(rate, "on"))});
            });
        }
    }

    static std::vector<std::string> texts(const Json& values, const char* key) {
        return values.value(key, std::vector<std::string>{});
    }

    Party read_party(const char* key, const FieldContext& names) {
        const Json* party = section(key);
        if (party == nullptr) return {};
        const Json values =
            read_fields(party_fields(), *party, std::string("/") + key, names, faults_);
        return {text(values, "name"), texts(values, "address"), text(values, "contact"),
                text(values, "tax_number")};
    }

    void read_papers(const FieldContext& names) {
        Papers& papers = out_.papers;
        papers.maker = read_party("maker", names);
        papers.client = read_party("client", names);
        const Json* quote = section("quote");
        if (quote == nullptr) return;
        const Json values = read_fields(quote_fields(), *quote, "/quote", names, faults_);
        papers.quote_number = text(values, "number");
        papers.included = texts(values, "included");
        papers.not_included = texts(values, "not_included");
        papers.terms = texts(values, "terms");
        Decimal all;
        for (const Json& stage : values.value("stages", Json::array())) {
            papers.stages.push_back({text(stage, "title"), percent_of(stage, "percent")});
            all = all + papers.stages.back().percent;
        }
        if (all > Decimal(100))
            faults_.add("bad-stages", "/quote/stages",
                        "the stages are " + all.str() + " % of the total together",
                        "make them 100 % or less");
        const auto deposit = out_.pricing.terms.deposit_percent;
        if (deposit && !papers.stages.empty())
            faults_.add("both-given", "/quote/stages",
                        "both a deposit under \"pricing\" and stages are given",
                        "keep one of them: a deposit is the first of two stages");
    }

    void read_owned() {
        const Json* owned = section("owned");
        if (owned == nullptr) return;
        const FieldContext names = context();
        for (const auto& [id, item] : owned->items()) {
            if (id.starts_with("x-")) continue;
            const std::string pointer = pointer_to("/owned", id);
            const std::string class_name = item.is_object() ? text(item, "class") : std::string();
            const contract::CatalogClass* catalog_class = host_.find_class(class_name);
            if (catalog_class == nullptr) {
                if (class_name.empty())
                    faults_.add("missing-key", pointer,
                                "the owned item " + in_quotes(id) + " has no class",
                                "add \"class\", as in \"class\": \"sheet\"");
                continue; // a class of a module that is not loaded: nothing can use it
            }
            std::vector<Field> fields(common_owned_fields().begin(), common_owned_fields().end());
            fields.insert(fields.end(), catalog_class->attributes.begin(),
                          catalog_class->attributes.end());
            Json values = read_fields(fields, item, pointer, names, faults_);
            OwnedItem read;
            read.id = id;
            read.title = text(values, "title", id);
            read.catalog_class = class_name;
            read.count = static_cast<std::int64_t>(number(values, "count", 1));
            if (!out_.currency.code.empty())
                at(pointer + "/value",
                   [&] { read.value = Money::parse(text(values, "value", "0"), out_.currency); });
            for (const Field& field : common_owned_fields()) values.erase(field.name);
            read.attributes = std::move(values);
            out_.owned.push_back(std::move(read));
        }
    }

    // ------------------------------------------------------------ the end

    void finish_lines() {
        if (!faults_.empty()) return;
        for (std::size_t index = 0; index < out_.lines.size(); ++index) {
            ResolvedLine& line = out_.lines[index];
            const Node& node = nodes_[derived_node_[index]];
            if (node.state == State::not_priced) {
                line.not_priced = node.reason;
                continue;
            }
            if (node.state == State::faulty) {
                const auto material = material_of_.find(line.line.id);
                const std::string home = material == material_of_.end()
                                             ? std::string()
                                             : materials_[material->second].material.catalog_class;
                line.not_priced = home.empty() ? "its values could not be found"
                                               : "no module knows the class " + in_quotes(home) +
                                                     " of its material";
                continue;
            }
            (void)complete(index); // references now carry derived values
        }
    }

    const Project& project_;
    PluginHost& host_;
    const Json& tables_;
    std::string effort_;
    FaultList faults_;
    Resolved out_;
    std::vector<Node> nodes_;
    std::unordered_map<std::string, std::size_t> by_name_;
    std::unordered_map<std::string, Quantity> values_;
    std::vector<MaterialEntry> materials_;
    std::unordered_map<std::string, std::size_t> material_index_;
    std::unordered_map<std::string, std::size_t> material_of_; ///< line id to material
    std::unordered_map<std::string, std::size_t> line_index_;
    std::vector<std::size_t> derived_node_;                        ///< by line
    std::vector<std::pair<std::size_t, std::size_t>> field_nodes_; ///< by line: from, up to
    std::optional<Decimal> default_rate_;
    bool sections_read_ = false;
};

} // namespace

std::string_view word_of(Progress progress) {
    static constexpr std::array<std::string_view, 4> words{"planned", "ordered", "received", "cut"};
    return words[static_cast<std::size_t>(progress)];
}

contract::Settings settings_for(const Resolved& project, const std::string& module,
                                const std::string& effort) {
    contract::Settings settings;
    settings.workshop = project.workshop;
    settings.vehicle = project.vehicle;
    if (const auto own = project.module_settings.find(module); own != project.module_settings.end())
        settings.module = own->second;
    settings.effort = effort;
    settings.length_unit = project.length_unit;
    return settings;
}

Json tables_for(const contract::Description& module, const Json& tables) {
    Json wanted = Json::object();
    for (const std::string& name : module.tables) {
        if (tables.contains(name)) wanted[name] = tables[name];
    }
    return wanted;
}

Resolved resolve(const Project& project, PluginHost& host, const Json& tables,
                 const std::string& effort) {
    return Resolver(project, host, tables, effort).run();
}

} // namespace aumbry
