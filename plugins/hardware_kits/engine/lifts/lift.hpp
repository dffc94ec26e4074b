// Lift: statics of a panel hinged at one edge, over its whole swing.
//
// The side view: hinge at the origin, x horizontal away from the hinge, y up. At angle 0 the panel
// lies along +x; angles grow upwards, in degrees. A point of the panel is given by `along` (from
// the hinge along the panel) and `across` (square to it, upwards at angle 0). The swing runs from
// `start` to `end`, either of which may be the greater: a lift-up base opens from 0 to 70, a
// fold-up panel opens from 90 down to 0. "Open" means towards `end`.
//
// Units: mm, kg, N, N·m, deg, J. Every torque is positive in the direction of opening.
#pragma once

#include "aumbry/fault.hpp"

#include <string>
#include <vector>

namespace aumbry::hardware_kits {

/// Standard acceleration of gravity, m/s2 (CGPM 1901).
inline constexpr double standard_gravity = 9.80665;

struct Point {
    double x = 0;
    double y = 0;

    bool operator==(const Point&) const = default;
};

/// What a mass belongs to, so that scenarios can leave it out.
enum class Load { panel, mattress, bedding };

/// A mass that moves with the panel. A counterweight beyond the hinge has a negative `along`.
struct Mass {
    std::string name;
    double mass = 0;   ///< kg
    double along = 0;  ///< centre of mass, mm from the hinge along the panel
    double across = 0; ///< centre of mass, mm square to the panel
    Load load = Load::panel;
};

/// A gas spring as its maker states it at 20 °C. Force at compression s: force (1 + (progression -
/// 1) s / stroke), with force the extension force F1 and progression K = F2 / F1 (usual
/// definitions, GB/T 25751, from memory).
struct GasSpring {
    std::string name;
    double force = 0;           ///< F1, N
    double progression = 1;     ///< K, at least 1
    double stroke = 0;          ///< mm
    double extended_length = 0; ///< between centres of the end fittings, mm
    double closed_length = 0;   ///< fully compressed, mm; 0: extended less stroke
    double friction = 0;        ///< N, against either direction of movement
};

/// Where a spring sits: one end on the frame, one on the panel.
struct Mounting {
    std::string name;
    Point fixed;             ///< on the frame, mm from the hinge
    double moving_along = 0; ///< on the panel
    double moving_across = 0;
};

struct MountedSpring {
    GasSpring spring;
    Mounting mounting;
    int count = 1;            ///< equal springs side by side
    bool over_centre = false; ///< the line of the spring is meant to pass the hinge
};

/// A coil spring or a hanging counterweight, given as torque: linear over the angle from start to
/// end.
struct GivenTorque {
    std::string name;
    double at_start = 0; ///< N·m, positive helps to open
    double at_end = 0;
};

struct Lift {
    double start = 0; ///< deg, where opening begins
    double end = 90;  ///< deg, where it ends; no more than 180 from start
    std::vector<Mass> masses;
    std::vector<MountedSpring> springs;
    std::vector<GivenTorque> torques;
    double handle_along =
        0; ///< where the hand takes hold; it pushes square to the line from the hinge
    double handle_across = 0;
    double hinge_friction = 0;  ///< N·m
    double stroke_reserve = 0;  ///< mm of a spring's stroke kept at both of its ends
    bool start_latched = false; ///< a catch holds the panel at the start
    bool end_latched = false;   ///< a catch, stay or leg holds it at the end
};

/// Under which circumstances a swing is looked at. Defaults: with mattress and bedding, as stated.
struct Scenario {
    std::string name = "as stated";
    bool mattress = true;
    bool bedding = true;
    double mass_factor = 1;        ///< on every mass
    double temperature_factor = 1; ///< on every gas spring's force
    double age_factor = 1;         ///< on every gas spring's force
    bool judged = true;            ///< must keep the limits; otherwise only told
};

enum class Tendency { opens, stays, closes };

struct SwingSample {
    double angle = 0;
    double gravity = 0;      ///< torque of all masses, N·m
    double springs = 0;      ///< torque of all gas springs
    double given = 0;        ///< torque of coils and counterweights given as torque
    double net = 0;          ///< their sum
    double friction = 0;     ///< torque of friction, against either movement, at least 0
    double hand_to_open = 0; ///< N at the handle to move slowly open; negative: the hand holds back
    double hand_to_close =
        0; ///< N at the handle to move slowly shut; negative: the hand holds back
    Tendency tendency = Tendency::stays; ///< when let go
    std::vector<double> spring_lengths;  ///< mm, in the order of Lift::springs
};

/// Where the panel stays by itself: a stretch held by friction, or a point of balance.
struct Rest {
    double from = 0;    ///< deg, in the order of opening
    double to = 0;      ///< equal to `from` at a point of balance
    bool steady = true; ///< false: balanced, but tips away either way at a touch
};

struct Swing {
    Scenario scenario;
    std::vector<SwingSample> samples; ///< from start to end, both included
    std::vector<Rest> rests;
    double potential_change = 0; ///< J, from start to end
    double spring_work = 0;      ///< J, done by gas springs on the way from start to end
    double given_work = 0;       ///< J, done by given torques likewise
    double friction_loss = 0;    ///< J, one way
    double hand_work_open =
        0; ///< J, integrated from the hand's force; potential - springs - given + friction
    double hand_work_close = 0; ///< J, likewise on the way back
    double let_go_shut =
        0; ///< J, greatest energy with which the panel, let go anywhere, arrives at start
    double let_go_open = 0; ///< J, likewise at end
};

/// Steps a swing is divided into; even, so that Simpson's rule applies.
inline constexpr int swing_steps = 180;

/// Everything wrong with the lift, as sentences; empty when it can be computed.
[[nodiscard]] std::vector<Fault> faults_of(const Lift& lift);

/// The whole swing. Throws FaultError with faults_of(lift), or for a factor of the scenario that is
/// not positive.
[[nodiscard]] Swing sweep(const Lift& lift, const Scenario& scenario = {});

/// Where a point of the panel is at an angle, mm.
[[nodiscard]] Point place_on_panel(double along, double across, double angle);

/// Distance of the line through both points from the hinge, mm; 0 for a line through the hinge.
[[nodiscard]] double lever_arm(Point fixed, Point moving);

/// The force each of `count` springs needs at lever arm `arm` (mm) to hold `torque` (N·m): torque /
/// (count arm).
[[nodiscard]] double balancing_force(double torque, double arm, int count);

/// What the side view draws at one angle, mm.
struct SideView {
    Point handle;
    std::vector<Point> masses;
    std::vector<Point> fixed;  ///< spring ends on the frame
    std::vector<Point> moving; ///< spring ends on the panel
};
[[nodiscard]] SideView side_view(const Lift& lift, double angle);

} // namespace aumbry::hardware_kits
