#include "hardware_kits/module/lift_workings.hpp"

#include "aumbry/plugin.hpp"
#include "hardware_kits/engine/decimals.hpp"
#include "hardware_kits/module/messages.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
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

std::string newtons(double n) {
    return format_trimmed(n, 0) + " N";
}

} // namespace

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
    constexpr std::size_t max_rows = 24;
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
    for (std::size_t i = 0; i < order.size() && i < max_rows; ++i) {
        const SpringOffer& offer = *order[i];
        working.inputs.push_back(
            {fmt::format("{} x {}, {}", offer.count, offer.spring.name, offer.mounting.name),
             offer.fits
                 ? fmt::format("within limits: weaker end {}, hardest {}",
                               newtons(std::min(offer.safest_end, 1e6)), newtons(offer.hardest))
                 : fmt::format("{}", fmt::join(offer.reasons, "; ")),
             ""});
    }
    if (order.size() > max_rows)
        working.inputs.push_back(
            {"further", fmt::format("{} were looked at too", order.size() - max_rows), ""});
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

} // namespace aumbry::hardware_kits
