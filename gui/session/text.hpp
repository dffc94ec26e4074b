// Small changes to what a person typed.
#pragma once

#include <string>

namespace aumbry::gui {

/// Without blanks and tabs at its ends.
[[nodiscard]] inline std::string trimmed(const std::string& text) {
    const auto first = text.find_first_not_of(" \t");
    if (first == std::string::npos) return "";
    return text.substr(first, text.find_last_not_of(" \t") - first + 1);
}

/// ASCII letters in lower case.
[[nodiscard]] inline std::string lower(std::string text) {
    for (char& letter : text)
        if (letter >= 'A' && letter <= 'Z') letter = static_cast<char>(letter - 'A' + 'a');
    return text;
}

} // namespace aumbry::gui
