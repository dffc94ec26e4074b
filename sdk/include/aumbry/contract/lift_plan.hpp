// The swing of a lift: forces over the angle and a side view at each, for a window to draw. Lengths
// in mm.
#pragma once

#include "aumbry/json.hpp"

#include <cstdint>
#include <string>
#include <vector>

namespace aumbry::contract {

/// A place beside the hinge, seen from the side; up is positive.
struct LiftPoint {
    double x = 0;
    double y = 0;
};

/// A place on the panel: along it from the hinge, and square to it.
struct LiftPlace {
    double along = 0;
    double across = 0;
};

struct LiftMass {
    std::string name = {};
    std::string load = {}; ///< "panel", "mattress", "bedding"
    double mass = 0;       ///< kg
    double along = 0;
    double across = 0;
};

struct LiftSpring {
    std::string model = {};
    std::int64_t count = 0;
    double force = 0; ///< N
    std::string mounting = {};
    LiftPoint fixed = {};
    double moving_along = 0;
    double moving_across = 0;
};

/// What a hand may have to do, N.
struct LiftLimits {
    double open = 0;
    double close = 0;
    double hold_back = 0;
    double end_hold = 0;
};

/// Torque in N·m, positive towards opening, and the force of the hand in N, negative where it holds
/// back. `most_` and `least_` are over every case that is judged.
struct LiftForces {
    double angle = 0; ///< deg
    double gravity = 0, springs = 0, net = 0;
    double open = 0, close = 0;           ///< with everything aboard
    double bare_open = 0, bare_close = 0; ///< the panel alone
    double most_open = 0, least_open = 0;
    double most_close = 0, least_close = 0;
};

/// Where everything is at an angle.
struct LiftView {
    double angle = 0;
    LiftPoint handle = {};
    std::vector<LiftPoint> masses = {}; ///< in the order of the plan's masses
    std::vector<LiftPoint> fixed = {};  ///< mounts of the springs
    std::vector<LiftPoint> moving = {};
};

/// The swing of a lift.
struct LiftPlan {
    double start = 0; ///< deg
    double end = 0;
    LiftPlace handle = {};
    std::vector<LiftMass> masses = {};
    std::vector<LiftSpring> springs = {};
    LiftLimits limits = {};
    std::vector<LiftForces> curve = {};
    std::vector<LiftView> side_view = {}; ///< one for each step of `curve`
    std::string line = {};
    std::string title = {};
    bool within_limits = false;
    std::string why = {}; ///< why these springs
    std::string demand = {};
};

[[nodiscard]] Json to_json(const LiftPlan&);

} // namespace aumbry::contract
