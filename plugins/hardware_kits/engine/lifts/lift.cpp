#include "hardware_kits/engine/lifts/lift.hpp"

#include "hardware_kits/engine/decimals.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <utility>

namespace aumbry::hardware_kits {
namespace {

constexpr double metres = 1e-3; // per mm
constexpr double radians = std::numbers::pi / 180.0;
constexpr double same_place = 1e-3; // mm: closer points are one point

double opening_sign(const Lift& lift) {
    return lift.end > lift.start ? 1.0 : -1.0;
}

double angle_at(const Lift& lift, int step) {
    return lift.start + (lift.end - lift.start) * step / swing_steps;
}

double closed_length(const GasSpring& spring) {
    return spring.extended_length - spring.stroke;
}

Point moving_point(const Mounting& mounting, double angle) {
    return place_on_panel(mounting.moving_along, mounting.moving_across, angle);
}

double length_at(const Mounting& mounting, double angle) {
    const Point moving = moving_point(mounting, angle);
    return std::hypot(moving.x - mounting.fixed.x, moving.y - mounting.fixed.y);
}

/// Lever arm with sign: positive where a pushing spring turns the panel upwards. Equals
/// d(length)/d(angle).
double signed_arm(const Mounting& mounting, double angle) {
    const Point moving = moving_point(mounting, angle);
    const double length = length_at(mounting, angle);
    return length < same_place
               ? 0.0
               : (moving.y * mounting.fixed.x - moving.x * mounting.fixed.y) / length;
}

double force_at(const GasSpring& spring, double length) {
    const double compression = spring.extended_length - length;
    return spring.force * (1.0 + (spring.progression - 1.0) * compression / spring.stroke);
}

/// Energy stored in a gas spring at a length, J, above its extended state: the integral of
/// force_at.
double stored_energy(const GasSpring& spring, double length) {
    const double s = spring.extended_length - length;
    return spring.force * (s + (spring.progression - 1.0) * s * s / (2.0 * spring.stroke)) * metres;
}

bool is_carried(const Mass& mass, const Scenario& scenario) {
    return mass.load == Load::panel || (mass.load == Load::mattress && scenario.mattress) ||
           (mass.load == Load::bedding && scenario.bedding);
}

bool finite(std::initializer_list<double> values) {
    return std::all_of(values.begin(), values.end(), [](double v) { return std::isfinite(v); });
}

void check_spring(const GasSpring& spring, std::vector<Fault>& faults) {
    const auto bad = [&](const char* code, std::string wrong, std::string right) {
        faults.push_back({code, {}, std::move(wrong), std::move(right)});
    };
    if (!finite({spring.force, spring.progression, spring.stroke, spring.extended_length,
                 spring.closed_length, spring.friction})) {
        bad("spring-not-a-number",
            fmt::format("a figure of spring '{}' is not a number", spring.name),
            "give finite figures");
        return;
    }
    if (spring.force <= 0)
        bad("spring-without-force",
            fmt::format("spring '{}' has a force of {:g} N", spring.name, spring.force),
            "give its extension force F1, above 0 N");
    if (spring.progression < 1)
        bad("spring-progression",
            fmt::format("spring '{}' has a progression of {:g}", spring.name, spring.progression),
            "give F2 / F1, at least 1, usually 1.2 to 1.4");
    if (spring.stroke <= 0 || spring.stroke >= spring.extended_length)
        bad("spring-stroke",
            fmt::format("spring '{}' has a stroke of {:g} mm at an extended length of {:g} mm",
                        spring.name, spring.stroke, spring.extended_length),
            "give a stroke above 0 mm and below the extended length");
    else if (spring.closed_length != 0 &&
             std::abs(spring.closed_length - closed_length(spring)) > 1.0)
        bad("spring-lengths",
            fmt::format(
                "spring '{}' is {:g} mm long closed, but extended length less stroke is {:g} mm",
                spring.name, spring.closed_length, closed_length(spring)),
            "check the three against the maker's sheet");
    if (spring.friction < 0)
        bad("spring-friction",
            fmt::format("spring '{}' has a friction of {:g} N", spring.name, spring.friction),
            "give 0 N or more");
}

struct Extreme {
    double value = 0;
    double angle = 0;
};

void check_stroke(const Lift& lift, const MountedSpring& mounted, std::vector<Fault>& faults) {
    Extreme longest{0, lift.start};
    Extreme shortest{1e300, lift.start};
    for (int step = 0; step <= swing_steps; ++step) {
        const double angle = angle_at(lift, step);
        const double length = round_to(length_at(mounted.mounting, angle), length_decimals);
        if (length > longest.value) longest = {length, angle};
        if (length < shortest.value) shortest = {length, angle};
    }
    const GasSpring& spring = mounted.spring;
    const double longest_used = spring.extended_length - lift.stroke_reserve;
    const double shortest_used = closed_length(spring) + lift.stroke_reserve;
    const std::string kept =
        lift.stroke_reserve > 0
            ? fmt::format(" with {:g} mm of its stroke kept at that end", lift.stroke_reserve)
            : "";
    if (longest.value > longest_used)
        faults.push_back(
            {"spring-too-short",
             {},
             fmt::format("spring '{}' at '{}' is too short: at {:.1f} deg its ends are {:.1f} mm "
                         "apart, and it reaches {:.1f} mm{}",
                         spring.name, mounted.mounting.name, longest.angle, longest.value,
                         longest_used, kept),
             fmt::format("choose one at least {:.1f} mm long extended, or move its ends together",
                         std::ceil(longest.value + lift.stroke_reserve))});
    if (shortest.value < shortest_used)
        faults.push_back(
            {"spring-too-long",
             {},
             fmt::format("spring '{}' at '{}' is too long: at {:.1f} deg its ends are {:.1f} mm "
                         "apart, and it closes to {:.1f} mm{}",
                         spring.name, mounted.mounting.name, shortest.angle, shortest.value,
                         shortest_used, kept),
             fmt::format("choose one that closes to {:.1f} mm or less, or move its ends apart",
                         std::floor(shortest.value - lift.stroke_reserve))});
}

void check_mounting(const Lift& lift, const MountedSpring& mounted, std::vector<Fault>& faults) {
    const Mounting& mounting = mounted.mounting;
    if (!finite(
            {mounting.fixed.x, mounting.fixed.y, mounting.moving_along, mounting.moving_across})) {
        faults.push_back({"mounting-not-a-number",
                          {},
                          fmt::format("a figure of mounting '{}' is not a number", mounting.name),
                          "give finite figures"});
        return;
    }
    if (std::hypot(mounting.fixed.x, mounting.fixed.y) < same_place ||
        std::hypot(mounting.moving_along, mounting.moving_across) < same_place) {
        faults.push_back(
            {"mounting-at-hinge",
             {},
             fmt::format("mounting '{}' has an end at the hinge, where a spring turns nothing",
                         mounting.name),
             "move that end away from the hinge"});
        return;
    }
    if (mounted.over_centre) return;
    double before = 0;
    for (int step = 0; step <= swing_steps; ++step) {
        const double angle = angle_at(lift, step);
        const double arm = round_to(signed_arm(mounting, angle), length_decimals);
        if (arm == 0) continue; // on the line itself; the side is told by its neighbours
        if (before != 0 && (arm > 0) != (before > 0)) {
            faults.push_back(
                {"mounting-crosses-hinge",
                 {},
                 fmt::format(
                     "the line of mounting '{}' crosses the hinge near {:.1f} deg, where its "
                     "spring turns from helping to hindering",
                     mounting.name, angle),
                 "move its ends to one side of the hinge, or say that it is meant over centre"});
            return;
        }
        before = arm;
    }
}

/// Sums of torque at one angle, positive upwards, N·m.
struct Torques {
    double gravity = 0;
    double springs = 0;
    double given = 0; // positive in opening
    double friction = 0;
};

Torques torques_at(const Lift& lift, const Scenario& scenario, double angle) {
    Torques sum;
    for (const Mass& mass : lift.masses)
        if (is_carried(mass, scenario))
            sum.gravity -= mass.mass * scenario.mass_factor * standard_gravity *
                           place_on_panel(mass.along, mass.across, angle).x * metres;
    const double spring_factor = scenario.temperature_factor * scenario.age_factor;
    for (const MountedSpring& mounted : lift.springs) {
        const double arm = signed_arm(mounted.mounting, angle) * metres;
        const double force =
            force_at(mounted.spring, length_at(mounted.mounting, angle)) * spring_factor;
        sum.springs += mounted.count * force * arm;
        sum.friction += mounted.count * mounted.spring.friction * std::abs(arm);
    }
    const double share = (angle - lift.start) / (lift.end - lift.start);
    for (const GivenTorque& torque : lift.torques)
        sum.given += torque.at_start + (torque.at_end - torque.at_start) * share;
    sum.friction += lift.hinge_friction;
    return sum;
}

/// Integral over the swing by Simpson's rule; values in N·m, result in J.
double integral(const Lift& lift, const std::vector<double>& values) {
    double sum = values.front() + values.back();
    for (std::size_t i = 1; i + 1 < values.size(); ++i) sum += values[i] * (i % 2 == 1 ? 4.0 : 2.0);
    const double step = std::abs(lift.end - lift.start) * radians / swing_steps;
    return sum * step / 3.0;
}

/// Energy on arrival at the last value when let go at the worst place on the way; `drive` is the
/// torque towards it.
double arrival_energy(const Lift& lift, const std::vector<double>& drive,
                      const std::vector<double>& friction) {
    const double step = std::abs(lift.end - lift.start) * radians / swing_steps;
    double energy = 0;
    for (std::size_t i = 1; i < drive.size(); ++i) {
        const double gain = (drive[i - 1] + drive[i] - friction[i - 1] - friction[i]) / 2.0 * step;
        energy = std::max(0.0, energy + gain);
    }
    return energy;
}

std::vector<Rest> rests_of(const std::vector<SwingSample>& samples) {
    std::vector<Rest> rests;
    for (std::size_t i = 0; i < samples.size(); ++i) {
        const SwingSample& here = samples[i];
        if (here.tendency == Tendency::stays) {
            const bool goes_on = i > 0 && samples[i - 1].tendency == Tendency::stays;
            if (goes_on)
                rests.back().to = here.angle;
            else
                rests.push_back({here.angle, here.angle, true});
            // A lone point of balance is steady when both sides tend back to it; a stop counts as a
            // side.
            const bool last = i + 1 == samples.size();
            const bool lone = !goes_on && (last || samples[i + 1].tendency != Tendency::stays);
            if (here.friction == 0 && lone)
                rests.back().steady = (i == 0 || samples[i - 1].tendency == Tendency::opens) &&
                                      (last || samples[i + 1].tendency == Tendency::closes);
            continue;
        }
        if (i == 0 || samples[i - 1].tendency == Tendency::stays ||
            samples[i - 1].tendency == here.tendency)
            continue;
        const SwingSample& last = samples[i - 1];
        const double share = last.net / (last.net - here.net);
        const double angle =
            round_to(last.angle + (here.angle - last.angle) * share, angle_decimals);
        rests.push_back({angle, angle, last.tendency == Tendency::opens});
    }
    return rests;
}

} // namespace

Point place_on_panel(double along, double across, double angle) {
    const double c = std::cos(angle * radians);
    const double s = std::sin(angle * radians);
    return {along * c - across * s, along * s + across * c};
}

double lever_arm(Point fixed, Point moving) {
    const double length = std::hypot(moving.x - fixed.x, moving.y - fixed.y);
    return length < same_place ? 0.0 : std::abs(moving.x * fixed.y - moving.y * fixed.x) / length;
}

double balancing_force(double torque, double arm, int count) {
    if (count < 1)
        fail("spring-count", {}, fmt::format("{} springs cannot hold anything", count),
             "use at least one");
    if (!(arm > 0))
        fail("mounting-at-hinge", {}, fmt::format("a lever arm of {:g} mm holds nothing", arm),
             "move the spring's line away from the hinge");
    return round_to(torque / (count * arm * metres), force_decimals);
}

std::vector<Fault> faults_of(const Lift& lift) {
    std::vector<Fault> faults;
    const auto bad = [&](const char* code, std::string wrong, std::string right) {
        faults.push_back({code, {}, std::move(wrong), std::move(right)});
    };
    if (!finite(
            {lift.start, lift.end, lift.handle_along, lift.handle_across, lift.hinge_friction})) {
        bad("lift-not-a-number", "a figure of the lift is not a number", "give finite figures");
        return faults;
    }
    const double swing = std::abs(lift.end - lift.start);
    if (swing == 0 || swing > 180) {
        bad("lift-swing",
            fmt::format("the panel swings from {:g} to {:g} deg", lift.start, lift.end),
            "give two angles that differ, by no more than 180 deg");
        return faults;
    }
    double panel_mass = 0;
    for (const Mass& mass : lift.masses) {
        if (!finite({mass.mass, mass.along, mass.across}) || mass.mass < 0)
            bad("mass-not-positive",
                fmt::format("'{}' has a mass of {:g} kg", mass.name, mass.mass),
                "give a mass of 0 kg or more, and where its centre is");
        else if (mass.load == Load::panel)
            panel_mass += mass.mass;
    }
    if (!(panel_mass > 0))
        bad("panel-without-mass", "the moving panel has no mass",
            "name the lines that move with it, or give its weighed mass");
    if (std::hypot(lift.handle_along, lift.handle_across) < 1.0)
        bad("handle-at-hinge", "the handle sits at the hinge, where no hand can move the panel",
            "give its distance from the hinge");
    if (lift.hinge_friction < 0)
        bad("hinge-friction",
            fmt::format("the hinge has a friction of {:g} N·m", lift.hinge_friction),
            "give 0 N·m or more");
    for (const GivenTorque& torque : lift.torques)
        if (!finite({torque.at_start, torque.at_end}))
            bad("torque-not-a-number", fmt::format("a torque of '{}' is not a number", torque.name),
                "give finite torques at both ends");
    for (const MountedSpring& mounted : lift.springs) {
        if (mounted.count < 1)
            bad("spring-count",
                fmt::format("spring '{}' is mounted {} times", mounted.spring.name, mounted.count),
                "mount at least one, or leave it out");
        const std::size_t before = faults.size();
        check_spring(mounted.spring, faults);
        check_mounting(lift, mounted, faults);
        if (faults.size() == before) check_stroke(lift, mounted, faults);
    }
    return faults;
}

Swing sweep(const Lift& lift, const Scenario& scenario) {
    if (std::vector<Fault> faults = faults_of(lift); !faults.empty())
        throw FaultError(std::move(faults));
    const std::array factors{std::pair{"mass", scenario.mass_factor},
                             std::pair{"temperature", scenario.temperature_factor},
                             std::pair{"age", scenario.age_factor}};
    for (const auto& [what, factor] : factors)
        if (!(factor > 0) || !std::isfinite(factor))
            fail("scenario-factor", {},
                 fmt::format("scenario '{}' has a {} factor of {:g}", scenario.name, what, factor),
                 "give a factor above 0");

    Swing swing;
    swing.scenario = scenario;
    const double sign = opening_sign(lift);
    const double reach = std::hypot(lift.handle_along, lift.handle_across) * metres;
    std::vector<double> net;
    std::vector<double> friction;
    for (int step = 0; step <= swing_steps; ++step) {
        const double angle = angle_at(lift, step);
        const Torques torques = torques_at(lift, scenario, angle);
        net.push_back(sign * (torques.gravity + torques.springs) + torques.given);
        friction.push_back(torques.friction);
        SwingSample sample;
        sample.angle = round_to(angle, angle_decimals);
        sample.gravity = round_to(sign * torques.gravity, torque_decimals);
        sample.springs = round_to(sign * torques.springs, torque_decimals);
        sample.given = round_to(torques.given, torque_decimals);
        sample.net = round_to(net.back(), torque_decimals);
        sample.friction = round_to(torques.friction, torque_decimals);
        sample.hand_to_open = round_to((torques.friction - net.back()) / reach, force_decimals);
        sample.hand_to_close = round_to((torques.friction + net.back()) / reach, force_decimals);
        sample.tendency = std::abs(sample.net) <= sample.friction ? Tendency::stays
                          : sample.net > 0                        ? Tendency::opens
                                                                  : Tendency::closes;
        for (const MountedSpring& mounted : lift.springs)
            sample.spring_lengths.push_back(
                round_to(length_at(mounted.mounting, angle), length_decimals));
        swing.samples.push_back(std::move(sample));
    }
    swing.rests = rests_of(swing.samples);

    double potential = 0;
    for (const Mass& mass : lift.masses)
        if (is_carried(mass, scenario))
            potential += mass.mass * scenario.mass_factor * standard_gravity * metres *
                         (place_on_panel(mass.along, mass.across, lift.end).y -
                          place_on_panel(mass.along, mass.across, lift.start).y);
    double spring_work = 0;
    for (const MountedSpring& mounted : lift.springs)
        spring_work += mounted.count * scenario.temperature_factor * scenario.age_factor *
                       (stored_energy(mounted.spring, length_at(mounted.mounting, lift.start)) -
                        stored_energy(mounted.spring, length_at(mounted.mounting, lift.end)));
    double given_work = 0;
    for (const GivenTorque& torque : lift.torques)
        given_work +=
            (torque.at_start + torque.at_end) / 2.0 * std::abs(lift.end - lift.start) * radians;
    const double net_work = integral(lift, net);
    const double friction_loss = integral(lift, friction);
    swing.potential_change = round_to(potential, energy_decimals);
    swing.spring_work = round_to(spring_work, energy_decimals);
    swing.given_work = round_to(given_work, energy_decimals);
    swing.friction_loss = round_to(friction_loss, energy_decimals);
    swing.hand_work_open = round_to(friction_loss - net_work, energy_decimals);
    swing.hand_work_close = round_to(friction_loss + net_work, energy_decimals);
    swing.let_go_open = round_to(arrival_energy(lift, net, friction), energy_decimals);
    std::vector<double> shutting(net.rbegin(), net.rend());
    for (double& torque : shutting) torque = -torque;
    swing.let_go_shut = round_to(
        arrival_energy(lift, shutting, {friction.rbegin(), friction.rend()}), energy_decimals);
    return swing;
}

SideView side_view(const Lift& lift, double angle) {
    const auto rounded = [](Point point) {
        return Point{round_to(point.x, length_decimals), round_to(point.y, length_decimals)};
    };
    SideView view;
    view.handle = rounded(place_on_panel(lift.handle_along, lift.handle_across, angle));
    for (const Mass& mass : lift.masses)
        view.masses.push_back(rounded(place_on_panel(mass.along, mass.across, angle)));
    for (const MountedSpring& mounted : lift.springs) {
        view.fixed.push_back(rounded(mounted.mounting.fixed));
        view.moving.push_back(rounded(moving_point(mounted.mounting, angle)));
    }
    return view;
}

} // namespace aumbry::hardware_kits
