#include "aumbry/merge_difference.hpp"

#include <algorithm>

namespace aumbry {

bool same_value(const Json& one, const Json& other) {
    if (one.type() != other.type() || one.size() != other.size()) return one == other;
    if (one.is_array()) return std::equal(one.begin(), one.end(), other.begin(), same_value);
    if (!one.is_object()) return one == other;
    // Most often the keys stand in the same order: then nothing has to be searched for.
    auto near = other.begin();
    for (auto member = one.begin(); member != one.end(); ++member, ++near) {
        const auto found = near.key() == member.key() ? near : other.find(member.key());
        if (found == other.end() || !same_value(*member, *found)) return false;
    }
    return true;
}

namespace {

/// Nulls cannot be set by a patch, also not inside an object that is new. Those in lists can.
void refuse_null(const Json& value, const std::string& pointer) {
    if (value.is_null())
        fail("null-in-patch", {"", pointer, 0, 0}, "null is no value that a change can state",
             "leave the key out");
    if (!value.is_object()) return;
    for (const auto& [key, member] : value.items()) refuse_null(member, pointer_to(pointer, key));
}

/// The patch between two values that differ.
Json patch_between(const Json& from, const Json& to, const std::string& pointer) {
    if (!from.is_object() || !to.is_object()) {
        refuse_null(to, pointer);
        return to;
    }
    Json patch = Json::object();
    for (const auto& [key, value] : to.items()) {
        const auto before = from.find(key);
        const std::string here = pointer_to(pointer, key);
        if (before == from.end()) {
            refuse_null(value, here);
            patch[key] = value;
        } else if (!same_value(*before, value)) {
            patch[key] = patch_between(*before, value, here);
        }
    }
    for (const auto& [key, value] : from.items()) {
        if (!to.contains(key)) patch[key] = nullptr;
    }
    return patch;
}

} // namespace

Json merge_difference(const Json& from, const Json& to) {
    // Null in place of the whole value can be stated; null inside it cannot.
    return to.is_null() ? to : patch_between(from, to, "");
}

} // namespace aumbry
