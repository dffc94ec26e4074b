#include "hardware_kits/module/lift_line.hpp"

#include "aumbry/plugin.hpp"
#include "hardware_kits/engine/assembly.hpp"
#include "hardware_kits/engine/decimals.hpp"
#include "hardware_kits/engine/lifts/lift_choice.hpp"
#include "hardware_kits/module/kit_line.hpp"
#include "hardware_kits/module/lift_plan.hpp"
#include "hardware_kits/module/messages.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
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

std::optional<double> stated(const Json& record, const char* key) {
    const auto found = record.find(key);
    return found != record.end() && found->is_number() ? std::optional(found->get<double>())
                                                       : std::nullopt;
}

std::vector<MovingPart> moving_parts(const Line& line) {
    std::vector<MovingPart> parts;
    for (const Json& record : records(line, "moving")) {
        MovingPart part;
        part.line = text(record, "line");
        const Line* moved = reference(line, part.line);
        if (moved != nullptr) {
            if (moved->kind == "mattress") part.load = Load::mattress;
            const double one = number(*moved, "derived.mass", 0);
            if (one > 0) part.mass = one * static_cast<double>(moved->count);
        }
        if (const auto given = stated(record, "mass"); given && *given > 0) part.mass = given;
        const std::string load = text(record, "load");
        if (!load.empty())
            part.load = load == "mattress"  ? Load::mattress
                        : load == "bedding" ? Load::bedding
                                            : Load::panel;
        part.along = stated(record, "from_hinge");
        part.across = stated(record, "across");
        parts.push_back(std::move(part));
    }
    if (const double bedding = number(line, "bedding_mass", 0); bedding > 0) {
        const Json* along = find_value(line, "bedding_from_hinge");
        MovingPart part{"bedding", Load::bedding, bedding, std::nullopt,
                        number(line, "bedding_across", 0)};
        if (along != nullptr && along->is_number()) part.along = along->get<double>();
        parts.push_back(std::move(part));
    }
    return parts;
}

/// A weighed panel takes the place of what was reckoned for all but mattress and bedding.
void put_weighed(const Line& line, std::vector<MovingPart>& parts) {
    const double weighed = number(line, "weighed_mass", 0);
    if (weighed <= 0) return;
    const MovingMasses reckoned = [&] {
        std::vector<MovingPart> panel;
        std::copy_if(parts.begin(), parts.end(), std::back_inserter(panel),
                     [](const MovingPart& part) { return part.load == Load::panel; });
        return gather(panel);
    }();
    std::erase_if(parts, [](const MovingPart& part) { return part.load == Load::panel; });
    MovingPart panel{"panel as weighed", Load::panel, weighed, std::nullopt, reckoned.across};
    if (const Json* along = find_value(line, "weighed_from_hinge"); along != nullptr)
        panel.along = along->get<double>();
    else if (reckoned.mass > 0 && reckoned.findings.empty())
        panel.along = reckoned.along;
    parts.insert(parts.begin(), std::move(panel));
}

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

std::string newtons(double n) {
    return format_trimmed(n, 0) + " N";
}

// ---------------------------------------------------------------- workings

void tell_masses(const Line& line, const LiftLine& read, const std::string& unit,
                 std::vector<Working>& workings) {
    Working working{line.id + ".moving_mass",
                    "What moves with " + display_name(line),
                    "sum of the masses of its moving lines; common centre by moments",
                    {},
                    "",
                    "masses derived from the lines, places as the project states them"};
    for (const Mass& mass : read.lift.masses)
        working.inputs.push_back(
            {mass.name,
             fmt::format("{} at {} from the hinge", mass_text(mass.mass),
                         length_text(mass.along, unit)),
             reference(line, mass.name) != nullptr ? mass.name + ".mass" : line.id});
    working.result = fmt::format("{} at {} from the hinge", mass_text(read.moving.mass),
                                 length_text(read.moving.along, unit));
    workings.push_back(std::move(working));
}

/// The hand's force every ten degrees, loaded and bare.
Working hand_force_table(const Line& line, const SwingSet& set, const std::string& made) {
    Working working;
    working.ref = line.id + ".hand_force";
    working.title = fmt::format("Force of the hand over the swing of {}", display_name(line));
    working.formula = "(torque of gravity + springs) / distance of the handle; negative: the hand "
                      "holds back";
    const std::vector<SwingSample>& loaded = set.swings[set.loaded].samples;
    const std::vector<SwingSample>& bare = set.swings[set.bare].samples;
    double told = -1e9;
    for (std::size_t i = 0; i < loaded.size(); ++i) {
        const bool last = i + 1 == loaded.size();
        if (!last && std::abs(loaded[i].angle - told) < 10 - 1e-6) continue;
        told = loaded[i].angle;
        std::string value = fmt::format("open {}, close {}", newtons(loaded[i].hand_to_open),
                                        newtons(loaded[i].hand_to_close));
        if (set.bare != set.loaded)
            value += fmt::format("; without mattress open {}, close {}",
                                 newtons(bare[i].hand_to_open), newtons(bare[i].hand_to_close));
        working.inputs.push_back({format_trimmed(loaded[i].angle, 1) + " deg", value, ""});
    }
    working.result = made;
    working.source = "statics of a hinged panel";
    return working;
}

Working choice_working(const Line& line, const SpringChoice& choice, const Assumptions& assumptions,
                       const HandLimits& limits) {
    constexpr std::size_t most_rows = 24;
    Working working;
    working.ref = line.id + ".springs";
    working.title = "Springs for " + display_name(line);
    working.formula = "every limit kept in every judged scenario; then the safest weaker end; then "
                      "the least force";
    working.inputs.push_back(
        {"limits",
         fmt::format("open {}, close {}, hold back {}, end hold {}", newtons(limits.open),
                     newtons(limits.close), newtons(limits.hold_back), newtons(limits.end_hold)),
         "settings.hardware_kits (assumed, for one adult)"});
    working.inputs.push_back({"assumptions", stated(assumptions), "settings.hardware_kits"});
    // Those that hold first, then those that come nearest.
    std::vector<const SpringOffer*> order;
    for (const SpringOffer& offer : choice.offers) order.push_back(&offer);
    std::stable_sort(order.begin(), order.end(), [](const SpringOffer* a, const SpringOffer* b) {
        if (a->fits != b->fits) return a->fits;
        if (a->mountable != b->mountable) return a->mountable;
        return a->fits ? a->safest_end > b->safest_end : a->excess < b->excess;
    });
    for (std::size_t i = 0; i < order.size() && i < most_rows; ++i) {
        const SpringOffer& offer = *order[i];
        working.inputs.push_back(
            {fmt::format("{} x {}, {}", offer.count, offer.spring.name, offer.mounting.name),
             offer.fits
                 ? fmt::format("within limits: weaker end {}, hardest {}",
                               newtons(std::min(offer.safest_end, 1e6)), newtons(offer.hardest))
                 : fmt::format("{}", fmt::join(offer.reasons, "; ")),
             ""});
    }
    if (order.size() > most_rows)
        working.inputs.push_back(
            {"further", fmt::format("{} were looked at too", order.size() - most_rows), ""});
    working.result = choice.why;
    working.source = "statics of a hinged panel; limits and assumptions as stated";
    return working;
}

void add_figures(const Line& line, const SwingSet& set, TakeOffReply& reply) {
    const auto figure = [&](const char* name, const char* title, double value, const char* rule) {
        const std::string ref = line.id + '.' + name;
        const double rounded = round_to(value, force_decimals);
        reply.quantities.push_back(
            {ref, fmt::format("{}: {}", display_name(line), title), rounded, "N", {line.id}});
        reply.workings.push_back({ref,
                                  title,
                                  rule,
                                  {{"over the swing", "see the table", line.id + ".hand_force"}},
                                  newtons(rounded),
                                  "statics of a hinged panel"});
    };
    const Verdict& loaded = set.verdicts[set.loaded];
    figure("hardest_open", "greatest force to open", loaded.hardest_open.force,
           "greatest over the swing, as stated");
    figure("hardest_close", "greatest force to close", loaded.hardest_close.force,
           "greatest over the swing, as stated");
    figure("start_hold", "force that leaves the closed end", loaded.start_hold, "at the start");
    figure("end_hold", "force that leaves the open end", loaded.end_hold, "at the end");
    if (set.bare == set.loaded) return;
    const Verdict& bare = set.verdicts[set.bare];
    figure("bare_open", "greatest force to open without mattress", bare.hardest_open.force,
           "greatest over the swing, without mattress and bedding");
    figure("bare_close", "greatest force to close without mattress", bare.hardest_close.force,
           "greatest over the swing, without mattress and bedding");
}

void tell_rests(const Line& line, const SwingSet& set, TakeOffReply& reply) {
    std::string where;
    for (const Rest& rest : set.swings[set.loaded].rests) {
        if (!where.empty()) where += ", ";
        where += rest.from == rest.to
                     ? fmt::format("at {} deg", format_trimmed(rest.from, 1))
                     : fmt::format("from {} to {} deg", format_trimmed(rest.from, 1),
                                   format_trimmed(rest.to, 1));
        if (!rest.steady) where += " (tips away at a touch)";
    }
    reply.findings.push_back(
        about(line, {Severity::note, "lift-rests", "",
                     where.empty() ? "let go between its ends, it does not stay anywhere by itself"
                                   : "let go between its ends, it stays " + where}));
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

void add_steps(const Line& line, const LiftLine& read, const TakeOffRequest& request, bool springs,
               TakeOffReply& reply) {
    const double one_person = number(request.settings.workshop, "heaviest_blank", one_person_lifts);
    AssemblyStep hang;
    hang.id = "hang_" + line.id;
    hang.title = "hang the panel of " + display_name(line);
    hang.lifted_mass = round_to(read.panel_mass, 1);
    for (const contract::Finding& finding : lifting_findings({hang}, one_person))
        reply.findings.push_back(about(line, finding));
    // With a kit its maker's order holds.
    if (read.kit && !read.kit->steps.empty()) return;
    contract::Step step;
    step.id = hang.id;
    step.title = fmt::format("Hang the panel of {} and prop it", display_name(line));
    step.lines = {line.id};
    step.phase = contract::Phase::install;
    step.minutes = number(request.settings.module, "minutes_to_hang", 45);
    step.people = people_for(hang, one_person);
    reply.steps.push_back(step);
    if (!springs) return;
    // Springs come last: everything of the piece is installed, so its frame is fixed.
    step.id = "springs_" + line.id;
    step.title =
        fmt::format("Fit the springs of {} with the panel propped open", display_name(line));
    step.phase = contract::Phase::complete;
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
        check_kit_mass(line, read, reply);
        if (read.counts == std::vector<int>{0}) {
            judge_given(line, read, request, reply);
            return;
        }
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

bool folds_up(double start, double end) {
    return std::abs(std::abs(start) - 90) < 20 && std::abs(end) < 20;
}

HandLimits limits_of(const contract::Settings& settings) {
    const HandLimits usual;
    return {number(settings.module, "hand_open", usual.open),
            number(settings.module, "hand_close", usual.close),
            number(settings.module, "hold_back", usual.hold_back),
            number(settings.module, "end_hold", usual.end_hold)};
}

Assumptions assumptions_of(const contract::Settings& settings) {
    const Assumptions usual;
    return {number(settings.module, "rated_temperature", usual.rated_temperature),
            number(settings.module, "cold", usual.cold),
            number(settings.module, "warm", usual.warm),
            number(settings.module, "aged_force", usual.aged_force * 100) / 100,
            number(settings.module, "mass_range", usual.mass_range * 100) / 100};
}

LiftLine read_lift(const Line& line, const Json& tables) {
    LiftLine read;
    if (const Line* kit = reference(line, text(line, "kit", "")); kit != nullptr)
        read.kit = find_kit(tables, text(*kit, "model"));
    std::vector<MovingPart> parts = moving_parts(line);
    put_weighed(line, parts);
    read.moving = gather(parts);
    Lift& lift = read.lift;
    lift.start = number(line, "start_angle", 0);
    lift.end = number(line, "end_angle", 90);
    lift.masses = read.moving.masses;
    for (const Mass& mass : lift.masses)
        if (mass.load == Load::panel) read.panel_mass += mass.mass;
    lift.handle_along = number(line, "handle_from_hinge");
    lift.handle_across = number(line, "handle_across", 0);
    lift.hinge_friction = number(line, "hinge_friction", 0);
    lift.start_latched = flag(line, "start_latched");
    lift.end_latched = flag(line, "end_latched");
    for (const Json& record : records(line, "torques"))
        lift.torques.push_back({text(record, "name", "coil"), number(record, "at_start", 0),
                                number(record, "at_end", 0)});
    for (const Json& record : records(line, "mountings"))
        read.mountings.push_back({text(record, "name", "mounting"),
                                  {number(record, "fixed_x", 0), number(record, "fixed_y", 0)},
                                  number(record, "along", 0),
                                  number(record, "across", 0)});
    if (read.mountings.empty() && read.kit) read.mountings = read.kit->mountings;
    const int most = static_cast<int>(number(line, "most_springs", 2));
    const int fewest = static_cast<int>(number(line, "fewest_springs", std::min(most, 2)));
    if (fewest > most)
        fail("spring-counts", {},
             fmt::format("at least {} and at most {} springs are wanted", fewest, most),
             "exchange them");
    if (most == 0) read.counts = {0};
    for (int count = std::max(fewest, 1); count <= most; ++count) read.counts.push_back(count);
    return read;
}

bool kit_fixes_frame(const Line& lift, const Json& tables) {
    const Line* kit = reference(lift, text(lift, "kit", ""));
    const auto sheet = kit == nullptr ? std::nullopt : sheet_of(*kit, tables);
    return sheet && std::any_of(sheet->steps.begin(), sheet->steps.end(),
                                [](const KitStep& step) { return step.step.anchors_frame; });
}

void derive_lift(const Line& line, const contract::DeriveRequest& request,
                 contract::DeriveReply& reply) {
    guarded(line, reply.findings, [&] {
        const LiftLine read = read_lift(line, request.tables);
        for (const contract::Finding& finding : read.moving.findings)
            reply.findings.push_back(about(line, finding));
        if (!read.moving.findings.empty() || read.moving.masses.empty()) return;
        reply.lines.push_back(
            {line.id,
             {{"moving_mass", round_to(read.moving.mass, mass_decimals)},
              {"moving_centre", round_to(read.moving.along, length_decimals)},
              {"kit_fixes_frame", kit_fixes_frame(line, request.tables) ? 1.0 : 0.0},
              {"panel_mass", round_to(read.panel_mass, mass_decimals)}}});
        tell_masses(line, read, request.settings.length_unit, reply.workings);
    });
}

void take_off_lifts(const TakeOffRequest& request, TakeOffReply& reply) {
    for (const Line& line : request.lines) take_off_lift(line, request, reply);
}

} // namespace aumbry::hardware_kits
