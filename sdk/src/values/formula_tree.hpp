// A formula as its parser leaves it for evaluation.
#pragma once

#include "aumbry/quantity.hpp"

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace aumbry {

enum class Comparison { less, less_equal, greater, greater_equal, equal, not_equal };

enum class Function { min, max, abs, sqrt, round, floor, ceil, round_up, round_down, choose };

struct FunctionSpec {
    std::string_view name;
    Function function;
    std::size_t fewest; ///< arguments
    std::size_t most;
};

inline constexpr FunctionSpec functions[] = {
    {"min", Function::min, 1, 64},
    {"max", Function::max, 1, 64},
    {"abs", Function::abs, 1, 1},
    {"sqrt", Function::sqrt, 1, 1},
    {"round", Function::round, 1, 2},
    {"floor", Function::floor, 1, 2},
    {"ceil", Function::ceil, 1, 2},
    {"round_up", Function::round_up, 2, 2},
    {"round_down", Function::round_down, 2, 2},
    {"if", Function::choose, 3, 3},
};

/// A part of a formula; parts refer to each other by index.
struct FormulaNode {
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
    std::vector<std::size_t> parts;
    Quantity quantity;      ///< of a literal
    bool bare_zero = false; ///< a literal 0 without unit
    bool has_unit = false;  ///< a literal with a unit
    bool enclosed = false;  ///< stands in parentheses of its own
    std::size_t name = 0;   ///< index into FormulaTree::names
    std::size_t token = 0;  ///< where a name itself stands in the text
    Comparison comparison = Comparison::less;
    Function function = Function::min;
    int exponent = 0;      ///< of a power
    std::size_t begin = 0; ///< what it covers of the text, parentheses included
    std::size_t end = 0;
};

struct FormulaTree {
    std::string text;
    std::vector<FormulaNode> nodes; ///< parts before the whole; the last is the formula
    std::vector<std::string> names; ///< in order of first appearance, each once
};

/// Throws as Formula::parse().
FormulaTree parse_formula(std::string_view text);

} // namespace aumbry
