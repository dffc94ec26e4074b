// The vehicle: what lies in it. Lengths in mm, masses in kg.
#pragma once

#include "aumbry/json.hpp"

#include <optional>
#include <string>

namespace aumbry {

/// The room for goods. A vehicle without a height takes what lies flat on its floor.
struct Vehicle {
    double length = 0;
    double width = 0;
    std::optional<double> height = {};
    std::optional<double> load = {};
};

/// The vehicle of `Settings::vehicle`; empty when the project has none.
[[nodiscard]] std::optional<Vehicle> vehicle_of(const Json& settings);

/// Whether a thing lies in the vehicle.
enum class Carried {
    no,
    standing, ///< only upright, if the vehicle is high enough; it states no height
    yes
};

/// Whether a box of these sides lies in the vehicle, whichever way it is turned, its edges along
/// those of the vehicle.
[[nodiscard]] Carried carried_in(const Vehicle& vehicle, double length, double width,
                                 double thickness);

/// "2100 x 1100 mm", with the height where there is one.
[[nodiscard]] std::string vehicle_text(const Vehicle& vehicle, const std::string& length_unit);

} // namespace aumbry
