// Where values stand in a JSON text: walked by hand, since the parser keeps no places.
#pragma once

#include "aumbry/json.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>

namespace aumbry {

/// Line and character of a byte. A byte order mark is no character that an editor shows.
[[nodiscard]] Position position_at(std::string_view text, std::size_t offset);

/// The offset of the value that a pointer names, or of its key in an object; `occurrence` counts
/// equal keys of the last object.
[[nodiscard]] std::optional<std::size_t> find_offset(std::string_view text,
                                                     std::string_view pointer, int occurrence = 1);

/// The places of all values of a text, found in one walk: for many faults of one document. Of a
/// text that is no JSON, what stands before it stops making sense.
class PlaceIndex {
  public:
    explicit PlaceIndex(std::string_view text);

    /// The place of the value, or else of the nearest above it that is there: where something that
    /// is missing should be written. Empty when the text has no value at all.
    [[nodiscard]] std::optional<Position> nearest(std::string pointer) const;

  private:
    void walk(std::string& pointer, int depth);
    void walk_members(std::string& pointer, int depth);
    void note(const std::string& pointer, std::size_t offset);
    void skip_space();
    std::string_view read_string();

    std::string_view text_;
    std::size_t offset_ = 0;
    std::size_t counted_ = 0; ///< up to where `position_` is
    Position position_{1, 1};
    bool sound_ = true;
    std::unordered_map<std::string, Position> places_;
};

} // namespace aumbry
