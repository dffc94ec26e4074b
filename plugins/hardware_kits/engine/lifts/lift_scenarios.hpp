// Scenarios: the circumstances under which a lift is looked at: loads, warmth, age, uncertain mass.
#pragma once

#include "hardware_kits/engine/lifts/lift.hpp"

#include <string>
#include <vector>

namespace aumbry::hardware_kits {

/// What is assumed where nobody knows better, without a source. Every figure can be set; `stated`
/// puts them into a sentence.
struct Assumptions {
    double rated_temperature = 20; ///< °C at which springs are rated (from memory)
    double cold = 5;               ///< °C
    double warm = 35;              ///< °C
    double aged_force = 0.90;      ///< share of force left in an old spring (assumed)
    double mass_range = 0.05; ///< the real mass is within this share of the reckoned one (assumed)
};

/// Gas force at a temperature over that at the rated one: ratio of absolute temperatures (ideal gas
/// at fixed volume). Throws FaultError outside -40 to 80 °C, the range in which such springs are
/// commonly used.
[[nodiscard]] double temperature_factor(double temperature, double rated_temperature);

/// The usual set, for each of: with mattress and bedding, with mattress, without either:
/// as stated, cold, warm, aged, light, heavy, weakest (cold, aged, heavy), strongest (warm, new,
/// light). What the lift does not carry is left out. The lid alone is told but not judged when a
/// mattress belongs to it.
[[nodiscard]] std::vector<Scenario> usual_scenarios(const Lift& lift,
                                                    const Assumptions& assumptions = {});

/// The assumptions as a sentence for the reader of the figures.
[[nodiscard]] std::string stated(const Assumptions& assumptions);

} // namespace aumbry::hardware_kits
