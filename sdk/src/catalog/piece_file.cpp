#include "aumbry/piece_file.hpp"

#include "catalog/piece_units.hpp"
#include "values/excerpt.hpp"

#include "aumbry/field_makers.hpp"
#include "aumbry/fields.hpp"
#include "aumbry/line_access.hpp"
#include "aumbry/project.hpp"

#include <algorithm>
#include <array>
#include <set>

namespace aumbry {

namespace fs = std::filesystem;

using contract::Field;

namespace {

constexpr std::array<std::string_view, 2> units{"mm", "in"};
constexpr std::string_view suffix = ".piece.json";

bool is_choice(const Json& value) {
    return value.is_object() && !value.empty() &&
           std::all_of(value.items().begin(), value.items().end(), [](const auto& member) {
               return member.key() == "mm" || member.key() == "in";
           });
}

} // namespace

std::optional<Json> in_unit(const Json& value, std::string_view length_unit) {
    if (is_choice(value)) {
        const auto found = value.find(std::string(length_unit));
        return found == value.end() ? std::nullopt : in_unit(*found, length_unit);
    }
    if (!value.is_structured()) return value;
    Json out = value.is_object() ? Json::object() : Json::array();
    for (const auto& [key, member] : value.items()) {
        auto held = in_unit(member, length_unit);
        if (!held) continue;
        if (value.is_object())
            out[key] = std::move(*held);
        else
            out.push_back(std::move(*held));
    }
    return out;
}

std::string pointer_in_file(const Json& document, std::string_view length_unit,
                            const std::string& pointer) {
    const Json* at = &document;
    std::string out;
    const auto choose = [&] {
        while (is_choice(*at) && at->contains(std::string(length_unit))) {
            at = &(*at)[std::string(length_unit)];
            out += '/' + std::string(length_unit);
        }
    };
    for (std::size_t begin = 0; begin < pointer.size();) {
        const std::size_t end = std::min(pointer.find('/', begin + 1), pointer.size());
        const std::string token = pointer.substr(begin, end - begin);
        out += token;
        begin = end;
        at = find_at(*at, token);
        if (at == nullptr) return out + pointer.substr(begin);
        choose();
    }
    return out;
}

namespace {

/// Of a size that is asked for; its values are quantities of any dimension, and checked by hand.
std::span<const Field> size_fields() {
    static const std::vector<Field> fields{
        required(text_field("label", "Label", "what the size is called: \"Width\"")),
        required(text_field("help", "Help", "one sentence: from where to where it is measured")),
    };
    return fields;
}
constexpr std::array<std::string_view, 3> size_values{"default", "min", "max"};

std::span<const Field> top_fields() {
    static const std::vector<Field> fields{
        required(text_field("title", "Title", "what the piece is called")),
        required(text_field("help", "Help", "one sentence: what it is and how it is built")),
        text_field("note", "Note", "anything worth remembering"),
        texts_field("warnings", "Warnings", "what about it could kill or maim"),
        texts_field("cautions", "Cautions", "what about it could hurt a little or spoil something"),
    };
    return fields;
}
constexpr std::array<std::string_view, 6> sections{"aumbry_piece", "parameters", "materials",
                                                   "lines",        "tasks",      "checks"};

bool is_plain_name(std::string_view name) {
    return !name.empty() && name.front() >= 'a' && name.front() <= 'z' &&
           std::all_of(name.begin(), name.end(), [](char c) {
               return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '_';
           });
}

/// The shape of the bill for one unit.
class ShapeCheck {
  public:
    ShapeCheck(const Json& bill, FaultList& faults) : bill_(bill), faults_(faults) {}

    void run() {
        (void)read_fields(top_fields(), bill_, "", {}, faults_, sections);
        if (!bill_.contains("lines"))
            faults_.add("missing-key", "", "missing key 'lines'", "add what the piece is made of");
        each(
            "parameters",
            [&](const auto& name, const Json& value, const auto& pointer) {
                parameter(name, value, pointer);
            },
            false);
        each("materials", [&](const auto& name, const Json& value, const auto& pointer) {
            record(name, value, pointer, "class");
        });
        each("lines", [&](const auto& name, const Json& value, const auto& pointer) {
            record(name, value, pointer, "kind");
            own_piece(value, pointer);
        });
        each("tasks", [&](const auto&, const Json& value, const auto& pointer) {
            own_piece(value, pointer);
        });
        each(
            "checks", [](const auto&, const Json&, const auto&) {}, false);
    }

  private:
    template <class Visit>
    void each(const char* key, const Visit& visit, bool named = true) {
        const auto section = bill_.find(key);
        if (section == bill_.end()) return;
        const std::string at = std::string("/") + key;
        if (!section->is_object()) {
            faults_.add("wrong-type", at, "found " + in_words(*section), "write an object in { }");
            return;
        }
        for (const auto& [name, value] : section->items()) {
            const std::string pointer = pointer_to(at, name);
            if (!is_plain_name(name))
                faults_.add("bad-name", pointer,
                            "the name " + in_quotes(name) +
                                " is not of small letters, digits and underscores",
                            "the piece's id is put before it: \"side\" becomes \"case_side\"");
            if (named && !names_.insert(name).second)
                faults_.add("name-clash", pointer,
                            "the name " + in_quotes(name) + " is used twice in the piece",
                            "a role, a line and a task may not share one");
            visit(name, value, pointer);
        }
    }

    void parameter(const std::string&, const Json& value, const std::string& pointer) {
        if (value.is_string() || value.is_number()) return;
        if (!value.is_object()) {
            faults_.add("wrong-type", pointer, "found " + in_words(value),
                        "write a formula, or an object with label, help and default");
            return;
        }
        (void)read_fields(size_fields(), value, pointer, {}, faults_, size_values);
        if (!value.contains("default"))
            faults_.add("missing-key", pointer, "missing key 'default'",
                        "add what the size is when nobody chooses: \"880 mm\"");
        for (const std::string_view key : size_values) {
            const auto found = value.find(std::string(key));
            if (found == value.end() || found->is_string() || found->is_number()) continue;
            faults_.add("wrong-type", pointer_to(pointer, key), "found " + in_words(*found),
                        "write a quantity such as '880 mm', or a number");
        }
    }

    void record(const std::string& name, const Json& value, const std::string& pointer,
                const char* key) {
        if (value.is_object() && value.contains(key) && value[key].is_string()) return;
        faults_.add("missing-key", pointer, in_quotes(name) + " has no " + key,
                    std::string("add \"") + key + "\"");
    }

    void own_piece(const Json& value, const std::string& pointer) {
        if (value.is_object() && value.contains("piece"))
            faults_.add("unknown-key", pointer + "/piece",
                        "a piece file does not say which piece it is",
                        "take it out: all of it belongs to the piece that is added");
    }

    const Json& bill_;
    FaultList& faults_;
    std::set<std::string> names_;
};

std::string name_of(const fs::path& file) {
    const std::string name = file.filename().string();
    return name.ends_with(suffix) ? name.substr(0, name.size() - suffix.size())
                                  : file.stem().string();
}

std::string written(const Json& value) {
    return value.is_string() ? value.get<std::string>() : value.dump();
}

} // namespace

PieceFile read_piece(std::string text, const std::string& file) {
    PieceFile piece{name_of(file), file, std::move(text), {}, {}, {}};
    piece.document = parse_json(piece.text, file);
    FaultList faults(file);
    const Json& document = piece.document;
    const Json* version = find_at(document, "/aumbry_piece");
    if (version == nullptr || !version->is_number_integer() || *version < 1)
        faults.add("no-piece", version == nullptr ? "" : "/aumbry_piece", "this is no piece file",
                   "begin it with \"aumbry_piece\": 1");
    else if (*version > piece_version)
        faults.add("newer-version", "/aumbry_piece",
                   "the piece is of version " + version->dump() + ", this program reads version " +
                       std::to_string(piece_version),
                   "update Aumbry");
    faults.find_places(piece.text);
    faults.throw_if_any();

    std::vector<Fault> told;
    for (const std::string_view unit : units) {
        FaultList of_unit(file);
        ShapeCheck(bill_of(piece, unit), of_unit).run();
        of_unit.find_places(piece.text, [&](const std::string& pointer) {
            return pointer_in_file(document, unit, pointer);
        });
        for (const Fault& fault : of_unit.faults()) {
            if (std::find(told.begin(), told.end(), fault) == told.end()) told.push_back(fault);
        }
    }
    if (!told.empty()) throw FaultError(std::move(told));
    piece.title = document["title"].get<std::string>();
    piece.help = document["help"].get<std::string>();
    return piece;
}

Json bill_of(const PieceFile& piece, std::string_view length_unit) {
    return in_unit(piece.document, length_unit).value_or(Json::object());
}

std::vector<PieceSize> sizes_of(const PieceFile& piece, std::string_view length_unit) {
    std::vector<PieceSize> sizes;
    const Json bill = bill_of(piece, length_unit);
    const Json* parameters = find_at(bill, "/parameters");
    if (parameters == nullptr) return sizes;
    for (const auto& [name, value] : parameters->items()) {
        if (!value.is_object()) continue;
        const auto limit = [&](const char* key) {
            return value.contains(key) ? written(value[key]) : std::string();
        };
        sizes.push_back({name, aumbry::text(value, "label"), aumbry::text(value, "help"),
                         written(value["default"]), limit("min"), limit("max")});
    }
    return sizes;
}

PieceLibrary load_pieces(const std::vector<fs::path>& folders) {
    PieceLibrary library;
    for (const fs::path& folder : folders) {
        std::error_code error;
        std::vector<fs::path> files;
        for (fs::directory_iterator at(folder / "pieces", error), end; !error && at != end;
             at.increment(error)) {
            const std::string name = at->path().filename().string();
            if (!name.starts_with('.') && name.ends_with(suffix)) files.push_back(at->path());
        }
        std::sort(files.begin(), files.end());
        for (const fs::path& file : files) {
            const std::string name = name_of(file);
            if (std::any_of(library.pieces.begin(), library.pieces.end(),
                            [&](const PieceFile& each) { return each.name == name; }))
                continue;
            try {
                library.pieces.push_back(read_piece(read_file(file), file.generic_string()));
            } catch (const FaultError& fault) {
                library.faults.insert(library.faults.end(), fault.faults().begin(),
                                      fault.faults().end());
            }
        }
    }
    std::sort(library.pieces.begin(), library.pieces.end(),
              [](const PieceFile& a, const PieceFile& b) { return a.name < b.name; });
    return library;
}

const PieceFile& PieceLibrary::find(const std::string& name) const {
    const auto found = std::find_if(pieces.begin(), pieces.end(),
                                    [&](const PieceFile& each) { return each.name == name; });
    if (found != pieces.end()) return *found;
    std::vector<std::string> names;
    for (const PieceFile& piece : pieces) names.push_back(piece.name);
    const std::string near = nearest_name(name, names);
    // A file of that name may be there and be at fault.
    for (const Fault& fault : faults) {
        if (name_of(fault.place.file) == name) throw FaultError(faults);
    }
    fail("unknown-piece", {}, "the library has no piece " + in_quotes(name),
         near.empty() ? "`aumbry pieces` lists them" : "did you mean " + in_quotes(near) + "?");
}

Json piece_schema() {
    const auto keyed = [](Json item) {
        return Json{{"type", "object"},
                    {"propertyNames", {{"pattern", "^[a-z][a-z0-9_]*$"}}},
                    {"additionalProperties", std::move(item)}};
    };
    const Json value = {{"type", Json::array({"string", "number"})}};
    const Json by_unit = {{"type", "object"},
                          {"properties", {{"mm", true}, {"in", true}}},
                          {"additionalProperties", false},
                          {"minProperties", 1}};
    const auto or_by_unit = [&](Json schema) {
        return Json{{"anyOf", Json::array({std::move(schema), by_unit})}};
    };
    Json size = schema_of_fields(size_fields());
    for (const std::string_view key : size_values)
        size["properties"][std::string(key)] = or_by_unit(value);
    size["required"].push_back("default");
    const auto record = [&](const char* key) {
        return or_by_unit({{"type", "object"}, {"required", Json::array({key})}});
    };
    Json schema = schema_of_fields(top_fields());
    Json& properties = schema["properties"];
    properties["aumbry_piece"] = {{"const", piece_version}};
    properties["parameters"] = keyed({{"anyOf", Json::array({value, size, by_unit})}});
    properties["materials"] = keyed(record("class"));
    properties["lines"] = keyed(record("kind"));
    properties["tasks"] = keyed({{"type", "object"}});
    properties["checks"] = keyed({{"type", "object"}});
    schema["required"].push_back("aumbry_piece");
    schema["required"].push_back("lines");
    Json out = {{"$schema", "http://json-schema.org/draft-07/schema#"},
                {"title", "*.piece.json: a piece of the library"}};
    out.update(schema);
    return out;
}

} // namespace aumbry
