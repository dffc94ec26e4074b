#include "aumbry/line_access.hpp"

#include "aumbry/fault.hpp"

namespace aumbry {

namespace {

const Json* member(const Json& object, std::string_view key) {
    const auto found = object.find(std::string(key));
    return found == object.end() ? nullptr : &*found;
}

[[noreturn]] void fail_missing(const contract::Line& line, std::string_view path,
                               const char* what) {
    fail("missing-value", {},
         "line '" + line.id + "' has no " + what + " '" + std::string(path) + "'");
}

} // namespace

const Json* find_value(const contract::Line& line, std::string_view path) {
    if (path.starts_with("material.")) {
        return line.material ? member(line.material->attributes, path.substr(9)) : nullptr;
    }
    if (path.starts_with("derived.")) return member(line.derived, path.substr(8));
    return member(line.fields, path);
}

double number(const contract::Line& line, std::string_view path) {
    const Json* value = find_value(line, path);
    if (value == nullptr || !value->is_number()) fail_missing(line, path, "number");
    return value->get<double>();
}
double number(const contract::Line& line, std::string_view path, double fallback) {
    const Json* value = find_value(line, path);
    return value != nullptr && value->is_number() ? value->get<double>() : fallback;
}
std::string text(const contract::Line& line, std::string_view path) {
    const Json* value = find_value(line, path);
    if (value == nullptr || !value->is_string()) fail_missing(line, path, "text");
    return value->get<std::string>();
}
std::string text(const contract::Line& line, std::string_view path, const std::string& fallback) {
    const Json* value = find_value(line, path);
    return value != nullptr && value->is_string() ? value->get<std::string>() : fallback;
}
bool flag(const contract::Line& line, std::string_view path, bool fallback) {
    const Json* value = find_value(line, path);
    return value != nullptr && value->is_boolean() ? value->get<bool>() : fallback;
}

double number(const Json& object, const char* key, double fallback) {
    const Json* value = member(object, key);
    return value != nullptr && value->is_number() ? value->get<double>() : fallback;
}
std::string text(const Json& object, const char* key, const std::string& fallback) {
    const Json* value = member(object, key);
    return value != nullptr && value->is_string() ? value->get<std::string>() : fallback;
}
bool flag(const Json& object, const char* key, bool fallback) {
    const Json* value = member(object, key);
    return value != nullptr && value->is_boolean() ? value->get<bool>() : fallback;
}

const contract::Line* reference(const contract::Line& line, std::string_view id) {
    for (const contract::Line& candidate : line.references) {
        if (candidate.id == id) return &candidate;
    }
    return nullptr;
}

std::string display_name(const contract::Line& line) {
    if (!line.title.empty()) return line.title;
    std::string name = line.id;
    for (char& c : name) {
        if (c == '_') c = ' ';
    }
    return name;
}

} // namespace aumbry
