#include "hardware_kits/module/fixing_line.hpp"

#include "aumbry/plugin.hpp"
#include "hardware_kits/engine/assembly.hpp"
#include "hardware_kits/engine/decimals.hpp"
#include "hardware_kits/engine/fixings/anchors.hpp"
#include "hardware_kits/engine/fixings/walls.hpp"
#include "hardware_kits/engine/lifts/lift.hpp"
#include "hardware_kits/module/lift_line.hpp"
#include "hardware_kits/module/messages.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace aumbry::hardware_kits {

using contract::Demand;
using contract::Line;
using contract::Severity;
using contract::TakeOffReply;
using contract::TakeOffRequest;
using contract::Working;

namespace {

std::int64_t screws_of(const Line& line) {
    std::int64_t screws = 0;
    for (const Json& row : records(line, "rows"))
        screws += static_cast<std::int64_t>(number(row, "count", 0));
    return screws;
}

Wall wall_of(const Line& line, const TakeOffRequest& request) {
    return wall_named(text(line, "wall", text(request.settings.workshop, "wall", "unknown")));
}

/// What sits in the wall round each fixing; empty: nothing.
std::string anchor_of(const Line& line, const TakeOffRequest& request) {
    const std::string type = text(line, "type", "");
    const std::string stated =
        text(line, "anchor", type.empty() ? "" : anchor_for(wall_of(line, request), type));
    return stated == "none" ? "" : stated;
}

/// Where a child may pull at the piece, mm.
double height_of(const Line& line) {
    double highest = 0;
    for (const Json& row : records(line, "rows"))
        highest = std::max(highest, number(row, "height", 0));
    return number(line, "height", highest);
}

double frame_mass(const Line& line) {
    if (const double stated = number(line, "frame_mass", 0); stated > 0) return stated;
    double mass = 0;
    if (const Json* held = find_value(line, "held"); held != nullptr && held->is_array())
        for (const Json& id : *held)
            if (const Line* part = reference(line, id.get<std::string>()); part != nullptr)
                mass += number(*part, "derived.mass", 0) * static_cast<double>(part->count);
    return round_to(mass, mass_decimals);
}

AnchoredFrame frame_of(const Line& line) {
    AnchoredFrame frame;
    frame.name = display_name(line);
    frame.on_floor = text(line, "stands", "floor") == "floor";
    const double depth = number(line, "depth", 0);
    frame.turning_edge = frame.on_floor ? depth : 0;
    frame.mass = frame_mass(line);
    frame.mass_distance = number(line, "mass_from_wall", depth / 2);
    for (const Json& row : records(line, "rows"))
        frame.rows.push_back({number(row, "height", 0), static_cast<int>(number(row, "count", 0))});
    return frame;
}

std::vector<AnchorCase> cases_of(const Line& line, const TakeOffRequest& request) {
    std::vector<AnchorCase> cases;
    if (const Line* lift = reference(line, text(line, "lift", "")); lift != nullptr) {
        if (find_value(*lift, "derived.moving_mass") == nullptr)
            fail("fixing-lift-unknown", {},
                 fmt::format("what moves with '{}' is not known, so the pull on the wall is not "
                             "either",
                             display_name(*lift)),
                 "give mass and place of everything that moves");
        const double hinge = number(line, "hinge_from_wall", 0);
        const double mass = number(*lift, "derived.moving_mass");
        const double centre = hinge + number(*lift, "derived.moving_centre", 0);
        const double handle = hinge + number(*lift, "handle_from_hinge", 0);
        cases.push_back(
            pulled_down(mass, centre, number(request.settings.module, "pull_down", 200), handle));
        if (folds_up(number(*lift, "start_angle", 0), number(*lift, "end_angle", 90)))
            cases.push_back(sitting_on_end(mass, centre,
                                           number(request.settings.module, "person", 100), handle));
    }
    cases.push_back(climbed_on(number(line, "depth", 0), height_of(line),
                               text(line, "stands", "floor") == "floor"));
    if (const double load = number(line, "load", 0); load > 0)
        cases.push_back(
            {"as loaded",
             {{"load", load * standard_gravity,
               number(line, "load_from_wall", number(line, "depth", 0) / 2), 0, 0, 1}}});
    return cases;
}

void tell_forces(const Line& line, const TakeOffRequest& request, TakeOffReply& reply) {
    guarded(line, reply.findings, [&] {
        const AnchoredFrame frame = frame_of(line);
        std::vector<AnchorForce> forces;
        for (const AnchorCase& load_case : cases_of(line, request))
            forces.push_back(anchor_force(frame, load_case));
        for (contract::Finding finding : anchor_findings(frame, forces)) {
            finding.line = line.id;
            if (!finding.text.ends_with('.')) finding.text += '.';
            reply.findings.push_back(std::move(finding));
        }
        const auto worst = std::max_element(forces.begin(), forces.end(),
                                            [](const AnchorForce& a, const AnchorForce& b) {
                                                return a.greatest_pull < b.greatest_pull;
                                            });
        const std::string& unit = request.settings.length_unit;
        Working working{line.id + ".pull",
                        "Pull on the screw pulled hardest",
                        "moment x height / sum of (screws x height2), plus what pulls straight out",
                        {},
                        fmt::format("{} N", format_trimmed(worst->greatest_pull, 0)),
                        "statics of a rigid frame about its front edge; sitting down counts twice "
                        "(from memory); a child of 27.2 kg as tests of tipping take it (ASTM "
                        "F2057-23)"};
        for (const AnchorForce& force : forces)
            working.inputs.push_back({force.name,
                                      fmt::format("moment {} N·m, {} N of pull on one, {} N on all",
                                                  format_trimmed(force.moment, 1),
                                                  format_trimmed(force.greatest_pull, 0),
                                                  format_trimmed(force.pull_total, 0)),
                                      ""});
        working.inputs.push_back({"mass of the frame", mass_text(frame.mass), line.id});
        working.inputs.push_back({"front edge from the wall", length_text(frame.turning_edge, unit),
                                  line.id + ".depth"});
        working.inputs.push_back({"screws", std::to_string(screws_of(line)), line.id + ".rows"});
        if (frame.on_floor)
            working.inputs.push_back(
                {"height at which a child pulls",
                 length_text(std::min(height_of(line), child_pull_height), unit),
                 find_value(line, "height") != nullptr
                     ? line.id + ".height"
                     : "the highest row, as no height is stated"});
        reply.workings.push_back(std::move(working));
        reply.quantities.push_back({line.id + ".pull",
                                    display_name(line) + ": pull on the screw pulled hardest",
                                    worst->greatest_pull,
                                    "N",
                                    {line.id}});
        if (!frame.on_floor) {
            reply.quantities.push_back({line.id + ".shear",
                                        display_name(line) + ": shear on each screw",
                                        worst->shear,
                                        "N",
                                        {line.id}});
            reply.workings.push_back({line.id + ".shear",
                                      "Shear on each screw",
                                      "all weight / screws",
                                      {},
                                      fmt::format("{} N", format_trimmed(worst->shear, 0)),
                                      "hung on the wall, the screws carry the weight"});
        }
        const double gravity = number(line, "specific_gravity", 0);
        const double diameter = number(line, "diameter", 0);
        if (gravity > 0 && diameter > 0) {
            const double thread = thread_needed(worst->greatest_pull, gravity, diameter);
            reply.quantities.push_back({line.id + ".thread",
                                        display_name(line) + ": thread needed in the wood",
                                        thread,
                                        "mm",
                                        {line.id}});
            reply.workings.push_back(
                {line.id + ".thread",
                 "Thread needed in the wood",
                 "pull / (2850 G2 D lb a inch)",
                 {{"pull", fmt::format("{} N", format_trimmed(worst->greatest_pull, 0)),
                   line.id + ".pull"},
                  {"specific gravity", format_trimmed(gravity, 3), line.id + ".specific_gravity"},
                  {"diameter", length_text(diameter, unit), line.id + ".diameter"}},
                 length_text(thread, unit),
                 "allowable withdrawal of wood screws from side grain, published rule"});
        }
    });
}

std::string title_of(const Line& line, const std::string& unit) {
    std::string title = text(line, "type", "");
    if (title.empty()) return "Fixings of " + display_name(line);
    if (const double d = number(line, "diameter", 0); d > 0) title += ' ' + length_text(d, unit);
    if (const double l = number(line, "length", 0); l > 0) title += " x " + length_text(l, unit);
    return title;
}

/// One plug or anchor for each fixing. The id of the demand.
std::string add_anchors(const Line& line, const TakeOffRequest& request, const std::string& anchor,
                        TakeOffReply& reply) {
    Demand demand;
    demand.id = line.id + ".anchors";
    demand.title = anchor;
    const double diameter = number(line, "diameter", 0);
    if (diameter > 0) demand.title += " for " + length_text(diameter, request.settings.length_unit);
    demand.shares = {{line.id, 1}};
    demand.amount.emplace();
    demand.amount->quantity = static_cast<double>(screws_of(line) * line.count);
    for (const contract::Offer& offer : request.offers)
        if (offer.catalog_class == "fastener" && by_count(offer) &&
            text(offer.attributes, "type") == anchor &&
            (diameter <= 0 || number(offer.attributes, "diameter", diameter) == diameter))
            demand.amount->offers.push_back({offer.id, offer.pack, 0, 0});
    if (demand.amount->offers.empty())
        reply.findings.push_back(
            about(line, {Severity::problem, "anchor-not-offered", "",
                         fmt::format("nobody offers '{}', of which its wall asks for {}: add it to "
                                     "a price list, choose a fixing that holds there by itself, or "
                                     "say another in 'anchor'",
                                     demand.title, format_trimmed(demand.amount->quantity, 0))}));
    reply.quantities.push_back({demand.id,
                                display_name(line) + ": " + demand.title,
                                demand.amount->quantity,
                                "",
                                {line.id}});
    reply.workings.push_back({demand.id,
                              demand.title,
                              "one a fixing",
                              {{"fixings", std::to_string(screws_of(line)), line.id + ".rows"}},
                              format_trimmed(demand.amount->quantity, 0),
                              "common practice: a screw holds in masonry by its plug alone"});
    std::string id = demand.id;
    reply.demands.push_back(std::move(demand));
    return id;
}

void add_step(const Line& line, const TakeOffRequest& request, const std::string& demand,
              TakeOffReply& reply) {
    AssemblyStep fix;
    fix.id = "fix_" + line.id;
    fix.title = fmt::format("{}: fix to the building", display_name(line));
    // What hangs is held up while it is fixed; what stands has been carried in and set up before.
    if (text(line, "stands", "floor") == "wall") {
        fix.lifted_mass = round_to(frame_mass(line), 1);
        add_sizes(line, "held", fix);
    }
    const Alone alone = alone_in(request.settings);
    for (const contract::Finding& finding : lifting_findings({fix}, alone))
        reply.findings.push_back(about(line, finding));
    const std::string anchor = anchor_of(line, request);
    for (const contract::Finding& finding :
         wall_findings(wall_of(line, request), display_name(line), anchor))
        reply.findings.push_back(about(line, finding));
    contract::Step step;
    step.id = fix.id;
    step.title = fmt::format("{}: find the structure and fix", display_name(line));
    step.lines = {line.id};
    step.phase = contract::Phase::install;
    step.operation = "fix";
    // Where the kit's maker has a step that fixes the frame, its time is that of this one.
    const Line* lift = reference(line, text(line, "lift", ""));
    if (lift == nullptr || number(*lift, "derived.kit_fixes_frame", 0) == 0)
        step.minutes = round_to(number(request.settings.module, "minutes_per_anchor", 8) *
                                    static_cast<double>(screws_of(line) * line.count),
                                4);
    step.people = people_for(fix, alone);
    step.needs = {demand};
    if (!anchor.empty()) step.needs.push_back(add_anchors(line, request, anchor, reply));
    reply.steps.push_back(std::move(step));
}

/// Offers of plugs and anchors come with those of the fixing.
bool is_its_fixing(const contract::Offer& offer, const Line& line) {
    const auto same = [&](const char* name) {
        const Json* stated = find_value(line, name);
        return stated == nullptr || offer.attributes.value(name, Json()) == *stated;
    };
    return same("type") && same("diameter") && same("length") && same("product");
}

} // namespace

void derive_fixing(const Line& line, contract::DeriveReply& reply) {
    // What is held for a lift carries its pivots and the other ends of its springs.
    const Line* lift = reference(line, text(line, "lift", ""));
    const Json* held = find_value(line, "held");
    if (lift != nullptr && held != nullptr && held->is_array()) {
        for (const Json& id : *held)
            if (const Line* part = reference(line, id.get<std::string>()); part != nullptr)
                warn_of_seam(*lift, *part, reply.findings);
    }
    reply.lines.push_back(
        {line.id,
         {{"screws", static_cast<double>(screws_of(line))}, {"frame_mass", frame_mass(line)}}});
}

void take_off_fixings(const TakeOffRequest& request, TakeOffReply& reply) {
    const Line& first = request.lines.front();
    Demand demand;
    demand.id = first.id;
    demand.title = title_of(first, request.settings.length_unit);
    demand.amount.emplace();
    contract::QuantityRow row{first.id + ".needed", demand.title, 0, "", {}};
    for (const Line& line : request.lines) {
        const double screws = static_cast<double>(screws_of(line) * line.count);
        demand.amount->quantity += screws;
        demand.shares.push_back({line.id, screws});
        row.lines.push_back(line.id);
        const std::size_t before = reply.findings.size();
        tell_forces(line, request, reply);
        add_step(line, request, demand.id, reply);
        // All of it matters when the piece is fixed.
        for (std::size_t i = before; i < reply.findings.size(); ++i)
            reply.findings[i].step = "fix_" + line.id;
        if (text(line, "type", "").empty())
            reply.findings.push_back(
                about(line, {Severity::problem, "fixing-not-specified", "",
                             "it does not say what fixings to buy: give their type, diameter and "
                             "length once the wall is known"}));
    }
    row.value = demand.amount->quantity;
    reply.workings.push_back({row.ref,
                              demand.title,
                              "sum of its rows x count",
                              {},
                              format_trimmed(row.value, 0),
                              "what the lines state"});
    if (!text(first, "type", "").empty()) {
        for (const contract::Offer& offer : request.offers)
            if (offer.catalog_class == "fastener" && by_count(offer) && is_its_fixing(offer, first))
                demand.amount->offers.push_back({offer.id, offer.pack, 0, 0});
        if (demand.amount->offers.empty())
            reply.findings.push_back(
                about(first, {Severity::problem, "fixing-not-offered", "",
                              fmt::format("nobody offers '{}', so it is not priced: add it to a "
                                          "price list or choose another",
                                          demand.title)}));
    }
    reply.quantities.push_back(std::move(row));
    reply.demands.push_back(std::move(demand));
}

} // namespace aumbry::hardware_kits
