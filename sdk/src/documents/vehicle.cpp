#include "aumbry/vehicle.hpp"

#include "aumbry/line_access.hpp"
#include "aumbry/quantity.hpp"
#include "aumbry/reader_measures.hpp"

#include <algorithm>
#include <array>
#include <functional>

namespace aumbry {

namespace {

/// Steps of the cutting grid are finer; a size read from inches may be off by as much.
constexpr double fits_by = 1e-6;

} // namespace

std::optional<Vehicle> vehicle_of(const Json& settings) {
    Vehicle vehicle;
    vehicle.length = number(settings, "length", 0);
    vehicle.width = number(settings, "width", 0);
    if (!(vehicle.length > 0 && vehicle.width > 0)) return std::nullopt;
    if (const double height = number(settings, "height", 0); height > 0) vehicle.height = height;
    if (const double load = number(settings, "load", 0); load > 0) vehicle.load = load;
    return vehicle;
}

Carried carried_in(const Vehicle& vehicle, double length, double width, double thickness) {
    // A box lies in another along its edges if, both sorted, none of its sides is longer.
    std::array<double, 3> sides{length, width, thickness};
    std::sort(sides.begin(), sides.end(), std::greater<>());
    const double longer = std::max(vehicle.length, vehicle.width);
    const double shorter = std::min(vehicle.length, vehicle.width);
    if (vehicle.height) {
        std::array<double, 3> room{longer, shorter, *vehicle.height};
        std::sort(room.begin(), room.end(), std::greater<>());
        for (std::size_t i = 0; i < sides.size(); ++i)
            if (sides[i] > room[i] + fits_by) return Carried::no;
        return Carried::yes;
    }
    if (sides[0] <= longer + fits_by && sides[1] <= shorter + fits_by) return Carried::yes;
    // No vehicle is higher than it is long, so what is longer does not stand in it.
    return sides[0] <= longer + fits_by && sides[2] <= shorter + fits_by ? Carried::standing
                                                                         : Carried::no;
}

std::string vehicle_text(const Vehicle& vehicle, const std::string& length_unit) {
    std::string text = length_text(vehicle.length, length_unit);
    const std::string unit = ' ' + length_unit;
    const auto bare = [&](std::string of) {
        if (of.ends_with(unit)) of.resize(of.size() - unit.size());
        return of;
    };
    text = bare(text) + " x ";
    if (vehicle.height)
        return text + bare(length_text(vehicle.width, length_unit)) + " x " +
               length_text(*vehicle.height, length_unit);
    return text + length_text(vehicle.width, length_unit);
}

} // namespace aumbry
