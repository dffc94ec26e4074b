#include "documents/edit_members.hpp"

#include "documents/places.hpp"

#include "aumbry/fault.hpp"

#include <algorithm>
#include <optional>

namespace aumbry {

namespace {

constexpr std::string_view spaces = " \t\r\n";

/// Past the text in quotes that begins at `at`.
std::size_t after_string(std::string_view text, std::size_t at) {
    for (++at; at < text.size() && text[at] != '"'; ++at) {
        if (text[at] == '\\') ++at;
    }
    return at + 1;
}

/// The brace that closes the one at `open`.
std::size_t closing_brace(std::string_view text, std::size_t open) {
    int depth = 0;
    for (std::size_t at = open; at < text.size();) {
        if (text[at] == '"') {
            at = after_string(text, at);
            continue;
        }
        if (text[at] == '{' || text[at] == '[') ++depth;
        if ((text[at] == '}' || text[at] == ']') && --depth == 0) return at;
        ++at;
    }
    return std::string_view::npos;
}

/// The brace that opens the object of a pointer.
std::optional<std::size_t> opening_brace(std::string_view text, std::string_view pointer) {
    auto at = find_offset(text, pointer);
    if (!at) return std::nullopt;
    if (text[*at] == '"') { // the key of a member
        at = text.find_first_not_of(spaces, after_string(text, *at));
        if (*at == std::string_view::npos || text[*at] != ':') return std::nullopt;
        at = text.find_first_not_of(spaces, *at + 1);
    }
    return *at != std::string_view::npos && text[*at] == '{' ? at : std::nullopt;
}

/// What a line begins with before its first sign.
std::string indent_of_line(std::string_view text, std::size_t at) {
    const std::size_t start = at == 0 ? 0 : text.rfind('\n', at - 1) + 1; // npos + 1 is 0
    const std::size_t first = text.find_first_not_of(" \t", start);
    return std::string(text.substr(start, first - start));
}

} // namespace

std::string insert_members(std::string text, std::string_view pointer, const Json& members) {
    if (members.empty()) return text;
    const auto open = opening_brace(text, pointer);
    const std::size_t close = open ? closing_brace(text, *open) : std::string::npos;
    if (close == std::string::npos)
        fail("bad-pointer", {"", std::string(pointer), 0, 0}, "there is no object to add to",
             "write one in { }");
    const std::string end = text.find("\r\n") == std::string::npos ? "\n" : "\r\n";
    const std::size_t first = text.find_first_not_of(spaces, *open + 1);
    const bool empty = first == close;
    const std::string outer = indent_of_line(text, *open);
    // Members that stand on lines of their own say how far they are indented.
    const bool own_lines = !empty && text.find('\n', *open) < first;
    const std::string inner = own_lines ? indent_of_line(text, first) : outer + "  ";

    std::string added;
    for (const auto& [key, value] : members.items()) {
        std::string laid_out = pretty(Json{{key, value}});
        // pretty() gives "{\n  member\n}\n": the member alone, further in.
        laid_out = laid_out.substr(4, laid_out.size() - 7);
        if (!added.empty()) added += ',';
        added += end + inner;
        for (std::size_t at = 0; at < laid_out.size(); ++at) {
            if (laid_out[at] != '\n') {
                added += laid_out[at];
                continue;
            }
            added += end + inner;
            at += 2; // of its own indent
        }
    }
    if (empty) {
        text.replace(*open + 1, close - *open - 1, added + end + outer);
        return text;
    }
    const std::size_t last = text.find_last_not_of(spaces, close - 1);
    text.insert(last + 1, ',' + added);
    return text;
}

namespace {

/// Past the value that begins at `at`.
std::size_t after_value(std::string_view text, std::size_t at) {
    if (text[at] == '"') return after_string(text, at);
    if (text[at] == '{' || text[at] == '[') return closing_brace(text, at) + 1;
    return std::min(text.find_first_of(",]} \t\r\n", at), text.size());
}

/// Where the value of a member begins, whose key stands at `key`.
std::size_t value_behind(std::string_view text, std::size_t key) {
    const std::size_t colon = text.find_first_not_of(spaces, after_string(text, key));
    return text.find_first_not_of(spaces, colon + 1);
}

} // namespace

std::string set_member(std::string text, std::string_view pointer, const std::string& key,
                       const Json& value) {
    const auto at = find_offset(text, pointer_to(pointer, key));
    if (!at) return insert_members(std::move(text), pointer, Json{{key, value}});
    const std::size_t begin = value_behind(text, *at);
    text.replace(begin, after_value(text, begin) - begin, value.dump());
    return text;
}

std::string remove_member(std::string text, std::string_view pointer) {
    const auto key = find_offset(text, pointer);
    if (!key || text[*key] != '"')
        fail("bad-pointer", {"", std::string(pointer), 0, 0}, "there is no such member to take out",
             "name one that is there");
    std::size_t begin = *key;
    std::size_t end = after_value(text, value_behind(text, begin));
    const std::size_t next = text.find_first_not_of(spaces, end);
    if (next != std::string::npos && text[next] == ',') {
        // The blanks before it stay before the member that follows.
        end = std::min(text.find_first_not_of(spaces, next + 1), text.size());
    } else {
        const std::size_t before = text.find_last_not_of(spaces, begin - 1);
        begin = text[before] == ',' ? before : before + 1;
    }
    text.erase(begin, end - begin);
    return text;
}

} // namespace aumbry
