#include "line/take_off/module_steps.hpp"

#include "aumbry/plugin_host.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>
#include <functional>

namespace aumbry {
namespace {

constexpr double longest_step = 5e6; // minutes: what the schedule counts with

ModuleStep named(const std::string& module, contract::Step step) {
    step.id = module + '/' + step.id;
    for (std::string& id : step.after) id = module + '/' + id;
    for (std::string& id : step.needs) id = module + '/' + id;
    return {module, std::move(step)};
}

/// What is wrong with the time that a step takes, or nothing.
std::string wrong_time_of(const contract::Step& step) {
    for (const double minutes : {step.minutes, step.wait_minutes}) {
        if (!(minutes >= 0 && minutes <= longest_step))
            return "its step '" + step.id + "' takes " + format_trimmed(minutes, 2) +
                   " minutes; durations are from 0 to 5 000 000";
    }
    return step.people >= 1 ? "" : "its step '" + step.id + "' has nobody to do it";
}

/// "'glue' after 'sand' after 'glue'": a loop of steps of one module, or nothing.
std::string loop_of(const std::vector<ModuleStep>& steps, const std::string& module) {
    std::map<std::string, const contract::Step*> by_id;
    for (const ModuleStep& each : steps) {
        if (each.module == module) by_id[each.step.id] = &each.step;
    }
    const auto word = [&](const std::string& id) {
        return '\'' + id.substr(module.size() + 1) + '\'';
    };
    std::vector<std::string> trail;
    std::set<std::string> sound;
    std::string loop;
    const std::function<void(const contract::Step&)> walk = [&](const contract::Step& step) {
        if (!loop.empty() || sound.contains(step.id)) return;
        const auto again = std::find(trail.begin(), trail.end(), step.id);
        if (again != trail.end()) {
            for (auto at = again; at != trail.end(); ++at) loop += word(*at) + " after ";
            loop += word(step.id);
            return;
        }
        trail.push_back(step.id);
        for (const std::string& id : step.after) {
            if (const auto found = by_id.find(id); found != by_id.end()) walk(*found->second);
        }
        trail.pop_back();
        sound.insert(step.id);
    };
    for (const auto& [id, step] : by_id) walk(*step);
    return loop;
}

} // namespace

void add_steps(std::vector<ModuleStep>& all, const std::string& module,
               const std::vector<contract::Step>& steps) {
    std::set<std::string> ids;
    for (const ModuleStep& each : all) ids.insert(each.step.id);
    const std::size_t before = all.size();
    std::string wrong;
    for (const contract::Step& step : steps) {
        all.push_back(named(module, step));
        if (wrong.empty() && !ids.insert(all.back().step.id).second)
            wrong = "two of its steps are called '" + step.id + "'";
        if (wrong.empty()) wrong = wrong_time_of(step);
    }
    if (wrong.empty()) {
        if (const std::string loop = loop_of(all, module); !loop.empty())
            wrong = "its steps wait for each other: " + loop;
    }
    if (wrong.empty()) return;
    all.resize(before);
    throw ModuleError(module, wrong);
}

} // namespace aumbry
