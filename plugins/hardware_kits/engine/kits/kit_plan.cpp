#include "hardware_kits/engine/kits/kit_plan.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/grid.hpp"
#include "aumbry/rounding.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <map>
#include <numeric>
#include <optional>
#include <set>

namespace aumbry::hardware_kits {
namespace {

constexpr GridLength chain_slack = steps_per_mm / 2;

/// Parts of an inch a step divides it into; 0 for a metric step.
std::int64_t inch_parts(CutStep step) {
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

GridLength size_of(CutStep step) {
    if (const std::int64_t parts = inch_parts(step); parts > 0) return steps_per_inch / parts;
    return step == CutStep::mm        ? steps_per_mm
           : step == CutStep::half_mm ? steps_per_mm / 2
                                      : steps_per_mm / 10;
}

/// To the nearest whole step, halves away from zero.
GridLength rounded(GridLength value, CutStep step) {
    const GridLength size = size_of(step);
    const GridLength half = value >= 0 ? size / 2 : -(size / 2);
    return (value + half) / size * size;
}

GridLength shift_of(const PlanSize& size, const MattressSize& from, const MattressSize& to) {
    switch (size.follows) {
    case Follows::mattress_width:
        return to_grid(to.width) - to_grid(from.width);
    case Follows::mattress_length:
        return to_grid(to.length) - to_grid(from.length);
    case Follows::mattress_thickness:
        return to_grid(to.thickness) - to_grid(from.thickness);
    case Follows::nothing:
        break;
    }
    return 0;
}

struct Working {
    GridLength planned = 0;
    GridLength exact = 0;
    GridLength cut = 0;
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

void check_chain(const KitPlan& plan, const PlanChain& chain,
                 const std::map<std::string, Working>& workings) {
    const PlanSize& whole = size_named(plan, chain.whole);
    if (chain.parts.empty())
        fail("plan-chain-empty", {},
             fmt::format("chain '{}' of plan '{}' has no parts", chain.whole, plan.name),
             "list the sizes that lie end to end");
    GridLength sum = 0;
    for (const std::string& part : chain.parts) sum += to_grid(size_named(plan, part).size);
    if (std::abs(sum - to_grid(whole.size)) > chain_slack)
        fail("plan-chain-sum", {},
             fmt::format("in plan '{}' the parts of '{}' add up to {:g} mm, not {:g} mm", plan.name,
                         chain.whole, to_mm(sum), whole.size),
             "check the plan's sizes, or what belongs to the chain");
    GridLength shifted = 0;
    for (const std::string& part : chain.parts) shifted += workings.at(part).exact;
    if (const GridLength whole_exact = workings.at(chain.whole).exact;
        std::abs(shifted - whole_exact) > chain_slack)
        fail("plan-chain-shift", {},
             fmt::format(
                 "with this mattress the parts of '{}' in plan '{}' come to {:g} mm, the whole "
                 "to {:g} mm",
                 chain.whole, plan.name, to_mm(shifted), to_mm(whole_exact)),
             "say which part follows the mattress");
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
        const GridLength planned = to_grid(size.size);
        const GridLength exact = planned + shift_of(size, plan.nominal, mattress);
        const Working working{planned, exact, size.fixed_by_kit ? exact : rounded(exact, step),
                              false};
        if (!workings.emplace(size.name, working).second)
            fail("plan-size-twice", {},
                 fmt::format("plan '{}' has two sizes named '{}'", plan.name, size.name),
                 "give each its own name");
    }
    std::set<std::string> last_parts;
    std::set<std::string> used;
    for (const PlanChain& chain : plan.chains) {
        check_chain(plan, chain, workings);
        const std::string& last = chain.parts.back();
        if (!last_parts.insert(last).second)
            fail("plan-chain-twice", {},
                 fmt::format("'{}' is the last part of two chains of plan '{}'", last, plan.name),
                 "let each chain end with a part of its own");
        if (used.contains(last) || last == chain.whole ||
            std::count(chain.parts.begin(), chain.parts.end(), last) > 1)
            fail("plan-chain-order", {},
                 fmt::format("chain '{}' of plan '{}' settles '{}', which is used elsewhere before",
                             chain.whole, plan.name, last),
                 "list the chain that settles a size before those that use it");
        used.insert(chain.whole);
        used.insert(chain.parts.begin(), chain.parts.end());
        GridLength left = workings.at(chain.whole).cut;
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
                             plan.name, to_mm(w.cut)),
                 "the plan does not stretch that far; choose another kit");
        cuts.push_back({size.name, to_mm(w.planned), to_mm(w.exact - w.planned), to_mm(w.exact),
                        to_mm(w.cut), to_mm(w.cut - w.exact), w.by_subtraction, size.fixed_by_kit});
    }
    return cuts;
}

std::string cut_text(double size, CutStep step) {
    const std::int64_t parts = inch_parts(step);
    if (parts == 0) return format_trimmed(to_mm(rounded(to_grid(size), step)), 1) + " mm";
    const std::int64_t count = rounded(to_grid(size), step) / (steps_per_inch / parts);
    const std::int64_t whole = count / parts;
    const std::int64_t rest = std::abs(count % parts);
    if (rest == 0) return fmt::format("{} in", whole);
    const std::int64_t divisor = std::gcd(rest, parts);
    const std::string fraction = fmt::format("{}/{} in", rest / divisor, parts / divisor);
    if (whole != 0) return fmt::format("{} {}", whole, fraction);
    return count < 0 ? "-" + fraction : fraction;
}

} // namespace aumbry::hardware_kits
