// Classes of ASCII characters, the same under every locale.
#pragma once

namespace aumbry {

inline bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

inline bool is_letter(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

/// What JSON calls white space (RFC 8259, section 2).
inline bool is_space(char c) {
    return c == ' ' || c == '\n' || c == '\t' || c == '\r';
}

} // namespace aumbry
