// The grammar's words of a formula, shared by its parser and its evaluation.
#pragma once

#include <cstddef>
#include <string_view>

namespace aumbry {

enum class Comparison { less, less_equal, greater, greater_equal, equal, not_equal };

enum class Function { min, max, abs, sqrt, round, floor, ceil, round_up, round_down, choose };

struct FunctionSpec {
    std::string_view name;
    Function function;
    std::size_t fewest;
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

} // namespace aumbry
