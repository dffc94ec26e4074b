// Patterns that take a description apart: "{thickness} {grade} {length}x{width}" finds four values
// in "18 mm BB/BB 2440 x 1220".
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace aumbry {

/// A pattern for a whole text.
///
///   {name}   a value, at least one character; blanks around it are no part of it
///   {}       anything or nothing, which is not kept
///   [ ... ]  may be absent
///   blank    one or more blanks
///   other    itself, capital or small; x stands for the multiplication sign too
///   {{ }} [[ ]]  a brace or bracket itself
///
/// Where several readings fit, the first value is as short as possible, or as long as possible when
/// its reading is greedy (numbers with their units are), then the second, and so on.
class TextPattern {
  public:
    /// What may stand for a name.
    struct Reading {
        std::function<bool(std::string_view)> accepts; ///< empty: anything
        bool greedy = false;
    };
    using Readings = std::function<Reading(std::string_view name)>;
    using Values = std::vector<std::pair<std::string, std::string>>; ///< name and text, in order

    /// @throws FaultError "bad-pattern": a brace or bracket without its partner, a name used twice,
    /// two values with nothing between.
    static TextPattern parse(std::string_view pattern);

    [[nodiscard]] const std::vector<std::string>& names() const { return names_; }
    /// The values, or nothing when the text does not fit. Texts of more than 500 bytes fit no
    /// pattern.
    [[nodiscard]] std::optional<Values> match(std::string_view text,
                                              const Readings& readings) const;

  private:
    struct Node {
        enum class Kind { literal, blanks, value, anything, optional } kind = Kind::literal;
        char letter = 0;        ///< literal, small
        std::size_t name = 0;   ///< value
        std::size_t behind = 0; ///< optional: node behind the part that may be absent
    };
    class Matcher;

    std::vector<Node> nodes_;
    std::vector<std::string> names_;
};

} // namespace aumbry
