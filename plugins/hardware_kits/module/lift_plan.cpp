#include "hardware_kits/module/lift_plan.hpp"

#include "hardware_kits/engine/decimals.hpp"

#include <algorithm>

namespace aumbry::hardware_kits {
namespace {

constexpr std::size_t every = 3; // samples: 61 of 181 are enough to draw
constexpr int place_decimals = 1;

const char* load_name(Load load) {
    return load == Load::mattress ? "mattress" : load == Load::bedding ? "bedding" : "panel";
}

contract::LiftPoint place(Point point) {
    return {round_to(point.x, place_decimals), round_to(point.y, place_decimals)};
}

std::vector<contract::LiftPoint> places(const std::vector<Point>& points) {
    std::vector<contract::LiftPoint> list;
    for (const Point& point : points) list.push_back(place(point));
    return list;
}

contract::LiftForces curve_point(const SwingSet& set, std::size_t sample) {
    const SwingSample& loaded = set.swings[set.loaded].samples[sample];
    const SwingSample& bare = set.swings[set.bare].samples[sample];
    double most_open = loaded.hand_to_open;
    double least_open = loaded.hand_to_open;
    double most_close = loaded.hand_to_close;
    double least_close = loaded.hand_to_close;
    for (const Swing& swing : set.swings) {
        if (!swing.scenario.judged) continue;
        const SwingSample& here = swing.samples[sample];
        most_open = std::max(most_open, here.hand_to_open);
        least_open = std::min(least_open, here.hand_to_open);
        most_close = std::max(most_close, here.hand_to_close);
        least_close = std::min(least_close, here.hand_to_close);
    }
    const auto force = [](double n) { return round_to(n, force_decimals); };
    const auto torque = [](double nm) { return round_to(nm, torque_decimals); };
    return {.angle = round_to(loaded.angle, angle_decimals),
            .gravity = torque(loaded.gravity),
            .springs = torque(loaded.springs + loaded.given),
            .net = torque(loaded.net),
            .open = force(loaded.hand_to_open),
            .close = force(loaded.hand_to_close),
            .bare_open = force(bare.hand_to_open),
            .bare_close = force(bare.hand_to_close),
            .most_open = force(most_open),
            .least_open = force(least_open),
            .most_close = force(most_close),
            .least_close = force(least_close)};
}

} // namespace

SwingSet swing_set(const Lift& lift, const std::vector<Scenario>& scenarios,
                   const HandLimits& limits) {
    SwingSet set;
    bool bare_found = false;
    for (const Scenario& scenario : scenarios) {
        // The first scenario without mattress and bedding is the lid alone as stated.
        if (!scenario.mattress && !scenario.bedding && !bare_found) {
            set.bare = set.swings.size();
            bare_found = true;
        }
        set.swings.push_back(sweep(lift, scenario));
        set.verdicts.push_back(judge(lift, set.swings.back(), limits));
    }
    return set;
}

contract::LiftPlan lift_plan(const Lift& lift, const SwingSet& set, const HandLimits& limits) {
    contract::LiftPlan plan;
    plan.start = round_to(lift.start, angle_decimals);
    plan.end = round_to(lift.end, angle_decimals);
    plan.handle = {round_to(lift.handle_along, place_decimals),
                   round_to(lift.handle_across, place_decimals)};
    for (const Mass& mass : lift.masses)
        plan.masses.push_back({.name = mass.name,
                               .load = load_name(mass.load),
                               .mass = round_to(mass.mass, mass_decimals),
                               .along = round_to(mass.along, place_decimals),
                               .across = round_to(mass.across, place_decimals)});
    for (const MountedSpring& mounted : lift.springs)
        plan.springs.push_back(
            {.model = mounted.spring.name,
             .count = mounted.count,
             .force = round_to(mounted.spring.force, force_decimals),
             .mounting = mounted.mounting.name,
             .fixed = place(mounted.mounting.fixed),
             .moving_along = round_to(mounted.mounting.moving_along, place_decimals),
             .moving_across = round_to(mounted.mounting.moving_across, place_decimals)});
    plan.limits = {limits.open, limits.close, limits.hold_back, limits.end_hold};
    const std::vector<SwingSample>& samples = set.swings[set.loaded].samples;
    for (std::size_t i = 0; i < samples.size(); i += every) {
        plan.curve.push_back(curve_point(set, i));
        const SideView view = side_view(lift, samples[i].angle);
        plan.side_view.push_back({.angle = round_to(samples[i].angle, angle_decimals),
                                  .handle = place(view.handle),
                                  .masses = places(view.masses),
                                  .fixed = places(view.fixed),
                                  .moving = places(view.moving)});
    }
    return plan;
}

} // namespace aumbry::hardware_kits
