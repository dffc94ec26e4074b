// Foreign text inside a sentence: short, printable, valid UTF-8.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace aumbry {

/// At most about `most` bytes of `text`, cut between characters and then followed by "..."; line
/// breaks and tabs become spaces, other control characters and bytes that are not UTF-8 become '?'.
std::string excerpt(std::string_view text, std::size_t most = 60);

/// The excerpt in single quotes.
inline std::string in_quotes(std::string_view text, std::size_t most = 60) {
    return "'" + excerpt(text, most) + "'";
}

/// The whole text with every control character shown as "\\u001b" and every byte that is not UTF-8
/// as '?', so that it can stand in a terminal, a document and a window alike.
std::string printable(std::string_view text);

/// The length in bytes of the character that starts at `at`; 1 for a byte that is not valid UTF-8.
std::size_t character_length(std::string_view text, std::size_t at);

} // namespace aumbry
