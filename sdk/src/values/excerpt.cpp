#include "values/excerpt.hpp"

namespace aumbry {

namespace {

unsigned byte_at(std::string_view text, std::size_t at) {
    return static_cast<unsigned char>(text[at]);
}

// The length of a well-formed UTF-8 sequence at `at` (RFC 3629), or 0.
std::size_t well_formed(std::string_view text, std::size_t at) {
    const unsigned lead = byte_at(text, at);
    if (lead < 0x80) return 1;
    const std::size_t length = lead >= 0xC2 && lead <= 0xDF   ? 2
                               : lead >= 0xE0 && lead <= 0xEF ? 3
                               : lead >= 0xF0 && lead <= 0xF4 ? 4
                                                              : 0;
    if (length == 0 || at + length > text.size()) return 0;
    unsigned low = 0x80;
    unsigned high = 0xBF;
    if (lead == 0xE0) low = 0xA0;  // no overlong forms
    if (lead == 0xED) high = 0x9F; // no surrogates
    if (lead == 0xF0) low = 0x90;
    if (lead == 0xF4) high = 0x8F; // nothing above U+10FFFF
    for (std::size_t i = 1; i < length; ++i) {
        const unsigned byte = byte_at(text, at + i);
        if (byte < low || byte > high) return 0;
        low = 0x80;
        high = 0xBF;
    }
    return length;
}

} // namespace

std::size_t character_length(std::string_view text, std::size_t at) {
    const std::size_t length = well_formed(text, at);
    return length == 0 ? 1 : length;
}

std::string excerpt(std::string_view text, std::size_t most) {
    std::string result;
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t length = well_formed(text, at);
        if (at + (length == 0 ? 1 : length) > most) return result + "...";
        if (text[at] == '\n' || text[at] == '\r' || text[at] == '\t')
            result += ' ';
        else if (length == 0 || byte_at(text, at) < 0x20 || byte_at(text, at) == 0x7F)
            result += '?';
        else
            result += text.substr(at, length);
        at += length == 0 ? 1 : length;
    }
    return result;
}

std::string printable(std::string_view text) {
    static constexpr std::string_view digits = "0123456789abcdef";
    const auto escaped = [](unsigned code) {
        return std::string("\\u00") + digits[code >> 4U] + digits[code & 15U];
    };
    std::string result;
    result.reserve(text.size());
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t length = well_formed(text, at);
        const unsigned byte = byte_at(text, at);
        if (length == 0)
            result += '?';
        else if (byte < 0x20 || byte == 0x7F)
            result += escaped(byte);
        else if (byte == 0xC2 && byte_at(text, at + 1) < 0xA0) // U+0080 to U+009F
            result += escaped(byte_at(text, at + 1));
        else
            result += text.substr(at, length);
        at += length == 0 ? 1 : length;
    }
    return result;
}

} // namespace aumbry
