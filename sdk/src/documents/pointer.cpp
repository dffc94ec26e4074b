#include "documents/pointer.hpp"

#include "aumbry/json.hpp"

#include <charconv>

namespace aumbry {

std::optional<std::string> take_token(std::string_view& pointer) {
    if (pointer.empty() || pointer.front() != '/') return std::nullopt;
    pointer.remove_prefix(1);
    std::string token;
    while (!pointer.empty() && pointer.front() != '/') {
        char c = pointer.front();
        pointer.remove_prefix(1);
        if (c == '~') {
            if (pointer.empty() || (pointer.front() != '0' && pointer.front() != '1'))
                return std::nullopt;
            c = pointer.front() == '0' ? '~' : '/';
            pointer.remove_prefix(1);
        }
        token += c;
    }
    return token;
}

std::string pointer_to(std::string_view base, std::string_view token) {
    std::string pointer(base);
    pointer += '/';
    for (const char c : token) {
        if (c == '~')
            pointer += "~0";
        else if (c == '/')
            pointer += "~1";
        else
            pointer += c;
    }
    return pointer;
}

const Json* find_at(const Json& document, std::string_view pointer) {
    const Json* at = &document;
    while (!pointer.empty()) {
        const auto token = take_token(pointer);
        if (!token) return nullptr;
        if (at->is_object()) {
            const auto found = at->find(*token);
            if (found == at->end()) return nullptr;
            at = &*found;
        } else if (at->is_array()) {
            std::size_t index = 0;
            const char* end = token->data() + token->size();
            const auto [stop, error] = std::from_chars(token->data(), end, index);
            const bool leading_zero = token->size() > 1 && token->front() == '0';
            if (error != std::errc{} || stop != end || leading_zero || index >= at->size())
                return nullptr;
            at = &(*at)[index];
        } else {
            return nullptr;
        }
    }
    return at;
}

} // namespace aumbry
