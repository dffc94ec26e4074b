#include "session/differences.hpp"

#include "aumbry/merge_difference.hpp"

#include <map>

namespace aumbry::gui {

namespace {

/// What a member of a section is; empty: the section is named.
std::string member_of_section(const std::string& section) {
    static const std::map<std::string, std::string> names{
        {"parameters", "size"},   {"materials", "material"},      {"pieces", "piece"},
        {"lines", "line"},        {"people", "person"},           {"tasks", "task"},
        {"owned", "owned thing"}, {"alternatives", "alternative"}};
    const auto found = names.find(section);
    return found == names.end() ? "" : found->second;
}

std::string title_of(const Json& thing, const std::string& id) {
    const Json* title = find_at(thing, "/title");
    return title != nullptr && title->is_string() && *title != "" ? title->get<std::string>() : id;
}

std::string told(const Json& value) {
    if (value.is_string()) return value.get<std::string>();
    return value.is_object() || value.is_array() ? in_words(value) : value.dump();
}

std::string joined(const std::string& place, const std::string& name) {
    return place.empty() ? name : place + ", " + name;
}

/// `section`: its members have names of their own; empty: members are fields.
void tell(const Json& from, const Json& to, const std::string& place, const std::string& section,
          bool top, std::vector<std::string>& differences) {
    const auto name = [&](const std::string& key, const Json& value) {
        return section.empty() ? key : section + " " + title_of(value, key);
    };
    for (const auto& [key, value] : to.items()) {
        const auto before = from.find(key);
        if (before == from.end()) {
            differences.push_back("new " + joined(place, name(key, value)) +
                                  (value.is_structured() ? "" : ": " + told(value)));
        } else if (before->is_object() && value.is_object()) {
            const std::string inner = top ? member_of_section(key) : "";
            tell(*before, value, inner.empty() ? joined(place, name(key, value)) : place, inner,
                 false, differences);
        } else if (!same_value(*before, value)) {
            differences.push_back(joined(place, name(key, value)) +
                                  (value.is_structured() && before->is_structured()
                                       ? " changed"
                                       : ": " + told(*before) + ", now " + told(value)));
        }
    }
    for (const auto& [key, value] : from.items()) {
        if (!to.contains(key)) differences.push_back(joined(place, name(key, value)) + " is gone");
    }
}

} // namespace

std::vector<std::string> differences_in_words(const Json& from, const Json& to) {
    std::vector<std::string> differences;
    if (from.is_object() && to.is_object()) tell(from, to, "", "", true, differences);
    if (differences.empty() && from.dump() != to.dump())
        differences.emplace_back("the order in which things are written");
    return differences;
}

} // namespace aumbry::gui
