// How an order's stock and parts are called in a fault.
#pragma once

#include <string>
#include <string_view>

namespace aumbry::solid_stock {

/// "part 'shelf'", or "part 3" where it has no name: the index counts from zero.
inline std::string named(std::string_view what, const std::string& name, std::size_t index) {
    return std::string(what) + " " + (name.empty() ? std::to_string(index + 1) : "'" + name + "'");
}

} // namespace aumbry::solid_stock
