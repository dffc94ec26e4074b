// Headers that nearly every source reads, the contract among them, precompiled: AumbryBuild.cmake.
#pragma once

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <cstdint>
#include <functional>
#include <limits>
#include <map>
#include <memory>
#include <numeric>
#include <optional>
#include <set>
#include <span>
#include <string>
#include <string_view>
#include <tuple>
#include <utility>
#include <variant>
#include <vector>

// Instantiated once: src/documents/json_library.cpp.
extern template class nlohmann::basic_json<nlohmann::ordered_map>;

#include "aumbry/contract.hpp"
