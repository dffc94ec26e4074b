#include "aumbry/project.hpp"

#include "aumbry/field_makers.hpp"
#include "aumbry/line_access.hpp"

#include <array>
#include <fstream>
#include <iterator>
#include <system_error>

namespace aumbry {

using contract::Field;

namespace {

constexpr std::array<std::string_view, 32> keys{
    "aumbry",      "title",     "note",  "currency",    "length_unit", "priced_on", "start",
    "orders_from", "wanted_by", "site",  "suppliers",   "pricing",     "people",    "workshop",
    "vehicle",     "settings",  "times", "parameters",  "materials",   "pieces",    "lines",
    "owned",       "stock",     "tasks", "checks",      "bought",      "as_bought", "worked",
    "maker",       "client",    "quote", "alternatives"};

} // namespace

std::span<const std::string_view> project_keys() {
    return keys;
}

std::string read_file(const std::filesystem::path& file) {
    std::error_code error;
    if (!std::filesystem::exists(file, error))
        fail("missing-file", {file.string(), "", 0, 0}, "there is no such file", "check the path");
    if (std::filesystem::is_directory(file, error))
        fail("unreadable-file", {file.string(), "", 0, 0}, "is a folder", "name a file");
    std::ifstream in(file, std::ios::binary);
    if (!in)
        fail("unreadable-file", {file.string(), "", 0, 0}, "the file cannot be read",
             "check its permissions");
    std::string text{std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
    if (in.bad()) fail("unreadable-file", {file.string(), "", 0, 0}, "reading the file failed");
    return text;
}

Project read_project(std::string text, const std::string& file) {
    Project project{file, std::move(text), {}, {}};
    project.document = parse_json(project.text, file);
    FaultList faults(file);
    if (!project.document.is_object()) {
        faults.add("no-project", "", "this is no project",
                   "a project is an object with \"aumbry\": 1");
    } else if (const auto version = project.document.find("aumbry");
               version == project.document.end() || !version->is_number_integer()) {
        faults.add("no-project", version == project.document.end() ? "" : "/aumbry",
                   "this is no project: it does not say its version",
                   "begin it with \"aumbry\": 1");
    } else if (version->get<std::int64_t>() > project_version) {
        faults.add("newer-version", "/aumbry",
                   "the project is of version " + version->dump() +
                       ", this program reads version " + std::to_string(project_version),
                   "update Aumbry");
    } else if (version->get<std::int64_t>() != project_version) {
        faults.add("no-project", "/aumbry", "there is no project version " + version->dump(),
                   "write \"aumbry\": 1");
    }
    faults.find_places(project.text);
    faults.throw_if_any();
    return project;
}

std::vector<AlternativeName> alternatives(const Project& project) {
    std::vector<AlternativeName> names;
    const Json* section = find_at(project.document, "/alternatives");
    if (section == nullptr || !section->is_object()) return names;
    for (const auto& [id, alternative] : section->items()) {
        names.push_back({id, alternative.is_object() ? text(alternative, "title", id) : id});
    }
    return names;
}

std::string Project::origin(const std::string& pointer) const {
    if (alternative.empty()) return pointer;
    const std::string changes = pointer_to("/alternatives", alternative) + "/changes";
    // The deepest part of the pointer that the changes mention decides.
    for (std::string part = pointer; !part.empty(); part.resize(part.rfind('/'))) {
        const Json* changed = find_at(document, changes + part);
        if (changed == nullptr) continue;
        // A changed object holds what it mentions; what it does not mention comes from the base.
        if (part == pointer || !changed->is_object()) return changes + pointer;
        return pointer;
    }
    return pointer;
}

namespace {

void check_changes(const Json& base, const Json& changes, const std::string& at,
                   const std::string& pointer, FaultList& faults) {
    for (const auto& [key, change] : changes.items()) {
        const auto found = base.is_object() ? base.find(key) : base.end();
        const bool present = base.is_object() && found != base.end();
        const std::string here = pointer_to(pointer, key);
        if (change.is_null()) {
            if (!present) {
                std::vector<std::string> names;
                if (base.is_object()) {
                    for (const auto& [name, value] : base.items()) names.push_back(name);
                }
                const std::string near = nearest_name(key, names);
                faults.add("nothing-to-delete", here, "there is no '" + key + "' to delete",
                           near.empty() ? "leave the change out" : "did you mean '" + near + "'?");
            }
        } else if (change.is_object()) {
            if (at == "/lines" && !present && !change.contains("kind")) {
                faults.add("line-without-kind", here, "the new line '" + key + "' has no kind",
                           "add \"kind\", or name a line of the project");
            }
            check_changes(present ? *found : Json(), change, pointer_to(at, key), here, faults);
        }
    }
}

} // namespace

Project with_alternative(const Project& base, const std::string& id) {
    FaultList faults(base.file);
    const Json* alternative = find_at(base.document, pointer_to("/alternatives", id));
    if (alternative == nullptr) {
        std::vector<std::string> ids;
        for (const AlternativeName& name : alternatives(base)) ids.push_back(name.id);
        const std::string near = nearest_name(id, ids);
        std::string known;
        for (const std::string& name : ids) known += (known.empty() ? "" : ", ") + name;
        fail("unknown-alternative", {base.file, "", 0, 0}, "there is no alternative '" + id + "'",
             !near.empty()   ? "did you mean '" + near + "'?"
             : known.empty() ? "the project has none"
                             : "known: " + known);
    }
    const std::string pointer = pointer_to("/alternatives", id);
    const Json* changes = alternative->is_object() && alternative->contains("changes")
                              ? &(*alternative)["changes"]
                              : nullptr;
    if (changes == nullptr || !changes->is_object()) {
        faults.add("missing-key", pointer, "the alternative has no \"changes\"",
                   "write what it changes, as a JSON Merge Patch (RFC 7396)");
    } else {
        for (const std::string_view fixed : {"aumbry", "currency", "alternatives"}) {
            if (changes->contains(std::string(fixed))) {
                faults.add("fixed-key", pointer + "/changes/" + std::string(fixed),
                           "an alternative cannot change '" + std::string(fixed) + "'",
                           "take it out of the changes");
            }
        }
        check_changes(base.document, *changes, "", pointer + "/changes", faults);
    }
    faults.find_places(base.text);
    faults.throw_if_any();

    Project changed = base;
    changed.alternative = id;
    Json patch = *changes;
    if (const auto lines = patch.find("lines"); lines != patch.end() && lines->is_object()) {
        const auto known = changed.document.find("lines");
        for (const auto& [name, change] : lines->items()) {
            if (known == changed.document.end() || !known->contains(name)) continue;
            // Another kind has other fields: the old ones mean nothing to it.
            Json& line = (*known)[name];
            if (line.is_object() && change.is_object() && change.contains("kind") &&
                change["kind"] != line.value("kind", Json()))
                line = Json::object();
        }
    }
    changed.document.merge_patch(patch);
    return changed;
}

} // namespace aumbry
