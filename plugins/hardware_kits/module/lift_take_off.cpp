// What a lift takes off: its springs, its steps, and its swing as a plan.
#include "hardware_kits/module/lift_line.hpp"

#include "aumbry/plugin.hpp"
#include "hardware_kits/engine/assembly.hpp"
#include "hardware_kits/engine/decimals.hpp"
#include "hardware_kits/engine/lifts/lift_choice.hpp"
#include "hardware_kits/module/kit_line.hpp"
#include "hardware_kits/module/lift_checks.hpp"
#include "hardware_kits/module/lift_plan.hpp"
#include "hardware_kits/module/lift_workings.hpp"
#include "hardware_kits/module/messages.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>
#include <utility>

namespace aumbry::hardware_kits {

using contract::Demand;
using contract::Line;
using contract::Offer;
using contract::Severity;
using contract::TakeOffReply;
using contract::TakeOffRequest;
using contract::Working;

namespace {

/// A spring of the lists, with everyone who offers it.
struct ListedSpring {
    GasSpring spring;
    std::vector<const Offer*> offers;
};

std::vector<ListedSpring> listed_springs(const TakeOffRequest& request) {
    std::map<std::string, ListedSpring> by_model;
    for (const Offer& offer : request.offers) {
        if (offer.catalog_class != "spring" || !by_count(offer)) continue;
        const Json& a = offer.attributes;
        GasSpring spring;
        spring.name = text(a, "model", offer.sku);
        spring.force = number(a, "force", 0);
        spring.progression = number(a, "progression", 1);
        spring.stroke = number(a, "stroke", 0);
        spring.extended_length = number(a, "extended_length", 0);
        spring.closed_length = number(a, "closed_length", 0);
        spring.friction = number(a, "friction", 0);
        auto [place, added] = by_model.try_emplace(spring.name, ListedSpring{spring, {}});
        place->second.offers.push_back(&offer);
    }
    std::vector<ListedSpring> list;
    for (auto& [model, spring] : by_model) list.push_back(std::move(spring));
    // Weak before strong, so that equals are settled the same way whatever the models are called.
    std::stable_sort(list.begin(), list.end(), [](const ListedSpring& a, const ListedSpring& b) {
        return a.spring.force < b.spring.force;
    });
    return list;
}

// ---------------------------------------------------------------- demands and steps

void add_plan(const Line& line, const Lift& fitted, const SwingSet& set, const HandLimits& limits,
              bool within, const std::string& why, TakeOffReply& reply) {
    Demand demand;
    demand.id = line.id + ".swing";
    demand.title = "Swing of " + display_name(line);
    demand.shares = {{line.id, 1}};
    demand.plan_type = "lift";
    contract::Way way;
    way.id = "swing";
    way.title = why;
    contract::LiftPlan plan = lift_plan(fitted, set, limits);
    plan.line = line.id;
    plan.title = display_name(line);
    plan.within_limits = within;
    plan.why = why;
    way.plans.lifts.push_back(std::move(plan));
    demand.ways.push_back(std::move(way));
    reply.demands.push_back(std::move(demand));
}

/// The springs to buy; without an offer when none is chosen.
void add_springs(const Line& line, const LiftLine& read, const SpringChoice* choice,
                 const std::vector<ListedSpring>& listed, TakeOffReply& reply) {
    Demand demand;
    demand.id = line.id;
    demand.title = "Gas springs for " + display_name(line);
    demand.shares = {{line.id, 1}};
    demand.amount.emplace();
    int count = read.counts.front();
    if (choice != nullptr && choice->chosen) {
        const SpringOffer& chosen = choice->offers[*choice->chosen];
        count = chosen.count;
        demand.title = "Gas spring " + chosen.spring.name;
        for (const ListedSpring& spring : listed) {
            if (spring.spring.name != chosen.spring.name) continue;
            for (const Offer* offer : spring.offers)
                demand.amount->offers.push_back(
                    {offer->id, offer->pack, 0,
                     round_to(number(offer->attributes, "mass", 0) * offer->pack, 4)});
        }
    }
    demand.amount->quantity = static_cast<double>(count) * static_cast<double>(line.count);
    const std::string weighing = steps_of_lift(line, read.kit).weighing;
    if (std::any_of(reply.steps.begin(), reply.steps.end(),
                    [&](const contract::Step& step) { return step.id == weighing; }))
        demand.order_after = weighing;
    reply.quantities.push_back(
        {line.id + ".needed", demand.title, demand.amount->quantity, "", {line.id}});
    reply.workings.push_back({line.id + ".needed",
                              demand.title,
                              "springs of one x count",
                              {{"springs of one", std::to_string(count), line.id + ".springs"},
                               {"count", std::to_string(line.count), line.id + ".count"}},
                              format_trimmed(demand.amount->quantity, 0),
                              "the choice of springs"});
    reply.demands.push_back(std::move(demand));
}

/// The finished panel is weighed before its springs are ordered: one end at a time on a scale, so
/// that half of it is lifted.
void weigh(const Line& line, const LiftLine& read, const TakeOffRequest& request,
           TakeOffReply& reply) {
    contract::Step step;
    step.id = steps_of_lift(line, read.kit).weighing;
    if (step.id.empty()) return;
    AssemblyStep lift_an_end;
    lift_an_end.lifted_mass = round_to(read.panel_mass / 2, 1);
    step.title =
        fmt::format("Weigh the finished panel of {}, one end after the other", display_name(line));
    step.lines = {line.id};
    step.phase = contract::Phase::fit;
    step.operation = "weigh";
    step.minutes = number(request.settings.module, "minutes_to_weigh", 10);
    step.people = people_for(lift_an_end, alone_in(request.settings));
    reply.steps.push_back(std::move(step));
}

void add_steps(const Line& line, const LiftLine& read, const TakeOffRequest& request, bool springs,
               TakeOffReply& reply) {
    const Alone alone = alone_in(request.settings);
    AssemblyStep hang;
    hang.id = "hang_" + line.id;
    hang.title = "hang the panel of " + display_name(line);
    hang.lifted_mass = round_to(read.panel_mass, 1);
    add_sizes(line, "moving", hang);
    for (contract::Finding finding : lifting_findings({hang}, alone)) {
        finding.step = steps_of_lift(line, read.kit).hanging;
        reply.findings.push_back(about(line, std::move(finding)));
    }
    contract::Step step;
    // With a kit its maker's order holds; its step that loads springs does not know which they are.
    if (read.kit && !read.kit->steps.empty()) {
        if (!springs) return;
        step.id = "springs_at_hand_" + line.id;
        step.title = fmt::format("Have the springs of {} at hand", display_name(line));
        step.lines = {line.id};
        step.phase = contract::Phase::hang;
        step.needs = {line.id};
        reply.steps.push_back(std::move(step));
        return;
    }
    step.id = hang.id;
    step.title = fmt::format("Hang the panel of {} and prop it", display_name(line));
    step.lines = {line.id};
    step.phase = contract::Phase::hang;
    step.operation = "hang";
    step.minutes = number(request.settings.module, "minutes_to_hang", 45);
    step.people = people_for(hang, alone);
    reply.steps.push_back(step);
    if (!springs) return;
    // Its frame is fixed and the panel hangs.
    step.id = "springs_" + line.id;
    step.title =
        fmt::format("Fit the springs of {} with the panel propped open", display_name(line));
    step.phase = contract::Phase::load;
    step.operation = "springs";
    step.minutes = number(request.settings.module, "minutes_to_fit_springs", 30);
    step.people = 1;
    step.needs = {line.id};
    reply.steps.push_back(std::move(step));
}

void check_kit_mass(const Line& line, const LiftLine& read, TakeOffReply& reply) {
    if (!read.kit) return;
    Kit only_mass = read.kit->kit;
    only_mass.fit = {};
    only_mass.fit.moving_mass = read.kit->kit.fit.moving_mass;
    KitDuty duty;
    double mass = 0;
    for (const Mass& moving : read.lift.masses)
        if (moving.load != Load::bedding) mass += moving.mass;
    duty.moving_mass = round_to(mass, mass_decimals);
    for (const contract::Finding& finding : kit_fits(only_mass, duty))
        reply.findings.push_back(about(line, finding));
}

// ---------------------------------------------------------------- the line

/// A lift without gas springs to choose: coils, a counterweight, or nothing.
void judge_given(const Line& line, const LiftLine& read, const TakeOffRequest& request,
                 TakeOffReply& reply) {
    const HandLimits limits = limits_of(request.settings);
    const auto scenarios = usual_scenarios(read.lift, assumptions_of(request.settings));
    const SwingSet set = swing_set(read.lift, scenarios, limits);
    // Each way of being outside once, by the first scenario that shows it.
    std::set<std::string> told;
    for (std::size_t i = 0; i < set.swings.size(); ++i) {
        if (!set.swings[i].scenario.judged) continue;
        for (const Breach& breach : set.verdicts[i].breaches)
            if (told.insert(breach.code).second)
                reply.findings.push_back(about(
                    line,
                    {Severity::problem, "lift-outside-limits", "",
                     breach.sentence + "; change its coils or counterweight, or add springs"}));
    }
    const bool within = told.empty();
    const std::string why = within ? "keeps its limits without gas springs"
                                   : "does not keep its limits without gas springs";
    add_figures(line, set, reply);
    tell_rests(line, set, reply);
    reply.workings.push_back(hand_force_table(line, set, why));
    add_plan(line, read.lift, set, limits, within, why, reply);
    add_steps(line, read, request, false, reply);
}

void choose(const Line& line, const LiftLine& read, const TakeOffRequest& request,
            const std::vector<ListedSpring>& listed, TakeOffReply& reply) {
    const HandLimits limits = limits_of(request.settings);
    const Assumptions assumptions = assumptions_of(request.settings);
    const auto scenarios = usual_scenarios(read.lift, assumptions);
    std::vector<GasSpring> springs;
    for (const ListedSpring& spring : listed) springs.push_back(spring.spring);
    const SpringChoice choice =
        choose_springs(read.lift, springs, read.mountings, read.counts, scenarios, limits);
    for (const contract::Finding& finding : choice.findings)
        // Said once for the module, with the other cautions.
        if (finding.code != "weigh-before-ordering") reply.findings.push_back(about(line, finding));
    if (choice.chosen)
        reply.findings.push_back(about(line, {Severity::note, "springs-chosen", "", choice.why}));
    reply.findings.push_back(
        about(line, {Severity::note, "lift-assumptions", "", stated(assumptions)}));
    reply.workings.push_back(choice_working(line, choice, assumptions, limits));
    add_springs(line, read, &choice, listed, reply);
    add_steps(line, read, request, true, reply);
    const auto shown = choice.chosen ? choice.chosen : choice.nearest;
    if (!shown) return;
    const SpringOffer& offer = choice.offers[*shown];
    Lift fitted = read.lift;
    fitted.springs.push_back({offer.spring, offer.mounting, offer.count, false});
    const SwingSet set = swing_set(fitted, scenarios, limits);
    const std::string made =
        fmt::format("{} x {} at '{}'{}", offer.count, offer.spring.name, offer.mounting.name,
                    choice.chosen ? "" : ", the nearest; it does not suit");
    add_figures(line, set, reply);
    tell_rests(line, set, reply);
    reply.workings.push_back(hand_force_table(line, set, made));
    add_plan(line, fitted, set, limits, choice.chosen.has_value(), choice.why, reply);
}

void take_off_lift(const Line& line, const TakeOffRequest& request, TakeOffReply& reply) {
    LiftLine read;
    const std::size_t before = reply.demands.size();
    const bool known = guarded(line, reply.findings, [&] {
        read = read_lift(line, request.tables);
        // What moves without place or mass has been told of in derive; figures without it would
        // mislead.
        if (!read.moving.findings.empty()) return;
        reply.quantities.push_back({line.id + ".moving_mass",
                                    "What moves with " + display_name(line),
                                    round_to(read.moving.mass, mass_decimals),
                                    "kg",
                                    {line.id}});
        read.lift.stroke_reserve = number(request.settings.module, "stroke_reserve", 5);
        check_kit_mass(line, read, reply);
        check_lift(line, read, reply);
        if (read.counts == std::vector<int>{0}) {
            judge_given(line, read, request, reply);
            return;
        }
        weigh(line, read, request, reply);
        const std::vector<ListedSpring> listed = listed_springs(request);
        if (read.mountings.empty())
            fail("lift-without-mountings", {}, "nothing says where its springs may sit",
                 "give mountings, or name the kit that has them");
        if (listed.empty())
            fail("spring-not-offered", {},
                 text(line, "spring_model", "").empty()
                     ? "nobody offers gas springs"
                     : fmt::format("nobody offers the gas spring '{}'", text(line, "spring_model")),
                 "add springs to a price list, or state torques and no springs");
        choose(line, read, request, listed, reply);
    });
    if (known && !read.moving.findings.empty())
        reply.findings.push_back(
            about(line, {Severity::problem, "lift-not-chosen", "",
                         "no springs are chosen before mass and place of everything that moves "
                         "are known"}));
    // What could not be reckoned is shown as not bought.
    if (reply.demands.size() == before) {
        if (read.counts.empty()) read.counts = {2};
        add_springs(line, read, nullptr, {}, reply);
    }
}

} // namespace

void take_off_lifts(const TakeOffRequest& request, TakeOffReply& reply) {
    for (const Line& line : request.lines) take_off_lift(line, request, reply);
}

} // namespace aumbry::hardware_kits
