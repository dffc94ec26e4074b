// Names for documents and files out of what people write.
#pragma once

#include <string>
#include <string_view>

namespace aumbry {

/// Small letters and digits of a text, everything between them as one `joint`: "Oak 27 mm" becomes
/// "oak_27_mm". A text without any becomes `otherwise`.
[[nodiscard]] inline std::string plain_id(std::string_view text, char joint = '_',
                                          const char* otherwise = "item") {
    std::string id;
    for (const char c : text) {
        if ((c >= 'a' && c <= 'z') || (c >= '0' && c <= '9'))
            id += c;
        else if (c >= 'A' && c <= 'Z')
            id += static_cast<char>(c - 'A' + 'a');
        else if (!id.empty() && id.back() != joint)
            id += joint;
    }
    while (!id.empty() && id.back() == joint) id.pop_back();
    return id.empty() ? otherwise : id;
}

} // namespace aumbry
