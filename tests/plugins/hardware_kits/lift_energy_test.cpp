// The hand's work over a swing equals the change of potential energy less the springs' work, for
// random geometries.

#include "constants.hpp"
#include "hardware_kits/engine/lifts/lift.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <numbers>
#include <random>

namespace aumbry::hardware_kits {
namespace {

class Dice {
  public:
    explicit Dice(std::uint64_t seed) : bits_(seed) {}
    double between(double least, double most) {
        return least + (most - least) * static_cast<double>(bits_() >> 11) * 0x1p-53;
    }

  private:
    std::mt19937_64 bits_;
};

double height(double along, double across, double angle) {
    return along * std::sin(angle * degree) + across * std::cos(angle * degree);
}

double distance(const Mounting& m, double angle) {
    const double x =
        m.moving_along * std::cos(angle * degree) - m.moving_across * std::sin(angle * degree);
    return std::hypot(x - m.fixed.x, height(m.moving_along, m.moving_across, angle) - m.fixed.y);
}

/// A random lift; its springs are made to suit their mountings.
Lift random_lift(Dice& dice) {
    Lift lift;
    lift.start = dice.between(-60, 100);
    lift.end = std::clamp(lift.start + dice.between(20, 120) * (dice.between(0, 1) < 0.5 ? -1 : 1),
                          -80.0, 180.0);
    const int masses = 1 + static_cast<int>(dice.between(0, 4));
    for (int i = 0; i < masses; ++i)
        lift.masses.push_back({"mass", dice.between(1, 40), dice.between(-200, 2000),
                               dice.between(-200, 200), Load::panel});
    const int springs = static_cast<int>(dice.between(0, 3));
    for (int i = 0; i < springs; ++i) {
        Mounting mounting{"m",
                          {dice.between(-600, 600), dice.between(-600, 600)},
                          dice.between(100, 700),
                          dice.between(-80, 80)};
        double shortest = 1e9;
        double longest = 0;
        for (int step = 0; step <= 1000; ++step) {
            const double length =
                distance(mounting, lift.start + (lift.end - lift.start) * step / 1000);
            shortest = std::min(shortest, length);
            longest = std::max(longest, length);
        }
        const double stroke = longest - shortest + dice.between(10, 60);
        const GasSpring spring{
            "s", dice.between(100, 1500), dice.between(1, 1.5), stroke, longest + 5, 0, 0};
        lift.springs.push_back({spring, mounting, 1 + static_cast<int>(dice.between(0, 2)), true});
    }
    if (dice.between(0, 1) < 0.3)
        lift.torques = {{"coil", dice.between(-200, 200), dice.between(-200, 200)}};
    lift.handle_along = dice.between(300, 2000);
    lift.handle_across = dice.between(-50, 50);
    return lift;
}

/// Potential energy gained less the work of springs and coils, J, from the two ends of the swing
/// alone.
double work_by_energy(const Lift& lift) {
    double work = 0;
    for (const Mass& m : lift.masses)
        work += m.mass * 9.80665 *
                (height(m.along, m.across, lift.end) - height(m.along, m.across, lift.start)) /
                1000;
    for (const MountedSpring& s : lift.springs) {
        // Integral of F1 (1 + (K - 1) c / S) over the compression c.
        const auto stored = [&](double angle) {
            const double c = s.spring.extended_length - distance(s.mounting, angle);
            return s.spring.force * (c + (s.spring.progression - 1) * c * c / 2 / s.spring.stroke) /
                   1000;
        };
        work -= s.count * (stored(lift.start) - stored(lift.end));
    }
    for (const GivenTorque& t : lift.torques)
        work -= (t.at_start + t.at_end) / 2 * std::abs(lift.end - lift.start) * degree;
    return work;
}

/// The same from the force of the hand at every sample, by Simpson's rule.
double work_by_hand(const Lift& lift, const Swing& swing) {
    const double arc = std::abs(lift.end - lift.start) * degree *
                       std::hypot(lift.handle_along, lift.handle_across) / 1000;
    double sum = 0;
    for (std::size_t i = 0; i < swing.samples.size(); ++i) {
        const double weight = i == 0 || i + 1 == swing.samples.size() ? 1 : (i % 2 == 1 ? 4 : 2);
        sum += weight * swing.samples[i].hand_to_open;
    }
    return sum * arc / swing_steps / 3;
}

TEST(LiftEnergy, HandsWorkIsPotentialLessSpringWorkToATenthOfAPercent) {
    Dice dice(20270201);
    int looked_at = 0;
    while (looked_at < 400) {
        const Lift lift = random_lift(dice);
        const bool too_near =
            std::any_of(lift.springs.begin(), lift.springs.end(), [](const MountedSpring& s) {
                return s.spring.extended_length - s.spring.stroke < 60; // no such spring is made
            });
        if (too_near || !faults_of(lift).empty()) continue;
        const double expected = work_by_energy(lift);
        if (std::abs(expected) < 5)
            continue; // a thousandth of it is below the rounding of the forces
        ++looked_at;
        const Swing swing = sweep(lift);
        const double tolerance = 0.001 * std::abs(expected);
        EXPECT_NEAR(swing.hand_work_open, expected, tolerance);
        EXPECT_NEAR(work_by_hand(lift, swing), expected, tolerance + 0.005);
        EXPECT_NEAR(swing.potential_change - swing.spring_work - swing.given_work, expected,
                    tolerance);
        EXPECT_NEAR(swing.hand_work_close, -expected, tolerance);
    }
}

TEST(LiftEnergy, OpeningAndClosingCostTwiceTheFriction) {
    Dice dice(7);
    int looked_at = 0;
    while (looked_at < 50) {
        Lift lift = random_lift(dice);
        lift.hinge_friction = dice.between(0, 30);
        for (MountedSpring& s : lift.springs) s.spring.friction = dice.between(0, 60);
        if (!faults_of(lift).empty()) continue;
        ++looked_at;
        const Swing swing = sweep(lift);
        EXPECT_NEAR(swing.hand_work_open + swing.hand_work_close, 2 * swing.friction_loss, 0.002);
        EXPECT_GE(swing.friction_loss, 0);
    }
}

} // namespace
} // namespace aumbry::hardware_kits
