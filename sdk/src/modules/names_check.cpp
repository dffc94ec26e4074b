#include "modules/names_check.hpp"

#include "values/excerpt.hpp"

#include <algorithm>
#include <map>

namespace aumbry {
namespace {

/// The first id that is taken already; empty when none is.
template <class Items, class Id>
std::string taken(const std::set<std::string>& names, const Items& items, Id id) {
    for (const auto& item : items) {
        if (names.contains(item.*id)) return item.*id;
    }
    return {};
}

/// What of a reply has a name that the module used before; empty when nothing.
std::string taken_before(const ModuleNames& names, const contract::TakeOffReply& reply) {
    using namespace contract;
    if (const std::string id = taken(names.demands, reply.demands, &Demand::id); !id.empty())
        return "a demand called " + in_quotes(id);
    if (const std::string id = taken(names.steps, reply.steps, &Step::id); !id.empty())
        return "a step called " + in_quotes(id);
    if (const std::string ref = taken(names.quantities, reply.quantities, &QuantityRow::ref);
        !ref.empty())
        return "a quantity called " + in_quotes(ref);
    return {};
}

void add(ModuleNames& names, const contract::TakeOffReply& reply) {
    for (const contract::Demand& demand : reply.demands) names.demands.insert(demand.id);
    for (const contract::Step& step : reply.steps) names.steps.insert(step.id);
    for (const contract::QuantityRow& row : reply.quantities) names.quantities.insert(row.ref);
}

/// What the first step waits for that is not there; empty when all is.
std::string waits_in_vain(const ModuleNames& names, const std::vector<contract::Step>& steps) {
    for (const contract::Step& step : steps) {
        for (const std::string& id : step.after) {
            if (!names.steps.contains(id))
                return "step " + in_quotes(step.id) + " comes after " + in_quotes(id) +
                       ", which is none of the module's steps";
        }
        for (const std::string& id : step.needs) {
            if (!names.demands.contains(id))
                return "step " + in_quotes(step.id) + " needs " + in_quotes(id) +
                       ", which is none of the module's demands";
        }
    }
    return {};
}

/// Steps that wait for themselves in the end, as "a -> b -> a"; empty when none do.
std::string circle_in(const std::vector<const contract::Step*>& steps) {
    std::map<std::string, const contract::Step*> waiting;
    for (const contract::Step* step : steps) waiting[step->id] = step;
    const auto held = [&](const contract::Step& step) {
        return std::find_if(step.after.begin(), step.after.end(),
                            [&](const std::string& id) { return waiting.contains(id); });
    };
    for (bool any = true; any;)
        any = std::erase_if(waiting, [&](const auto& entry) {
                  return held(*entry.second) == entry.second->after.end();
              }) != 0;
    if (waiting.empty()) return {};
    // Each that is left waits for another that is left: the walk comes round.
    std::vector<std::string> walk;
    for (std::string at = waiting.begin()->first;
         std::find(walk.begin(), walk.end(), at) == walk.end(); at = *held(*waiting.at(at)))
        walk.push_back(at);
    const std::string again = *held(*waiting.at(walk.back()));
    std::string circle;
    for (auto id = std::find(walk.begin(), walk.end(), again); id != walk.end(); ++id)
        circle += *id + " -> ";
    return circle + again;
}

std::string cannot_be_used(const char* method, const std::string& why) {
    return std::string("gave a reply to ") + method + " that cannot be used: " + why;
}

std::string in_a_circle(const std::string& circle) {
    return "its steps wait for each other in a circle: " + circle;
}

} // namespace

ModuleNames check_groups(std::vector<GroupReply>& groups) {
    ModuleNames names;
    for (GroupReply& group : groups) {
        if (const std::string what = taken_before(names, *group.reply); !what.empty())
            group.refused = cannot_be_used("take_off", "two groups have " + what);
        else
            add(names, *group.reply);
    }
    // What one group waits for may have gone with another.
    for (bool settled = false; !settled;) {
        settled = true;
        names = {};
        for (const GroupReply& group : groups) {
            if (group.refused.empty()) add(names, *group.reply);
        }
        for (GroupReply& group : groups) {
            if (!group.refused.empty()) continue;
            if (const std::string why = waits_in_vain(names, group.reply->steps); !why.empty()) {
                group.refused = cannot_be_used("take_off", why);
                settled = false;
            }
        }
        if (!settled) continue;
        std::vector<const contract::Step*> steps;
        for (const GroupReply& group : groups) {
            if (!group.refused.empty()) continue;
            for (const contract::Step& step : group.reply->steps) steps.push_back(&step);
        }
        const std::string circle = circle_in(steps);
        if (circle.empty()) break;
        // The circle ends with a step of it; the group of that step is refused.
        const std::string id = circle.substr(circle.rfind(' ') + 1);
        for (GroupReply& group : groups) {
            if (!group.refused.empty()) continue;
            const auto& own = group.reply->steps;
            if (std::any_of(own.begin(), own.end(),
                            [&](const contract::Step& step) { return step.id == id; }))
                group.refused = cannot_be_used("take_off", in_a_circle(circle));
        }
        settled = false;
    }
    return names;
}

std::string fault_beside(const ModuleNames& names, const contract::FollowReply& reply) {
    if (const std::string id = taken(names.steps, reply.steps, &contract::Step::id); !id.empty())
        return cannot_be_used("follow",
                              "the step " + in_quotes(id) + " is in its take-off already");
    if (const std::string ref =
            taken(names.quantities, reply.quantities, &contract::QuantityRow::ref);
        !ref.empty())
        return cannot_be_used("follow",
                              "the quantity " + in_quotes(ref) + " is in its take-off already");
    ModuleNames all = names;
    for (const contract::Step& step : reply.steps) all.steps.insert(step.id);
    if (const std::string why = waits_in_vain(all, reply.steps); !why.empty())
        return cannot_be_used("follow", why);
    // No step of the take-off waits for one that follows, so a circle is within the reply.
    std::vector<const contract::Step*> steps;
    for (const contract::Step& step : reply.steps) steps.push_back(&step);
    const std::string circle = circle_in(steps);
    return circle.empty() ? "" : cannot_be_used("follow", in_a_circle(circle));
}

} // namespace aumbry
