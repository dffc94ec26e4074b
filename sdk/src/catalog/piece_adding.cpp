// A piece's bill under the names of a project.
#include "catalog/piece_units.hpp"
#include "documents/edit_members.hpp"
#include "values/excerpt.hpp"
#include "values/formula_names.hpp"
#include "values/plain_id.hpp"

#include "aumbry/fields.hpp"
#include "aumbry/formula.hpp"
#include "aumbry/line_access.hpp"
#include "aumbry/piece_file.hpp"
#include "aumbry/project.hpp"

#include <algorithm>
#include <set>

namespace aumbry {

using contract::Field;
using contract::FieldType;

namespace {

std::vector<std::string> keys_of(const Json* object) {
    std::vector<std::string> keys;
    if (object == nullptr || !object->is_object()) return keys;
    for (const auto& [key, value] : object->items()) keys.push_back(key);
    return keys;
}

std::string advice(const std::string& name, const std::vector<std::string>& known,
                   const std::string& otherwise) {
    const std::string near = nearest_name(name, known);
    if (!near.empty()) return "did you mean " + in_quotes(near) + "?";
    std::string all;
    for (const std::string& each : known) all += (all.empty() ? "" : ", ") + each;
    return all.empty() ? otherwise : "it has " + all;
}

/// A size chosen as a text, as a project writes it.
Json as_written(const std::string& chosen) {
    const bool whole =
        !chosen.empty() && chosen.size() < 10 &&
        std::all_of(chosen.begin(), chosen.end(), [](char c) { return c >= '0' && c <= '9'; });
    return whole ? Json(std::stoll(chosen)) : Json(chosen);
}

std::string as_text(const Json& value) {
    return value.is_string() ? value.get<std::string>() : value.dump();
}

/// Names of the piece as the project will know them.
class Names {
  public:
    Names(const Json& bill, const PieceToAdd& wanted) : wanted_(wanted) {
        for (const char* section : {"parameters", "lines", "tasks"}) {
            for (std::string& key : keys_of(find_at(bill, std::string("/") + section)))
                own_.insert(std::move(key));
        }
        for (std::string& key : keys_of(find_at(bill, "/materials"))) roles_.insert(std::move(key));
        const Json* parameters = find_at(bill, "/parameters");
        for (const std::string& name : keys_of(parameters)) {
            const Json& value = (*parameters)[name];
            const auto chosen = wanted.sizes.find(name);
            written_[name] = chosen != wanted.sizes.end() ? chosen->second
                             : value.is_object()          ? as_text(value["default"])
                                                          : as_text(value);
        }
    }

    [[nodiscard]] std::string prefixed(const std::string& name) const {
        return wanted_.id + '_' + name;
    }
    [[nodiscard]] std::string role(const std::string& name) const {
        const auto other = wanted_.roles.find(name);
        return other == wanted_.roles.end() ? name : other->second;
    }
    [[nodiscard]] bool is_own(const std::string& name) const { return own_.contains(name); }
    [[nodiscard]] std::vector<std::string> all() const {
        std::vector<std::string> names(own_.begin(), own_.end());
        names.insert(names.end(), roles_.begin(), roles_.end());
        return names;
    }

    /// A name of a formula: "width", "side.length", "carcase.thickness".
    [[nodiscard]] std::string in_formula(const std::string& name) const {
        const std::size_t point = std::min(name.find('.'), name.size());
        const std::string owner = name.substr(0, point);
        if (own_.contains(owner)) return prefixed(owner) + name.substr(point);
        if (roles_.contains(owner) && point < name.size()) return role(owner) + name.substr(point);
        fail("unknown-name", {}, "the piece knows no " + in_quotes(name),
             advice(owner, all(), "name one of its own sizes, lines or roles"));
    }

    [[nodiscard]] std::string formula(const std::string& text) const {
        return with_names(text, [&](const std::string& name) { return in_formula(name); });
    }

    /// `{id}` in a text stands for the piece's id, `{runner}` for the size of that name as it is
    /// written: what price lists say in words, as in "450 mm".
    [[nodiscard]] std::string in_text(const std::string& text) const {
        std::string out;
        for (std::size_t at = 0; at < text.size();) {
            const std::size_t open = std::min(text.find('{', at), text.size());
            out += text.substr(at, open - at);
            const std::size_t close = text.find('}', open);
            if (close == std::string::npos) return out + text.substr(open);
            const std::string name = text.substr(open + 1, close - open - 1);
            const auto size = written_.find(name);
            out += name == "id"             ? wanted_.id
                   : size != written_.end() ? size->second
                                            : text.substr(open, close + 1 - open);
            at = close + 1;
        }
        return out;
    }

  private:
    const PieceToAdd& wanted_;
    std::map<std::string, std::string> written_; ///< sizes as they stand in the project
    std::set<std::string> own_;
    std::set<std::string> roles_;
};

/// Copies the bill section by section.
class Copying {
  public:
    Copying(const PieceFile& piece, const Json& project, std::string_view unit,
            const PieceToAdd& wanted, std::span<const contract::Description> modules)
        : piece_(piece), project_(project), unit_(unit), wanted_(wanted), modules_(modules),
          bill_(bill_of(piece, unit)), names_(bill_, wanted), faults_(piece.file) {}

    /// The members to be added, by section. @throws FaultError.
    Json sections() {
        Json out = Json::object();
        out["parameters"] = parameters();
        out["materials"] = materials();
        out["pieces"] = Json{{wanted_.id, head()}};
        out["lines"] = lines();
        out["tasks"] = tasks();
        out["checks"] = checks();
        faults_.find_places(piece_.text, [&](const std::string& pointer) {
            return pointer_in_file(piece_.document, unit_, pointer);
        });
        faults_.throw_if_any();
        return out;
    }

    [[nodiscard]] const std::vector<SharedRole>& shared() const { return shared_; }

  private:
    [[nodiscard]] const Json& section(const char* key) const {
        static const Json none = Json::object();
        const Json* found = find_at(bill_, std::string("/") + key);
        return found == nullptr ? none : *found;
    }

    template <class Read>
    Json at(const std::string& pointer, const Json& otherwise, Read read) {
        try {
            return read();
        } catch (const FaultError& error) {
            for (const Fault& fault : error.faults()) faults_.add_at(fault, pointer);
            return otherwise;
        }
    }

    Json formula(const Json& value, const std::string& pointer) {
        if (!value.is_string()) return value;
        return at(pointer, value, [&] { return names_.formula(value.get<std::string>()); });
    }

    Json parameters() {
        Json out = Json::object();
        for (const auto& [name, value] : section("parameters").items()) {
            const std::string pointer = pointer_to("/parameters", name);
            const auto chosen = wanted_.sizes.find(name);
            if (chosen != wanted_.sizes.end())
                out[names_.prefixed(name)] = as_written(chosen->second);
            else if (value.is_object())
                out[names_.prefixed(name)] = formula(value["default"], pointer + "/default");
            else
                out[names_.prefixed(name)] = formula(value, pointer);
        }
        return out;
    }

    Json materials() {
        Json out = Json::object();
        for (const auto& [role, material] : section("materials").items()) {
            const std::string id = names_.role(role);
            const Json* present = find_at(project_, pointer_to("/materials", id));
            if (present == nullptr) {
                out[id] = material;
                continue;
            }
            const std::string of = text(*present, "class");
            if (of != text(material, "class"))
                fail("wrong-material", {},
                     "the project's material " + in_quotes(id) + " is of class " + in_quotes(of) +
                         ", the piece needs one of class " + in_quotes(text(material, "class")),
                     "give the piece another role of the project, or a new one: --role " + role +
                         "=NAME");
            shared_.push_back({id, text(*present, "title", id)});
        }
        return out;
    }

    /// "Open bookcase", then "Open bookcase 2": two pieces are told apart on paper.
    [[nodiscard]] std::string free_title() const {
        const Json* pieces = find_at(project_, "/pieces");
        const auto taken = [&](const std::string& title) {
            return pieces != nullptr && pieces->is_object() &&
                   std::any_of(pieces->begin(), pieces->end(), [&](const Json& piece) {
                       return piece.is_object() && text(piece, "title") == title;
                   });
        };
        std::string title = piece_.title;
        for (int number = 2; taken(title); ++number)
            title = piece_.title + ' ' + std::to_string(number);
        return title;
    }

    Json head() {
        Json out = {{"title", wanted_.title.empty() ? free_title() : wanted_.title}};
        for (const char* key : {"warnings", "cautions"}) {
            if (bill_.contains(key)) out[key] = bill_[key];
        }
        return out;
    }

    Json lines() {
        Json out = Json::object();
        for (const auto& [name, line] : section("lines").items())
            out[names_.prefixed(name)] = copied_line(line, pointer_to("/lines", name));
        return out;
    }

    Json copied_line(const Json& line, const std::string& pointer) {
        const contract::LineKind* kind = kind_of(text(line, "kind"));
        if (kind == nullptr) {
            faults_.add("unknown-kind", pointer + "/kind",
                        "no module prices the kind " + in_quotes(text(line, "kind")),
                        "name the folder of its module with --plugins");
            return line;
        }
        Json out = Json::object();
        for (const auto& [key, value] : line.items()) {
            const std::string here = pointer_to(pointer, key);
            if (key == "material" && value.is_string())
                out[key] = names_.role(value.get<std::string>());
            else if (const Field* field = find_field(kind->fields, key))
                out[key] = copied_value(*field, value, here);
            else if (key == "count")
                out[key] = formula(value, here);
            else
                out[key] =
                    value.is_string() ? Json(names_.in_text(value.get<std::string>())) : value;
            if (key == "kind") out["piece"] = wanted_.id;
        }
        return out;
    }

    [[nodiscard]] const contract::LineKind* kind_of(const std::string& name) const {
        for (const contract::Description& module : modules_) {
            for (const contract::LineKind& kind : module.line_kinds) {
                if (kind.kind == name) return &kind;
            }
        }
        return nullptr;
    }

    Json copied_value(const Field& field, const Json& value, const std::string& pointer) {
        switch (field.type) {
        case FieldType::quantity:
        case FieldType::number:
        case FieldType::count:
            return formula(value, pointer);
        case FieldType::line:
            return value.is_string() ? Json(line_name(value.get<std::string>(), pointer)) : value;
        case FieldType::record:
            return copied_record(field, value, pointer);
        case FieldType::lines:
        case FieldType::texts:
        case FieldType::records: {
            if (!value.is_array()) return value;
            Json out = Json::array();
            for (std::size_t i = 0; i < value.size(); ++i)
                out.push_back(copied_entry(field, value[i], pointer + '/' + std::to_string(i)));
            return out;
        }
        default:
            return value.is_string() ? Json(names_.in_text(value.get<std::string>())) : value;
        }
    }

    Json copied_entry(const Field& field, const Json& entry, const std::string& pointer) {
        if (field.type == FieldType::records) return copied_record(field, entry, pointer);
        if (!entry.is_string()) return entry;
        return field.type == FieldType::lines ? line_name(entry.get<std::string>(), pointer)
                                              : names_.in_text(entry.get<std::string>());
    }

    Json copied_record(const Field& field, const Json& value, const std::string& pointer) {
        if (!value.is_object()) return value;
        Json out = Json::object();
        for (const auto& [key, member] : value.items()) {
            const Field* inner = find_field(field.fields, key);
            out[key] =
                inner == nullptr ? member : copied_value(*inner, member, pointer_to(pointer, key));
        }
        return out;
    }

    std::string line_name(const std::string& name, const std::string& pointer) {
        const std::string filled = names_.in_text(name);
        if (filled != name) return filled; // "{id}.*"
        if (names_.is_own(name)) return names_.prefixed(name);
        faults_.add("unknown-line", pointer, "the piece has no line " + in_quotes(name),
                    advice(name, keys_of(find_at(bill_, "/lines")), "add one"));
        return name;
    }

    Json tasks() {
        Json out = Json::object();
        for (const auto& [name, task] : section("tasks").items()) {
            const std::string pointer = pointer_to("/tasks", name);
            Json copied = Json::object();
            for (const auto& [key, value] : task.items()) {
                const Field* field = find_field(task_fields(), key);
                if (key == "after" && value.is_array()) {
                    copied[key] = Json::array();
                    for (const Json& entry : value)
                        copied[key].push_back(
                            entry.is_string() ? after(entry.get<std::string>(), pointer + "/after")
                                              : entry);
                } else {
                    copied[key] = field == nullptr
                                      ? value
                                      : copied_value(*field, value, pointer_to(pointer, key));
                }
                if (key == "title") copied["piece"] = wanted_.id;
            }
            if (!copied.contains("piece")) copied["piece"] = wanted_.id;
            out[names_.prefixed(name)] = std::move(copied);
        }
        return out;
    }

    /// A task or line of the piece; steps of modules keep their names.
    Json after(const std::string& name, const std::string& pointer) {
        if (names_.is_own(name)) return names_.prefixed(name);
        if (name.find('/') != std::string::npos) return names_.in_text(name);
        faults_.add("unknown-task", pointer, "the piece has no task or line " + in_quotes(name),
                    advice(name, names_.all(), "name one of its own"));
        return name;
    }

    Json checks() {
        Json out = Json::object();
        for (const auto& [name, check] : section("checks").items()) {
            const std::string pointer = pointer_to("/checks", name);
            Json copied = check;
            for (const char* key : {"equal", "at_most"}) {
                const auto sides = copied.find(key);
                if (sides == copied.end() || !sides->is_array()) continue;
                for (std::size_t i = 0; i < sides->size(); ++i)
                    (*sides)[i] =
                        formula((*sides)[i], pointer_to(pointer, key) + '/' + std::to_string(i));
            }
            if (copied.contains("within"))
                copied["within"] = formula(copied["within"], pointer + "/within");
            out[names_.prefixed(name)] = std::move(copied);
        }
        return out;
    }

    const PieceFile& piece_;
    const Json& project_;
    std::string_view unit_;
    const PieceToAdd& wanted_;
    std::span<const contract::Description> modules_;
    Json bill_;
    Names names_;
    FaultList faults_;
    std::vector<SharedRole> shared_;
};

/// Sizes and roles that are asked for and not there, and sizes outside their limits.
void refuse_wishes(const PieceFile& piece, std::string_view unit, const PieceToAdd& wanted) {
    std::vector<Fault> faults;
    const std::vector<PieceSize> sizes = sizes_of(piece, unit);
    std::vector<std::string> known;
    for (const PieceSize& size : sizes) known.push_back(size.name);
    for (const auto& [name, chosen] : wanted.sizes) {
        const auto size = std::find_if(sizes.begin(), sizes.end(),
                                       [&](const PieceSize& each) { return each.name == name; });
        if (size == sizes.end()) {
            faults.push_back(
                {"unknown-size",
                 {"--set " + name, "", 0, 0},
                 "the piece " + in_quotes(piece.name) + " has no size " + in_quotes(name),
                 advice(name, known, "it has none to choose")});
            continue;
        }
        try {
            refuse_size(*size, chosen, unit);
        } catch (const FaultError& error) {
            for (Fault fault : error.faults()) {
                fault.place = {"--set " + name, "", 0, 0};
                faults.push_back(std::move(fault));
            }
        }
    }
    const Json bill = bill_of(piece, unit);
    const std::vector<std::string> roles = keys_of(find_at(bill, "/materials"));
    for (const auto& [role, other] : wanted.roles) {
        if (std::find(roles.begin(), roles.end(), role) == roles.end())
            faults.push_back(
                {"unknown-material",
                 {"--role " + role, "", 0, 0},
                 "the piece " + in_quotes(piece.name) + " has no role " + in_quotes(role),
                 advice(role, roles, "it needs no material")});
    }
    if (!faults.empty()) throw FaultError(std::move(faults));
}

/// Names that the project has already.
void refuse_clashes(const Json& project, const std::string& project_file, const Json& sections,
                    const PieceToAdd& wanted) {
    for (const auto& [section, members] : sections.items()) {
        for (const auto& [key, value] : members.items()) {
            if (find_at(project, pointer_to("/" + section, key)) == nullptr) continue;
            fail("name-clash", {project_file, pointer_to("/" + section, key), 0, 0},
                 "the project has " + in_quotes(key) + " under \"" + section + "\" already",
                 "add the piece under another name: --as " + wanted.id + "_2");
        }
    }
}

bool is_id(std::string_view id) {
    return !id.empty() && id.front() >= 'a' && id.front() <= 'z' &&
           std::all_of(id.begin(), id.end(), [](char c) {
               return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '_';
           });
}

} // namespace

std::string free_piece_id(const Json& project, const PieceFile& piece) {
    const std::string plain = plain_id(piece.name, '_', "piece");
    std::string id = plain;
    for (int number = 2; find_at(project, pointer_to("/pieces", id)) != nullptr; ++number)
        id = plain + '_' + std::to_string(number);
    return id;
}

WithPiece with_piece(const std::string& project_text, const std::string& project_file,
                     const PieceFile& piece, const PieceToAdd& wanted,
                     std::span<const contract::Description> modules) {
    const Json project = read_project(project_text, project_file).document;
    if (!is_id(wanted.id))
        fail("bad-name", {"--as " + wanted.id, "", 0, 0},
             "the id is not of small letters, digits and underscores, beginning with a letter",
             "write one such as 'case' or 'left_bookcase'");
    const std::string unit = text(project, "length_unit", "mm");
    refuse_wishes(piece, unit, wanted);
    Copying copying(piece, project, unit, wanted, modules);
    const Json sections = copying.sections();
    refuse_clashes(project, project_file, sections, wanted);

    WithPiece out{project_text, copying.shared()};
    for (const auto& [section, members] : sections.items()) {
        if (members.empty()) continue;
        out.text = project.contains(section)
                       ? insert_members(std::move(out.text), "/" + section, members)
                       : insert_members(std::move(out.text), "", Json{{section, members}});
    }
    return out;
}

} // namespace aumbry
