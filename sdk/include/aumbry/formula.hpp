// Formulas: ordinary infix arithmetic over quantities and names, with dimensions checked.
//
//   bed_inner + 2 * ease        1 ft 2 3/8 in + 12 mm        if(thickness > 20 mm, 4, 3)
//
// Operators, weakest first: comparisons < <= > >= == != (giving 1 or 0, not chained), + and -,
// * and /, unary -, ^ with a whole exponent. Functions: min(a, ...), max(a, ...), abs(x), sqrt(x),
// round(x), floor(x), ceil(x) of a number, the same three with a step (round(x, 5 mm)),
// round_up(x, step), round_down(x, step), if(condition, a, b).
//
// How numbers, units and names are told apart:
// - A word straight after a number is always a unit, anywhere else it is a name. "2 m" is two
//   metres even when something is called m; multiplying by a name needs the sign: "2 * m".
// - "3/4 in" (digits, slash, digits, no spaces, then a unit) is a fraction of the unit; "2 1/4" and
//   "2 3/8 in" are mixed numbers. "3/4" without unit has one value either way.
// - Amounts side by side are one quantity whose units get smaller: "1 ft 2 3/8 in", "5' 3\"".
// - A slash without spaces between two units belongs to the unit: "12 kg/m3". A divisor that is a
//   name and spelt like a unit needs spaces: "12 kg / m".
// - What could be read in two ways is refused with a sentence that says how to write it:
//   "3 / 4 in", "a / 3/4 in", "2 mm^2", "5'-3\"".
//
// A bare 0 goes with any dimension: max(0, a - b). Comparisons and rounding look at values rounded
// to 9 decimals of the contract's unit and 12 significant digits, so that no binary rounding error
// decides.
#pragma once

#include "aumbry/quantity.hpp"

#include <functional>
#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace aumbry {

struct FormulaTree;

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

    /// The text with every name replaced by its value, for workings: "2000 mm + 2 * 8 mm". In
    /// parentheses where the value would otherwise be read differently.
    [[nodiscard]] std::string substituted(const Lookup& lookup,
                                          LengthUnit unit = LengthUnit::mm) const;

    /// True when the text is a quantity and nothing else, with or without a minus sign.
    [[nodiscard]] bool is_plain_quantity() const;

    /// The text as it was given.
    [[nodiscard]] const std::string& text() const;

  private:
    explicit Formula(std::shared_ptr<const FormulaTree> tree) : tree_(std::move(tree)) {}

    std::shared_ptr<const FormulaTree> tree_; ///< never changes, so that copies share it
};

} // namespace aumbry
