#include "documents/number_format.hpp"

#include "values/excerpt.hpp"

namespace aumbry {

namespace {

/// What stands in square brackets: a currency sign is shown, colours and conditions are not.
std::string shown_of_brackets(std::string_view inside) {
    if (!inside.starts_with('$')) return {};
    inside.remove_prefix(1);
    return std::string(inside.substr(0, inside.find('-')));
}

} // namespace

NumberFormat read_number_format(std::string_view code) {
    NumberFormat format;
    bool digits = false;
    const auto show = [&](std::string_view text) {
        (digits ? format.after : format.before) += text;
    };
    for (std::size_t i = 0; i < code.size();) {
        const char c = code[i];
        if (c == ';') break; // of negative numbers from here on
        if (c == '"') {
            const std::size_t close = code.find('"', i + 1);
            show(code.substr(i + 1, close == std::string_view::npos ? close : close - i - 1));
            if (close == std::string_view::npos) break;
            i = close + 1;
            continue;
        }
        if (c == '[') {
            const std::size_t close = code.find(']', i);
            if (close == std::string_view::npos) break;
            show(shown_of_brackets(code.substr(i + 1, close - i - 1)));
            i = close + 1;
            continue;
        }
        if (c == '\\' || c == '_' || c == '*') {
            const std::size_t size = i + 1 < code.size() ? character_length(code, i + 1) : 0;
            if (c == '\\') show(code.substr(i + 1, size));
            i += 1 + size; // _ leaves the room of a character, * fills with it
            continue;
        }
        if (std::string_view("0#?").find(c) != std::string_view::npos)
            digits = true;
        else if (c == '%')
            format.percent = true;
        else if (std::string_view("yYmMdDhHsS").find(c) != std::string_view::npos)
            format.date = true;
        else if (c == '$' || c == ' ' || static_cast<unsigned char>(c) >= 0x80U) {
            const std::size_t size = character_length(code, i);
            show(code.substr(i, size));
            i += size;
            continue;
        }
        ++i;
    }
    return format;
}

NumberFormat built_in_format(int id) {
    NumberFormat format;
    format.percent = id == 9 || id == 10;
    format.date = (id >= 14 && id <= 22) || (id >= 45 && id <= 47) || (id >= 27 && id <= 36) ||
                  (id >= 50 && id <= 58);
    return format;
}

} // namespace aumbry
