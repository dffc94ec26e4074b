#include "aumbry/follow.hpp"

#include "line/take_off/module_steps.hpp"
#include "modules/names_check.hpp"

#include "aumbry/rounding.hpp"

#include <algorithm>
#include <utility>

namespace aumbry {

std::vector<std::string> order_of_modules(const std::vector<contract::Description>& modules) {
    std::vector<std::string> order;
    std::vector<const contract::Description*> left;
    for (const contract::Description& module : modules) left.push_back(&module);
    std::sort(left.begin(), left.end(), [](const auto* a, const auto* b) { return a->id < b->id; });
    const auto waits_for =
        [&](const contract::Description& module) -> const contract::Description* {
        for (const std::string& other : module.after) {
            const auto found = std::find_if(left.begin(), left.end(), [&](const auto* candidate) {
                return candidate->id == other;
            });
            if (found != left.end() && *found != &module) return *found;
        }
        return nullptr;
    };
    while (!left.empty()) {
        const auto next = std::find_if(left.begin(), left.end(), [&](const auto* module) {
            return waits_for(*module) == nullptr;
        });
        if (next != left.end()) {
            order.push_back((*next)->id);
            left.erase(next);
            continue;
        }
        // Every one that is left waits for another: walk until one comes twice.
        std::vector<const contract::Description*> walk;
        const contract::Description* at = left.front();
        while (std::find(walk.begin(), walk.end(), at) == walk.end()) {
            walk.push_back(at);
            at = waits_for(*at);
        }
        std::string loop;
        for (auto it = std::find(walk.begin(), walk.end(), at); it != walk.end(); ++it)
            loop += (*it)->id + " -> ";
        fail("module-cycle", {}, "modules come after each other in a loop: " + loop + at->id,
             "take one of them out of the plugin folder");
    }
    return order;
}

namespace {

/// What the uses of an amount hold together.
double content_of(const contract::Demand& demand, const std::vector<contract::Use>& uses) {
    if (!demand.amount) return 0;
    double content = 0;
    for (const contract::Use& use : uses) {
        for (const contract::AmountOffer& offer : demand.amount->offers) {
            if (offer.offer == use.offer) content += static_cast<double>(use.count) * offer.content;
        }
    }
    return round_to(content, 6);
}

} // namespace

Followed follow(const Resolved& project, const TakenOff& taken_off, const Procurement& procurement,
                PluginHost& host, const Json& tables, const std::string& effort) {
    Followed out;
    std::vector<ModuleStep> steps = taken_off.steps;
    std::map<std::string, const contract::Demand*> demands;
    for (const contract::Demand& demand : taken_off.demands) demands[demand.id] = &demand;

    for (const std::string& id : order_of_modules(host.modules())) {
        const contract::Description& module = *host.find_module(id);
        contract::FollowRequest request;
        for (const ResolvedLine& line : project.lines) {
            if (line.module == id && line.not_priced.empty() &&
                !taken_off.not_priced.contains(line.line.id))
                request.lines.push_back(line.line);
        }
        if (request.lines.empty()) continue;
        const auto reads = [&](const std::string& other) {
            return other == id ||
                   std::find(module.after.begin(), module.after.end(), other) != module.after.end();
        };
        for (const Choice& choice : procurement.choices) {
            const std::size_t slash = choice.demand.find('/');
            const std::string owner = choice.demand.substr(0, slash);
            if (!reads(owner)) continue;
            const contract::Demand& demand = *demands.at(choice.demand);
            contract::Chosen chosen;
            chosen.module = owner;
            chosen.demand = choice.demand.substr(slash + 1);
            chosen.way = choice.way;
            chosen.uses = choice.uses;
            chosen.shares = demand.shares;
            chosen.content = content_of(demand, choice.uses);
            for (const contract::Way& way : demand.ways) {
                if (way.id == choice.way) chosen.plans = way.plans;
            }
            request.chosen.push_back(std::move(chosen));
        }
        for (const auto* rows : {&taken_off.quantities, &std::as_const(out.quantities)}) {
            for (const auto& [owner, list] : *rows) {
                if (!reads(owner)) continue;
                auto& into = request.quantities[owner];
                into.insert(into.end(), list.begin(), list.end());
            }
        }
        request.settings = settings_for(project, id, effort);
        request.tables = tables_for(module, tables);
        try {
            const auto reply = host.follow(id, request);
            const auto names = taken_off.names.find(id);
            if (names != taken_off.names.end()) {
                if (const std::string fault = fault_beside(names->second, *reply); !fault.empty())
                    throw ModuleError(id, fault);
            }
            add_steps(steps, id, reply->steps);
            out.quantities[id] = reply->quantities;
            out.findings[id] = reply->findings;
            for (const std::string& work : reply->not_counted) {
                if (std::find(out.not_counted.begin(), out.not_counted.end(), work) ==
                    out.not_counted.end())
                    out.not_counted.push_back(work);
            }
            out.workings.insert(out.workings.end(), reply->workings.begin(), reply->workings.end());
        } catch (const ModuleError& error) {
            out.failed.push_back(
                {id, error.reason(),
                 "what it adds once goods are chosen (work, steps, figures) is left out"});
        }
    }
    const auto first = steps.begin() + static_cast<std::ptrdiff_t>(taken_off.steps.size());
    out.steps.assign(std::make_move_iterator(first), std::make_move_iterator(steps.end()));
    return out;
}

} // namespace aumbry
