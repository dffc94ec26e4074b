#include "hardware_kits/module/lift_checks.hpp"

#include "aumbry/plugin.hpp"
#include "hardware_kits/engine/lifts/swing_space.hpp"
#include "hardware_kits/module/messages.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <initializer_list>
#include <utility>

namespace aumbry::hardware_kits {

using contract::Line;
using contract::Severity;
using contract::TakeOffReply;

namespace {

constexpr const char* bedding_name = "the bedding";
constexpr double same_hole = 2; // mm: as near as a hole is drilled by hand

std::optional<double> stated_length(const Line& line, const char* field) {
    const Json* found = find_value(line, field);
    return found != nullptr && found->is_number() ? std::optional(found->get<double>())
                                                  : std::nullopt;
}

/// How far two holes on the frame lie apart; where brackets go on the panel the kit leaves open.
double apart(const Mounting& a, const Mounting& b) {
    return std::hypot(a.fixed.x - b.fixed.x, a.fixed.y - b.fixed.y);
}

/// Holes of a kit are where its plates have them.
void check_holes(const Line& line, const LiftLine& read, const std::string& step,
                 TakeOffReply& reply) {
    if (!read.kit || read.kit->mountings.empty()) return;
    std::string others;
    for (const Mounting& own : read.mountings) {
        const auto nearest = std::min_element(
            read.kit->mountings.begin(), read.kit->mountings.end(),
            [&](const Mounting& a, const Mounting& b) { return apart(own, a) < apart(own, b); });
        if (apart(own, *nearest) <= same_hole) continue;
        others += fmt::format("{}'{}' is {} mm from the kit's '{}'", others.empty() ? "" : ", ",
                              own.name, format_trimmed(apart(own, *nearest), 0), nearest->name);
    }
    if (others.empty()) return;
    contract::Finding finding{Severity::problem, "mounting-not-of-kit", "",
                              fmt::format("holes in the frame for its springs are not those of kit "
                                          "'{}': {}; take the kit's, or ask "
                                          "its maker whether others may be drilled",
                                          read.kit->kit.name, others)};
    finding.step = step;
    reply.findings.push_back(about(line, std::move(finding)));
}

/// Whether a name holds one of the words, whole or in the plural: "latch" is not in "thatched".
bool names_one_of(const std::string& name, std::initializer_list<const char*> words) {
    std::string word;
    for (std::size_t i = 0; i <= name.size(); ++i) {
        const auto c = static_cast<unsigned char>(i < name.size() ? name[i] : ' ');
        if (std::isalpha(c) != 0) {
            word += static_cast<char>(std::tolower(c));
            continue;
        }
        for (const char* wanted : words)
            if (word == wanted || word == std::string(wanted) + 's' ||
                word == std::string(wanted) + "es")
                return true;
        word.clear();
    }
    return false;
}

/// Whether the kit's box or a line that the lift names as holding it is one of these.
bool in_the_bill(const Line& line, const LiftLine& read, std::initializer_list<const char*> words) {
    if (read.kit)
        for (const KitItem& item : read.kit->kit.contents)
            if (names_one_of(item.item, words)) return true;
    const Json* held = find_value(line, "held_by");
    if (held == nullptr || !held->is_array()) return false;
    return std::any_of(held->begin(), held->end(), [&](const Json& id) {
        const Line* part = reference(line, id.get<std::string>());
        return part != nullptr && (names_one_of(display_name(*part), words) ||
                                   names_one_of(text(*part, "type", ""), words));
    });
}

void check_holding(const Line& line, const LiftLine& read, const std::string& step,
                   TakeOffReply& reply) {
    const auto ask = [&](Severity severity, const char* code, const char* sentence) {
        contract::Finding finding{severity, code, "", sentence};
        finding.step = step;
        reply.findings.push_back(about(line, std::move(finding)));
    };
    const bool catches = in_the_bill(line, read, {"latch", "catch", "lock", "bolt"});
    if (read.lift.start_latched && !catches)
        ask(Severity::problem, "latch-not-in-bill",
            "it is said to be held closed by a catch, but neither its kit nor a line named in "
            "'held_by' is one: add a latch to the bill and name it, or leave the catch out");
    if (read.lift.end_latched && !catches &&
        !in_the_bill(line, read, {"leg", "stay", "prop", "foot", "feet"}))
        ask(Severity::problem, "stay-not-in-bill",
            "it is said to be held open by a catch, stay or leg, but neither its kit nor a line "
            "named in 'held_by' is one: add it to the bill and name it");
    if (!folds_up(read.lift.start, read.lift.end)) return;
    if (!in_the_bill(line, read, {"leg", "foot", "feet"}))
        ask(Severity::warning, "lift-without-legs",
            "nothing in its bill carries the end of the panel when it is down: add legs and name "
            "them in 'held_by'");
    if (!in_the_bill(line, read, {"strap", "belt"}))
        ask(Severity::warning, "lift-without-strap",
            "nothing in its bill holds the mattress when the panel stands, and it falls out: add "
            "straps and name them in 'held_by'");
}

/// Mattress and bedding as boxes on the panel, and the end that the hand takes hold of.
std::vector<Body> bodies_of(const Line& line, const LiftLine& read) {
    std::vector<Body> bodies{{"the end of the panel", read.lift.handle_along,
                              read.lift.handle_along, read.lift.handle_across,
                              read.lift.handle_across}};
    for (const Json& record : records(line, "moving")) {
        const Line* moved = reference(line, text(record, "line"));
        if (moved == nullptr || moved->kind != "mattress") continue;
        const double thickness = number(*moved, "derived.thickness", 0);
        const double centre = number(record, "from_hinge", 0);
        const double length = number(*moved, "derived.length", 0);
        const double width = number(*moved, "derived.width", 0);
        if (thickness <= 0 || length <= 0) continue;
        // It lies with the side along the panel whose middle is where its centre is said to be.
        const double side =
            std::abs(centre - width / 2) < std::abs(centre - length / 2) ? width : length;
        const double across = number(record, "across", 0);
        Body mattress{"the mattress", centre - side / 2, centre + side / 2, across - thickness / 2,
                      across + thickness / 2};
        const double bedding = number(line, "bedding_across", 0);
        if (number(line, "bedding_mass", 0) > 0 && bedding > mattress.high)
            bodies.push_back({bedding_name, mattress.from, mattress.to, mattress.high,
                              2 * bedding - mattress.high});
        bodies.push_back(std::move(mattress));
    }
    return bodies;
}

void check_room(const Line& line, const LiftLine& read, const std::string& step,
                TakeOffReply& reply) {
    Surroundings round;
    round.wall_behind = stated_length(line, "wall_behind");
    round.rail_behind = stated_length(line, "rail_behind");
    round.rail_above = number(line, "rail_above", 0);
    round.ceiling_above = stated_length(line, "ceiling_above");
    for (const Collision& met :
         collisions(bodies_of(line, read), read.lift.start, read.lift.end, round)) {
        // Covers and pillows give way, or lie elsewhere by then.
        const bool soft = met.body == bedding_name;
        contract::Finding finding{
            soft ? Severity::caution : Severity::problem, "lift-collides", "",
            fmt::format("{} runs into {} from {} deg on, by {} mm at {} deg: {}", met.body,
                        met.with, format_trimmed(met.from, 1), format_trimmed(met.by, 0),
                        format_trimmed(met.worst, 1),
                        soft ? "take it off before the lift is opened, or make room"
                             : "move the hinge, stop the lift before, or make room")};
        finding.step = step;
        reply.findings.push_back(about(line, std::move(finding)));
    }
    if ((round.wall_behind || round.rail_behind) && round.ceiling_above) return;
    contract::Finding finding{
        Severity::caution, "swing-space-not-checked", "",
        fmt::format("nothing says how far {} from the hinge: give it, so that mattress, bedding "
                    "and panel are looked at on their way",
                    round.ceiling_above                      ? "the wall behind is"
                    : round.wall_behind || round.rail_behind ? "the ceiling is"
                                                             : "wall and ceiling are")};
    finding.step = step;
    reply.findings.push_back(about(line, std::move(finding)));
}

} // namespace

LiftSteps steps_of_kit(const Line& kit, const KitSheet& sheet) {
    LiftSteps steps;
    for (const KitStep& step : sheet.steps) {
        if (step.lifts_panel) steps.hanging = kit.id + '_' + step.step.id;
        if (step.step.loads_springs) steps.springs = kit.id + '_' + step.step.id;
    }
    return steps;
}

LiftSteps steps_of_lift(const Line& lift, const std::optional<KitSheet>& sheet) {
    const Line* kit = reference(lift, text(lift, "kit", ""));
    LiftSteps steps;
    if (kit != nullptr && sheet && !sheet->steps.empty())
        steps = steps_of_kit(*kit, *sheet);
    else
        steps = {"", "hang_" + lift.id,
                 number(lift, "most_springs", 2) > 0 ? "springs_" + lift.id : ""};
    if (steps.springs.empty()) steps.springs = steps.hanging;
    const bool chosen = number(lift, "most_springs", 2) > 0;
    if (chosen && number(lift, "weighed_mass", 0) <= 0) steps.weighing = "weigh_" + lift.id;
    return steps;
}

void check_lift(const Line& line, const LiftLine& read, TakeOffReply& reply) {
    const LiftSteps steps = steps_of_lift(line, read.kit);
    check_holes(line, read, steps.springs, reply);
    check_holding(line, read, steps.hanging, reply);
    check_room(line, read, steps.hanging, reply);
}

} // namespace aumbry::hardware_kits
