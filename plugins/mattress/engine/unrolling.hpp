// Unrolling and airing: how long a mattress rests before it is used or weighed.
#pragma once

#include <optional>

namespace aumbry::mattress {

enum class Delivered { flat, rolled };

/// Days to rest when nothing is stated (from memory: foam that comes rolled needs one to three
/// days to regain its size and to air; its maker's leaflet comes first).
inline constexpr double rolled_days = 2;
inline constexpr double flat_days = 0;

/// Days before use: as `stated`, else by how it is delivered. Throws FaultError for less than none,
/// or more than 60.
[[nodiscard]] double days_to_rest(Delivered delivered, std::optional<double> stated = std::nullopt);

} // namespace aumbry::mattress
