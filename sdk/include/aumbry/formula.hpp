// Formulas: ordinary infix arithmetic over quantities and names, with dimensions checked.
//
//   bed_inner + 2 * ease        1 ft 2 3/8 in + 12 mm        if(thickness > 20 mm, 4, 3)
//
// Operators, weakest first: comparisons < <= > >= == != (giving 1 or 0, not chained), + -, * /,
// unary -, ^ with a whole exponent. Functions: min(a, ...), max(a, ...), abs(x), sqrt(x), round(x),
// floor(x), ceil(x) of a number, the same three with a step (round(x, 5 mm)), round_up(x, step),
// round_down(x, step), if(condition, a, b).
//
// How numbers, units and names are told apart:
//   * a word straight after a number is always a unit; anywhere else it is a name. "2 m" is two
//   metres even when
//     something is called m; multiplying by a name needs the sign: "2 * m";
//   * "3/4 in" (digits, slash, digits, no spaces, a unit) is a fraction of the unit; "2 1/4" and "2
//   3/8 in" are mixed numbers;
//     "3/4" without unit is the same either way;
//   * amounts side by side are one quantity when each unit is smaller than the one before: "1 ft 2
//   3/8 in", "5' 3\"";
//   * a slash without spaces and a unit after a unit belongs to the unit: "12 kg/m3"; a divisor
//   that is a name and spelt like a
//     unit needs spaces: "12 kg / m";
//   * what could be read in two ways is refused with a sentence that says how to write it: "3 / 4
//   in", "a / 3/4 in",
//     "2 mm^2".
// A bare 0 goes with any dimension: max(0, a - b). Comparisons and rounding look at values rounded
// to 9 decimals of the contract's unit and 12 significant digits, so that no binary rounding error
// decides.
#pragma once

#include "aumbry/quantity.hpp"

#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace aumbry {

class Formula {
  public:
    using Lookup = std::function<Quantity(std::string_view name)>;

    /// Throws FaultError "bad-formula" with column and what was expected, or "bad-quantity",
    /// "unknown-unit". At most 2000 bytes and 64 levels of nesting.
    static Formula parse(std::string_view text);

    /// The names it reads, in order of first appearance, each once. A name is letters, digits and
    /// underscores, parts joined by points: "guest_mattress.length".
    [[nodiscard]] std::vector<std::string> names() const;

    /// The value. `lookup` is called once for each name, in the order of names(), and may throw for
    /// a name it does not know. Throws FaultError "dimension-clash", "division-by-zero",
    /// "bad-argument", "not-finite", each with the part of the text it is about. Both branches of
    /// if() are checked for their dimension, only the chosen one is computed.
    [[nodiscard]] Quantity evaluate(const Lookup& lookup) const;

    /// The text with every name replaced by its value, for workings: "2000 mm + 2 * 8 mm". parse()
    /// reads it again.
    [[nodiscard]] std::string substituted(const Lookup& lookup,
                                          LengthUnit unit = LengthUnit::mm) const;

    /// True when the text is a quantity and nothing else, with or without a minus sign.
    [[nodiscard]] bool is_plain_quantity() const;

    [[nodiscard]] const std::string& text() const { return text_; }

    /// A part of a formula; parts refer to each other by index.
    struct Node {
        enum class Kind {
            literal,
            name,
            negate,
            add,
            subtract,
            multiply,
            divide,
            power,
            compare,
            call
        };
        Kind kind = Kind::literal;
        Quantity quantity;      ///< of a literal
        bool bare_zero = false; ///< a literal 0 without unit
        bool has_unit = false;  ///< a literal with a unit
        bool enclosed = false;  ///< stands in parentheses of its own
        std::size_t which = 0;  ///< index of the name, comparison or function
        std::size_t token = 0;  ///< where the name itself stands in the text
        int exponent = 0;       ///< of a power
        std::vector<std::size_t> parts;
        std::size_t begin = 0; ///< where it stands in the text
        std::size_t end = 0;
    };

  private:
    std::string text_;
    std::vector<Node> nodes_; ///< parts before the whole; the last is the formula
    std::vector<std::string> names_;

    friend class FormulaParser;
};

} // namespace aumbry
