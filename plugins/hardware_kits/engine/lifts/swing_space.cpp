#include "hardware_kits/engine/lifts/swing_space.hpp"

#include "hardware_kits/engine/decimals.hpp"
#include "hardware_kits/engine/lifts/lift.hpp"

#include <algorithm>
#include <cmath>

namespace aumbry::hardware_kits {
namespace {

constexpr double step = 0.5;    // deg
constexpr double touches = 0.1; // mm: less is no collision

/// Points of the end that comes to the hinge, near enough to each other to find a rail's corner.
std::vector<Point> end_by_the_hinge(const Body& body, double angle) {
    const int parts = std::max(1, static_cast<int>(std::ceil(body.high - body.low)));
    std::vector<Point> points;
    for (int i = 0; i <= parts; ++i)
        points.push_back(
            place_on_panel(body.from, body.low + (body.high - body.low) * i / parts, angle));
    return points;
}

double into_wall(const Body& body, double angle, double behind) {
    double deepest = 0;
    for (const double across : {body.low, body.high})
        for (const double along : {body.from, body.to})
            deepest = std::max(deepest, -behind - place_on_panel(along, across, angle).x);
    return deepest;
}

double into_ceiling(const Body& body, double angle, double above) {
    double deepest = 0;
    for (const double across : {body.low, body.high})
        for (const double along : {body.from, body.to})
            deepest = std::max(deepest, place_on_panel(along, across, angle).y - above);
    return deepest;
}

double into_rail(const Body& body, double angle, double behind, double above) {
    double deepest = 0;
    for (const Point& point : end_by_the_hinge(body, angle))
        deepest = std::max(deepest, std::min(-behind - point.x, above - point.y));
    return deepest;
}

} // namespace

std::vector<Collision> collisions(const std::vector<Body>& bodies, double start, double end,
                                  const Surroundings& round) {
    std::vector<Collision> found;
    const int steps = static_cast<int>(std::ceil(std::abs(end - start) / step));
    const auto look = [&](const Body& body, const char* with, const auto& depth_at) {
        std::optional<Collision> met;
        for (int i = 0; i <= steps; ++i) {
            const double angle = steps == 0 ? start : start + (end - start) * i / steps;
            const double by = depth_at(angle);
            if (by <= touches) continue;
            if (!met) met = Collision{body.name, with, angle, angle, 0};
            if (by > met->by) {
                met->by = by;
                met->worst = angle;
            }
        }
        if (!met) return;
        met->by = round_to(met->by, length_decimals);
        found.push_back(*met);
    };
    for (const Body& body : bodies) {
        if (round.wall_behind)
            look(body, "the wall behind the hinge",
                 [&](double angle) { return into_wall(body, angle, *round.wall_behind); });
        if (round.rail_behind)
            look(body, "the rail behind the hinge", [&](double angle) {
                return into_rail(body, angle, *round.rail_behind, round.rail_above);
            });
        if (round.ceiling_above)
            look(body, "the ceiling",
                 [&](double angle) { return into_ceiling(body, angle, *round.ceiling_above); });
    }
    return found;
}

} // namespace aumbry::hardware_kits
