#include "hardware_kits/kit_plan.hpp"

#include "aumbry/fault.hpp"

#include <fmt/format.h>

#include <cmath>
#include <cstdlib>
#include <map>
#include <numeric>
#include <optional>
#include <set>

namespace aumbry::hardware_kits {
namespace {

using Steps = std::int64_t; // of 1/8000 mm

constexpr Steps a_millimetre = 8000;
constexpr Steps an_inch = 203200;
constexpr Steps chain_slack = a_millimetre / 2;

Steps steps(double millimetres) {
    return std::llround(millimetres * static_cast<double>(a_millimetre));
}
double millimetres(Steps value) {
    return static_cast<double>(value) / static_cast<double>(a_millimetre);
}

/// Parts of an inch a step divides it into; 0 for a metric step.
Steps inch_parts(CutStep step) {
    switch (step) {
    case CutStep::inch_16:
        return 16;
    case CutStep::inch_32:
        return 32;
    case CutStep::inch_64:
        return 64;
    case CutStep::tenth_mm:
    case CutStep::half_mm:
    case CutStep::mm:
        break;
    }
    return 0;
}

Steps size_of(CutStep step) {
    if (const Steps parts = inch_parts(step); parts > 0) return an_inch / parts;
    return step == CutStep::mm        ? a_millimetre
           : step == CutStep::half_mm ? a_millimetre / 2
                                      : a_millimetre / 10;
}

/// To the nearest whole step, halves away from zero.
Steps rounded(Steps value, CutStep step) {
    const Steps size = size_of(step);
    const Steps half = value >= 0 ? size / 2 : -(size / 2);
    return (value + half) / size * size;
}

Steps shift_of(const PlanSize& size, const MattressSize& from, const MattressSize& to) {
    switch (size.follows) {
    case Follows::mattress_width:
        return steps(to.width) - steps(from.width);
    case Follows::mattress_length:
        return steps(to.length) - steps(from.length);
    case Follows::mattress_thickness:
        return steps(to.thickness) - steps(from.thickness);
    case Follows::nothing:
        break;
    }
    return 0;
}

struct Working {
    Steps planned = 0;
    Steps exact = 0;
    Steps cut = 0;
    bool by_subtraction = false;
};

void check_mattress(const KitPlan& plan, const MattressSize& mattress, const char* which) {
    for (const double side : {mattress.width, mattress.length, mattress.thickness})
        if (!(side > 0) || side > 1e5)
            fail("plan-mattress", {},
                 fmt::format("the {} mattress of plan '{}' is {:g} x {:g} x {:g} mm", which,
                             plan.name, mattress.width, mattress.length, mattress.thickness),
                 "give width, length and thickness above 0 mm");
}

const PlanSize& size_named(const KitPlan& plan, const std::string& name) {
    std::vector<std::string> names;
    for (const PlanSize& size : plan.sizes) {
        if (size.name == name) return size;
        names.push_back(size.name);
    }
    const std::string nearest = nearest_name(name, names);
    fail("plan-size-unknown", {},
         fmt::format("a chain of plan '{}' names '{}', which is no size of it", plan.name, name),
         nearest.empty() ? "name a size of the plan" : "did you mean '" + nearest + "'?");
}

void check_chain(const KitPlan& plan, const PlanChain& chain) {
    const PlanSize& whole = size_named(plan, chain.whole);
    if (chain.parts.empty())
        fail("plan-chain-empty", {},
             fmt::format("chain '{}' of plan '{}' has no parts", chain.whole, plan.name),
             "list the sizes that lie end to end");
    Steps sum = 0;
    for (const std::string& part : chain.parts) sum += steps(size_named(plan, part).size);
    if (std::abs(sum - steps(whole.size)) > chain_slack)
        fail("plan-chain-sum", {},
             fmt::format("in plan '{}' the parts of '{}' add up to {:g} mm, not {:g} mm", plan.name,
                         chain.whole, millimetres(sum), whole.size),
             "check the plan's sizes, or what belongs to the chain");
    const PlanSize& last = size_named(plan, chain.parts.back());
    if (last.fixed_by_kit)
        fail("plan-chain-fixed", {},
             fmt::format("the last part of chain '{}' in plan '{}' is '{}', which the kit fixes",
                         chain.whole, plan.name, last.name),
             "put a part last that may be cut to what is left");
}

} // namespace

std::vector<CutSize> redimension(const KitPlan& plan, const MattressSize& mattress, CutStep step) {
    check_mattress(plan, plan.nominal, "nominal");
    check_mattress(plan, mattress, "other");
    std::map<std::string, Working> workings;
    for (const PlanSize& size : plan.sizes) {
        if (!(size.size > 0) || size.size > 1e5)
            fail("plan-size", {},
                 fmt::format("size '{}' of plan '{}' is {:g} mm", size.name, plan.name, size.size),
                 "give a size above 0 mm");
        if (size.fixed_by_kit && size.follows != Follows::nothing)
            fail("plan-size-fixed", {},
                 fmt::format(
                     "size '{}' of plan '{}' is fixed by the kit and cannot follow the mattress",
                     size.name, plan.name),
                 "pivots, plates and hole spacings never scale: drop one of the two");
        const Steps planned = steps(size.size);
        const Steps exact = planned + shift_of(size, plan.nominal, mattress);
        const Working working{planned, exact, size.fixed_by_kit ? exact : rounded(exact, step),
                              false};
        if (!workings.emplace(size.name, working).second)
            fail("plan-size-twice", {},
                 fmt::format("plan '{}' has two sizes named '{}'", plan.name, size.name),
                 "give each its own name");
    }
    std::set<std::string> last_parts;
    for (const PlanChain& chain : plan.chains) {
        check_chain(plan, chain);
        const std::string& last = chain.parts.back();
        if (!last_parts.insert(last).second)
            fail("plan-chain-twice", {},
                 fmt::format("'{}' is the last part of two chains of plan '{}'", last, plan.name),
                 "let each chain end with a part of its own");
        Steps left = workings.at(chain.whole).cut;
        for (std::size_t i = 0; i + 1 < chain.parts.size(); ++i)
            left -= workings.at(chain.parts[i]).cut;
        workings.at(last).cut = left;
        workings.at(last).by_subtraction = true;
    }
    std::vector<CutSize> cuts;
    for (const PlanSize& size : plan.sizes) {
        const Working& w = workings.at(size.name);
        if (w.cut <= 0)
            fail("plan-size-vanishes", {},
                 fmt::format("size '{}' of plan '{}' becomes {:g} mm for this mattress", size.name,
                             plan.name, millimetres(w.cut)),
                 "the plan does not stretch that far; choose another kit");
        cuts.push_back({size.name, millimetres(w.planned), millimetres(w.exact - w.planned),
                        millimetres(w.exact), millimetres(w.cut), millimetres(w.cut - w.exact),
                        w.by_subtraction, size.fixed_by_kit});
    }
    return cuts;
}

std::string cut_text(double size, CutStep step) {
    const Steps parts = inch_parts(step);
    if (parts == 0) return fmt::format("{:g} mm", millimetres(rounded(steps(size), step)));
    const Steps count = rounded(steps(size), step) / (an_inch / parts);
    const Steps whole = count / parts;
    const Steps rest = std::abs(count % parts);
    if (rest == 0) return fmt::format("{} in", whole);
    const Steps divisor = std::gcd(rest, parts);
    const std::string fraction = fmt::format("{}/{} in", rest / divisor, parts / divisor);
    if (whole != 0) return fmt::format("{} {}", whole, fraction);
    return count < 0 ? "-" + fraction : fraction;
}

} // namespace aumbry::hardware_kits
