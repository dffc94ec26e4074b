#include "hardware_kits/module/lift_line.hpp"

#include "aumbry/plugin.hpp"
#include "hardware_kits/engine/assembly.hpp"
#include "hardware_kits/engine/decimals.hpp"
#include "hardware_kits/engine/lifts/lift_choice.hpp"
#include "hardware_kits/module/kit_line.hpp"
#include "hardware_kits/module/lift_workings.hpp"
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
        for (const Json& record : records(line, "moving"))
            if (const Line* moved = reference(line, text(record, "line")); moved != nullptr)
                warn_of_seam(line, *moved, reply.findings);
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

} // namespace aumbry::hardware_kits
