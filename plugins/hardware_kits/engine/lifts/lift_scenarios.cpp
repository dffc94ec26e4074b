#include "hardware_kits/engine/lifts/lift_scenarios.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace aumbry::hardware_kits {
namespace {

constexpr double absolute_zero = 273.15; // °C below the ice point

bool carries(const Lift& lift, Load load) {
    return std::any_of(lift.masses.begin(), lift.masses.end(),
                       [load](const Mass& mass) { return mass.load == load && mass.mass > 0; });
}

struct Loading {
    std::string name;
    bool mattress;
    bool bedding;
    bool judged;
};

std::vector<Loading> loadings_of(const Lift& lift) {
    const bool mattress = carries(lift, Load::mattress);
    const bool bedding = carries(lift, Load::bedding);
    std::vector<Loading> loadings;
    if (mattress && bedding) loadings.push_back({"with mattress and bedding", true, true, true});
    if (mattress) loadings.push_back({"with mattress", true, false, true});
    if (bedding && !mattress) loadings.push_back({"with bedding", false, true, true});
    const bool bare_is_all = !mattress && !bedding;
    loadings.push_back(
        {bare_is_all ? "panel" : "without mattress or bedding", false, false, bare_is_all});
    return loadings;
}

} // namespace

double temperature_factor(double temperature, double rated_temperature) {
    for (double t : {temperature, rated_temperature})
        if (!(t >= -40 && t <= 80))
            fail("temperature", {},
                 fmt::format("a gas spring at {:g} °C is outside what it is made for", t),
                 "give a temperature from -40 to 80 °C");
    return (temperature + absolute_zero) / (rated_temperature + absolute_zero);
}

std::vector<Scenario> usual_scenarios(const Lift& lift, const Assumptions& a) {
    if (!(a.aged_force > 0 && a.aged_force <= 1))
        fail("aged-force", {},
             fmt::format("an aged spring is said to keep {:g} of its force", a.aged_force),
             "give a share above 0 and no more than 1");
    if (!(a.mass_range >= 0 && a.mass_range < 1))
        fail("mass-range", {},
             fmt::format("the mass is said to range by a share of {:g}", a.mass_range),
             "give a share from 0 to below 1");
    if (!(a.cold <= a.warm))
        fail("temperature", {},
             fmt::format("cold ({:g} °C) is above warm ({:g} °C)", a.cold, a.warm),
             "exchange them");
    const double cold = temperature_factor(a.cold, a.rated_temperature);
    const double warm = temperature_factor(a.warm, a.rated_temperature);
    const double light = 1 - a.mass_range;
    const double heavy = 1 + a.mass_range;
    std::vector<Scenario> scenarios;
    for (const Loading& loading : loadings_of(lift)) {
        const auto add = [&](const char* name, double mass, double temperature, double age) {
            scenarios.push_back({loading.name + ", " + name, loading.mattress, loading.bedding,
                                 mass, temperature, age, loading.judged});
        };
        add("as stated", 1, 1, 1);
        add("cold", 1, cold, 1);
        add("warm", 1, warm, 1);
        add("aged springs", 1, 1, a.aged_force);
        add("light", light, 1, 1);
        add("heavy", heavy, 1, 1);
        add("cold, aged springs, heavy", heavy, cold, a.aged_force);
        add("warm, new springs, light", light, warm, 1);
    }
    return scenarios;
}

std::string stated(const Assumptions& a) {
    return fmt::format("Springs rated at {:g} °C and looked at from {:g} to {:g} °C, force in "
                       "proportion to absolute "
                       "temperature; aged springs keep {:g} % of their force; masses within {:g} % "
                       "of the reckoned.",
                       a.rated_temperature, a.cold, a.warm, a.aged_force * 100, a.mass_range * 100);
}

} // namespace aumbry::hardware_kits
