#include "hardware_kits/engine/fixings/anchors.hpp"

#include "aumbry/fault.hpp"
#include "hardware_kits/engine/cautions.hpp"
#include "hardware_kits/engine/decimals.hpp"
#include "hardware_kits/engine/lifts/lift.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace aumbry::hardware_kits {
namespace {

constexpr int fewest_screws = 4;                // common practice for a fold-up frame
constexpr double inch = 25.4;                   // mm, exact
constexpr double pound_force = 4.4482216152605; // N, exact: 0.45359237 kg at standard gravity

void check(const AnchoredFrame& frame, const AnchorCase& load_case) {
    if (!(frame.mass >= 0) || !(frame.turning_edge >= 0) || !(frame.mass_distance >= 0))
        fail("frame-figures", {},
             fmt::format("mass or distances of frame '{}' are negative", frame.name),
             "give 0 or more");
    double lever = 0;
    for (const ScrewRow& row : frame.rows) {
        if (row.count < 1 || !(row.height > 0))
            fail("screw-row", {},
                 fmt::format("frame '{}' has a row of {} screws at {:g} mm", frame.name, row.count,
                             row.height),
                 "give each row at least one screw, above the edge the frame turns about");
        lever += row.count * row.height * row.height;
    }
    if (!(lever > 0))
        fail("no-anchors", {}, fmt::format("frame '{}' has no screws to the wall", frame.name),
             "give at least one row with its height");
    for (const AnchorLoad& load : load_case.loads) {
        if (!std::isfinite(load.down) || !std::isfinite(load.distance) ||
            !std::isfinite(load.out) || !std::isfinite(load.height))
            fail("anchor-load", {}, fmt::format("a figure of load '{}' is not a number", load.name),
                 "give finite figures");
        if (!(load.sudden >= 1))
            fail("sudden-factor", {},
                 fmt::format("load '{}' has a factor of {:g}", load.name, load.sudden),
                 "give 1 for a resting load, 2 for a sudden one");
    }
}

AnchorLoad weight(const char* name, double mass, double distance) {
    if (!(mass >= 0))
        fail("mass-not-positive", {}, fmt::format("'{}' has a mass of {:g} kg", name, mass),
             "give 0 kg or more");
    return {name, mass * standard_gravity, distance, 0, 0, 1};
}

} // namespace

AnchorCase pulled_down(double panel_mass, double panel_distance, double hand_force,
                       double handle_distance) {
    return {"loaded panel pulled down",
            {weight("panel", panel_mass, panel_distance),
             {"hand", hand_force, handle_distance, 0, 0, 1}}};
}

AnchorCase sitting_on_end(double panel_mass, double panel_distance, double person_mass,
                          double end_distance) {
    AnchorLoad person = weight("person", person_mass, end_distance);
    person.sudden = 2;
    return {"someone sits down on the end", {weight("panel", panel_mass, panel_distance), person}};
}

AnchorCase climbed_on(double depth, double height, bool on_floor) {
    if (!on_floor) return {"a child hangs from its front", {weight("child", child_mass, depth)}};
    return {"a child climbs on its front",
            {weight("child", child_mass, depth + child_in_front),
             {"hands", 0, depth, child_pull, std::min(height, child_pull_height), 1}}};
}

AnchorForce anchor_force(const AnchoredFrame& frame, const AnchorCase& load_case) {
    check(frame, load_case);
    constexpr double metres = 1e-3;
    double out_of_wall = 0;
    double held_back =
        frame.mass * standard_gravity * (frame.turning_edge - frame.mass_distance) * metres;
    double down = frame.mass * standard_gravity;
    double out = 0;
    for (const AnchorLoad& load : load_case.loads) {
        const double turn =
            (load.down * (load.distance - frame.turning_edge) + load.out * load.height) * metres;
        // A load behind the edge holds back, but only by its resting weight.
        if (turn > 0)
            out_of_wall += turn * load.sudden;
        else
            held_back -= turn;
        down += load.down * load.sudden;
        out += load.out * load.sudden;
    }
    double screws = 0;
    double lever = 0;
    for (const ScrewRow& row : frame.rows) {
        screws += row.count;
        lever += row.count * row.height * row.height * metres * metres;
    }
    AnchorForce force;
    force.name = load_case.name;
    const double moment = std::max(0.0, out_of_wall - held_back);
    force.moment = round_to(moment, torque_decimals);
    for (const ScrewRow& row : frame.rows) {
        // Hung on the wall, screws also carry what pulls straight out.
        const double straight = frame.on_floor ? 0.0 : std::max(0.0, out) / screws;
        const double pull = moment * row.height * metres / lever + straight;
        force.row_pull.push_back(round_to(pull, force_decimals));
        force.greatest_pull = std::max(force.greatest_pull, force.row_pull.back());
        force.pull_total += pull * row.count;
    }
    force.pull_total = round_to(force.pull_total, force_decimals);
    force.shear = frame.on_floor ? 0.0 : round_to(down / screws, force_decimals);
    return force;
}

double wood_screw_withdrawal(double specific_gravity, double diameter) {
    if (!(specific_gravity > 0 && specific_gravity <= 1.5))
        fail("specific-gravity", {},
             fmt::format("a wood of specific gravity {:g}", specific_gravity),
             "give one between 0 and 1.5, commonly 0.35 to 0.7");
    if (!(diameter > 0 && diameter <= 25))
        fail("screw-diameter", {}, fmt::format("a screw of {:g} mm diameter", diameter),
             "give one above 0 and up to 25 mm");
    const double pounds_an_inch = 2850.0 * specific_gravity * specific_gravity * diameter / inch;
    return round_to(pounds_an_inch * pound_force / inch, 3);
}

double thread_needed(double pull, double specific_gravity, double diameter) {
    return round_to(std::max(0.0, pull) / wood_screw_withdrawal(specific_gravity, diameter),
                    length_decimals);
}

std::vector<contract::Finding> anchor_findings(const AnchoredFrame& frame,
                                               const std::vector<AnchorForce>& forces) {
    std::vector<contract::Finding> findings;
    int screws = 0;
    for (const ScrewRow& row : frame.rows) screws += row.count;
    if (screws < fewest_screws)
        findings.push_back(
            {contract::Severity::warning, "few-anchors", "",
             fmt::format(
                 "'{}' has {} screws to the wall; at least {} into structure are common practice",
                 frame.name, screws, fewest_screws)});
    const auto worst = std::max_element(forces.begin(), forces.end(),
                                        [](const AnchorForce& a, const AnchorForce& b) {
                                            return a.greatest_pull < b.greatest_pull;
                                        });
    if (worst != forces.end() && (worst->greatest_pull > 0 || worst->shear > 0))
        findings.push_back(
            {caution("fix-to-structure").severity, "anchor-must-hold", "",
             fmt::format(
                 "'{}': each screw must hold {:.0f} N of pull and {:.0f} N of shear ({}), by the "
                 "figures of its maker for this wall with the margin local rules ask for. {}",
                 frame.name, worst->greatest_pull, worst->shear, worst->name,
                 caution_text("fix-to-structure"))});
    else
        findings.push_back({caution("fix-to-structure").severity, "fix-to-structure", "",
                            fmt::format("'{}': {}", frame.name, caution_text("fix-to-structure"))});
    return findings;
}

} // namespace aumbry::hardware_kits
