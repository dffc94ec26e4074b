#include "print/drawing.hpp"
#include "print/letter_widths.hpp"

namespace aumbry::print {
namespace {

/// Of letters that no table has: wide enough for nearly every Greek and Cyrillic one; from the CJK
/// blocks on, one em.
constexpr int other_letter = 850;
constexpr int wide_letter = 1000;

bool starts_character(char c) {
    return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
}

/// The code point of the UTF-8 character that starts at `at`.
char32_t code_at(std::string_view text, std::size_t at) {
    const auto byte = [&](std::size_t i) {
        return i < text.size() ? static_cast<unsigned char>(text[i]) : 0U;
    };
    const unsigned first = byte(at);
    if (first < 0x80) return first;
    const int further = first >= 0xF0 ? 3 : first >= 0xE0 ? 2 : 1;
    char32_t code = first & (0x3FU >> static_cast<unsigned>(further));
    for (int i = 1; i <= further; ++i)
        code = (code << 6U) | (byte(at + static_cast<std::size_t>(i)) & 0x3FU);
    return code;
}

int advance(char32_t code, bool bold) {
    if (code < 0x20) return 0;
    if (code <= 0x7E) return (bold ? ascii_bold : ascii_regular)[code - 0x20];
    if (code >= 0xA0 && code <= 0x17F) return (bold ? latin_bold : latin_regular)[code - 0xA0];
    for (const auto& [mark, regular, heavy] : marks) {
        if (code == static_cast<char32_t>(mark)) return bold ? heavy : regular;
    }
    return code >= 0x3000 ? wide_letter : other_letter;
}

/// Bytes of the whole characters that fit, at least one character.
std::size_t longest_that_fits(std::string_view text, double size, double room, bool bold) {
    double taken = 0;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (!starts_character(text[i])) continue;
        taken += size * advance(code_at(text, i), bold) / 1000;
        if (taken > room && i > 0) return i;
    }
    return text.size();
}

} // namespace

double text_width(std::string_view text, double size, bool bold) {
    int sum = 0;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (starts_character(text[i])) sum += advance(code_at(text, i), bold);
    }
    return size * sum / 1000;
}

std::string shortened(std::string_view text, double size, double room, bool bold) {
    if (text_width(text, size, bold) <= room) return std::string(text);
    const double ellipsis = size * advance(U'\u2026', bold) / 1000;
    double taken = ellipsis;
    std::size_t end = 0;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (!starts_character(text[i])) continue;
        end = i;
        taken += size * advance(code_at(text, i), bold) / 1000;
        if (taken > room) break;
    }
    while (end > 0 && text[end - 1] == ' ') --end;
    return std::string(text.substr(0, end)) + "\u2026";
}

std::vector<std::string> wrapped(std::string_view text, double size, double room, bool bold) {
    std::vector<std::string> lines;
    std::string line;
    for (std::size_t start = 0; start <= text.size();) {
        std::size_t end = text.find(' ', start);
        if (end == std::string_view::npos) end = text.size();
        std::string_view word = text.substr(start, end - start);
        start = end + 1;
        if (word.empty()) continue;
        std::string longer = line;
        if (!line.empty()) longer += ' ';
        longer += word;
        if (text_width(longer, size, bold) <= room) {
            line = std::move(longer);
            continue;
        }
        if (!line.empty()) lines.push_back(std::move(line));
        // A word wider than the room is broken anywhere: nothing of it may be lost.
        while (text_width(word, size, bold) > room) {
            const std::size_t fits = longest_that_fits(word, size, room, bold);
            lines.emplace_back(word.substr(0, fits));
            word.remove_prefix(fits);
        }
        line = word;
    }
    if (!line.empty()) lines.push_back(std::move(line));
    return lines;
}

} // namespace aumbry::print
