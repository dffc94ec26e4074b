#include "hardware_kits/module/fastener_line.hpp"

#include "aumbry/plugin.hpp"
#include "aumbry/rounding.hpp"
#include "hardware_kits/engine/fasteners/fasteners.hpp"
#include "hardware_kits/engine/fasteners/glue.hpp"
#include "hardware_kits/engine/fasteners/joints.hpp"
#include "hardware_kits/module/messages.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
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

constexpr double same_length = 0.05; // mm: below it two stocked lengths are one

/// Pieces of one item of the line, along its joints; 1 for a line without joints.
struct Pieces {
    int each = 1;
    Working working;
};

Joint joint_of(const Line& line, const Json& record) {
    const Joint usual;
    Joint joint;
    joint.name = text(record, "name", display_name(line));
    joint.length = number(record, "length", 0);
    joint.joints = static_cast<int>(number(record, "count", 1));
    joint.spacing = number(line, "spacing", usual.spacing);
    joint.end_distance = number(line, "end_distance", usual.end_distance);
    joint.min_count = static_cast<int>(number(line, "least", usual.min_count));
    return joint;
}

Pieces pieces_of(const Line& line, const std::string& unit) {
    Pieces pieces;
    pieces.working.ref = line.id + ".pieces";
    pieces.working.title = fmt::format("Pieces for one {}", display_name(line));
    const Json& joints = records(line, "joints");
    if (joints.empty()) {
        pieces.working.formula = "one";
        pieces.working.result = "1";
        pieces.working.source = "a line without joints counts pieces";
        return pieces;
    }
    pieces.each = 0;
    for (const Json& record : joints) {
        const Joint joint = joint_of(line, record);
        const FastenerRow row = fastener_row(joint);
        pieces.each += row.count;
        pieces.working.inputs.push_back(
            {joint.name,
             fmt::format("{} x {}, {} each, {} apart", joint.joints,
                         length_text(joint.length, unit), row.each, length_text(row.spacing, unit)),
             line.id + ".joints"});
    }
    const Joint usual = joint_of(line, joints.front());
    pieces.working.inputs.push_back(
        {"spacing", length_text(usual.spacing, unit), line.id + ".spacing"});
    pieces.working.inputs.push_back(
        {"end distance", length_text(usual.end_distance, unit), line.id + ".end_distance"});
    pieces.working.formula =
        "joints x (gaps + 1); gaps = (length - 2 x end distance) / spacing, rounded up";
    pieces.working.result = std::to_string(pieces.each);
    pieces.working.source = "150 to 200 mm apart, the first 40 to 50 mm from the end, at least two "
                            "(common practice)";
    return pieces;
}

// ---------------------------------------------------------------- lengths

std::vector<double> stocked_lengths(const TakeOffRequest& request) {
    std::vector<double> lengths;
    for (const Offer& offer : request.offers)
        if (offer.catalog_class == "fastener")
            if (const double length = number(offer.attributes, "length", 0); length > 0)
                lengths.push_back(round_to(length, 3));
    std::sort(lengths.begin(), lengths.end());
    lengths.erase(std::unique(lengths.begin(), lengths.end()), lengths.end());
    return lengths;
}

/// The length to buy: as stated, or by the thicknesses joined; none when length plays no part.
/// Throws FaultError when it cannot be settled.
std::optional<double> choose_length(const Line& line, const TakeOffRequest& request,
                                    TakeOffReply& reply) {
    if (const double stated = number(line, "length", 0); stated > 0) return round_to(stated, 3);
    const std::vector<double> stocked = stocked_lengths(request);
    const double fixed = number(line, "fixed_thickness", 0);
    const double receiving = number(line, "receiving_depth", 0);
    const std::string& unit = request.settings.length_unit;
    if (fixed > 0 && receiving > 0 && !stocked.empty()) {
        Working working;
        working.ref = line.id + ".length";
        working.title = "Length of " + display_name(line);
        working.inputs = {
            {"thickness fixed", length_text(fixed, unit), line.id + ".fixed_thickness"},
            {"depth that receives it", length_text(receiving, unit), line.id + ".receiving_depth"}};
        if (text(line, "type") == "dowel") {
            const DowelJoint usual;
            const double length =
                dowel_length({display_name(line), fixed, number(line, "cover", usual.face_cover),
                              receiving, usual.glue_room},
                             stocked);
            working.formula =
                "longest offered within thickness - cover + depth - 2 x room for glue";
            working.result = length_text(length, unit);
            working.source = "common practice";
            reply.workings.push_back(std::move(working));
            return length;
        }
        const ScrewJoint usual;
        const bool edge = text(line, "into", receiving > 2 * fixed ? "edge" : "face") == "edge";
        const ScrewLength screw =
            screw_length({display_name(line), fixed, receiving, number(line, "counterbore", 0),
                          number(line, "penetration", 0), number(line, "cover", usual.cover), edge},
                         stocked);
        working.inputs.push_back({"bites into", edge ? "an edge" : "a face",
                                  find_value(line, "into") != nullptr
                                      ? line.id + ".into"
                                      : "taken so by the depth that receives it"});
        for (const contract::Finding& finding : screw.findings)
            reply.findings.push_back(about(line, finding));
        working.formula = "nearest offered to thickness fixed - counterbore + penetration, without "
                          "coming through";
        working.inputs.push_back({"counterbore", length_text(number(line, "counterbore", 0), unit),
                                  line.id + ".counterbore"});
        working.inputs.push_back({"wanted", length_text(screw.wanted, unit), ""});
        working.inputs.push_back({"penetration", length_text(screw.penetration, unit), ""});
        working.result = length_text(screw.length, unit);
        working.source = edge ? "common practice: into the edge of a panel 2 to 2.5 times what is "
                                "fixed, since it holds 75 to 80 % of a face (FPL survey, McNatt)"
                              : "common practice: into a face as much as is fixed";
        reply.workings.push_back(std::move(working));
        return screw.length;
    }
    if (stocked.size() > 1)
        fail("fastener-length-unknown", {},
             fmt::format("{} lengths are offered and none is settled", stocked.size()),
             "state its length, or the thickness it fixes and the depth that receives it");
    return stocked.empty() ? std::nullopt : std::optional(stocked.front());
}

void check_edge(const Line& line, const TakeOffRequest& request, TakeOffReply& reply) {
    const double diameter = number(line, "diameter", 0);
    if (diameter <= 0 || text(line, "type") != "screw" || records(line, "joints").empty()) return;
    const double least = min_edge_distance(diameter);
    const double end = number(line, "end_distance", Joint().end_distance);
    if (end >= least) return;
    reply.findings.push_back(about(
        line, {Severity::caution, "screw-near-end", "",
               fmt::format("the first screw sits {} from the end; keep at least three diameters, "
                           "{}, or it splits the wood",
                           length_text(end, request.settings.length_unit),
                           length_text(least, request.settings.length_unit))}));
}

// ---------------------------------------------------------------- demands

/// How a screw's thickness is said: in inches by its number, 0.060 in and 0.013 in more for each
/// (ASME B18.6.1, from memory), where it is near one.
std::string thickness_text(const Line& line, double diameter, const std::string& unit) {
    if (unit == "in" && text(line, "type").ends_with("screw")) {
        const double number = round_to((diameter / 25.4 - 0.060) / 0.013, 0);
        const double off = diameter / 25.4 - 0.060 - 0.013 * number;
        if (number >= 0 && number <= 14 && std::abs(off) < 0.0065)
            return "No. " + format_number(number, 0);
    }
    return length_text(diameter, unit);
}

std::string title_of(const Line& line, std::optional<double> length, const std::string& unit) {
    std::string title = text(line, "type");
    if (const double d = number(line, "diameter", 0); d > 0)
        title += ' ' + thickness_text(line, d, unit);
    if (length)
        title += (number(line, "diameter", 0) > 0 ? " x " : " ") + length_text(*length, unit);
    if (const std::string head = text(line, "head", ""); !head.empty()) title += ", " + head;
    return title;
}

/// Lines that buy the same thing.
struct Batch {
    std::optional<double> length;
    std::vector<std::pair<const Line*, double>> lines; ///< with their pieces
};

void add_demand(const Batch& batch, const TakeOffRequest& request, TakeOffReply& reply) {
    const Line& first = *batch.lines.front().first;
    Demand demand;
    demand.id = first.id;
    demand.title = title_of(first, batch.length, request.settings.length_unit);
    demand.amount.emplace();
    contract::QuantityRow row{first.id + ".needed", demand.title, 0, "", {}};
    for (const auto& [line, pieces] : batch.lines) {
        demand.amount->quantity += pieces;
        demand.shares.push_back({line->id, pieces});
        row.lines.push_back(line->id);
    }
    row.value = demand.amount->quantity;
    for (const Offer& offer : request.offers) {
        if (offer.catalog_class != "fastener" || !by_count(offer)) continue;
        const double length = number(offer.attributes, "length", 0);
        if (batch.length && (length <= 0 || std::abs(length - *batch.length) > same_length))
            continue;
        demand.amount->offers.push_back({offer.id, offer.pack, 0, 0});
    }
    if (demand.amount->offers.empty())
        for (const auto& [line, pieces] : batch.lines)
            reply.findings.push_back(
                about(*line, {Severity::problem, "fastener-not-offered", "",
                              fmt::format("nobody offers '{}', so it is not priced: add it to a "
                                          "price list or choose another",
                                          demand.title)}));
    reply.quantities.push_back(std::move(row));
    reply.demands.push_back(std::move(demand));
}

/// The demands of plugs, by the lines whose heads they cover.
std::map<const Line*, std::string>
add_plugs(const TakeOffRequest& request, const std::vector<std::pair<const Line*, double>>& visible,
          TakeOffReply& reply) {
    std::map<const Line*, std::string> plugged;
    const auto usable = [&](const std::pair<const Line*, double>& entry) {
        const Line& line = *entry.first;
        const Plug usual;
        const double depth = number(line, "counterbore", 0);
        const double hole = number(line, "plug_diameter", 0);
        return guarded(line, reply.findings, [&] {
            if (!(hole > 0) || !(depth > 0))
                fail("plug-not-specified", {}, "its heads show, but no plug is described",
                     "give the plug's diameter and the counterbore, or say that they do not show");
            const PlugStock stock = plug_stock(
                {hole, depth, number(line, "head_diameter", 0), usual.proud},
                static_cast<int>(entry.second), number(request.settings.workshop, "kerf", 3.2));
            const std::string& unit = request.settings.length_unit;
            reply.quantities.push_back({line.id + ".plugs",
                                        "Plugs over " + display_name(line),
                                        static_cast<double>(stock.plugs),
                                        "",
                                        {line.id}});
            reply.workings.push_back(
                {line.id + ".plugs",
                 "Plugs over " + display_name(line),
                 "one a screw",
                 {{"screws", std::to_string(stock.plugs), line.id + ".pieces"},
                  {"hole", length_text(hole, unit), line.id + ".plug_diameter"},
                  {"depth of the hole", length_text(depth, unit), line.id + ".counterbore"},
                  {"length of each", length_text(stock.length_each, unit),
                   "depth + 2 mm proud, cut flush (common practice)"},
                  {"stick if cut from one", length_text(stock.stick, unit), "saw cuts included"}},
                 std::to_string(stock.plugs),
                 "common practice"});
        });
    };
    std::vector<std::pair<const Line*, double>> lines;
    std::copy_if(visible.begin(), visible.end(), std::back_inserter(lines), usable);
    // Plugs of one hole are bought together.
    while (!lines.empty()) {
        const double hole = number(*lines.front().first, "plug_diameter");
        const std::string wood = text(*lines.front().first, "plug_wood", "");
        const auto rest = std::stable_partition(lines.begin(), lines.end(), [&](const auto& entry) {
            return number(*entry.first, "plug_diameter") == hole &&
                   text(*entry.first, "plug_wood", "") == wood;
        });
        Demand demand;
        demand.id = lines.front().first->id + ".plugs";
        demand.title = fmt::format("{}plug {}", wood.empty() ? "" : wood + ' ',
                                   length_text(hole, request.settings.length_unit));
        demand.amount.emplace();
        for (auto entry = lines.begin(); entry != rest; ++entry) {
            demand.amount->quantity += entry->second;
            demand.shares.push_back({entry->first->id, entry->second});
            plugged[entry->first] = demand.id;
        }
        for (const Offer& offer : request.offers) {
            if (offer.catalog_class != "plug" || !by_count(offer)) continue;
            if (std::abs(number(offer.attributes, "diameter", 0) - hole) > same_length) continue;
            if (!wood.empty() && text(offer.attributes, "wood", wood) != wood) continue;
            demand.amount->offers.push_back({offer.id, offer.pack, 0, 0});
        }
        if (demand.amount->offers.empty())
            reply.findings.push_back(
                about(*lines.front().first,
                      {Severity::problem, "plug-not-offered", "",
                       fmt::format("nobody offers '{}': add it to a price list, or cut plugs from "
                                   "an offcut and say that the heads do not show",
                                   demand.title)}));
        reply.demands.push_back(std::move(demand));
        lines.erase(lines.begin(), rest);
    }
    return plugged;
}

void add_step(const Line& line, double minutes, double wait, const char* verb,
              std::vector<std::string> needs, TakeOffReply& reply) {
    if (minutes <= 0 && wait <= 0) return;
    contract::Step step;
    step.id = "join_" + line.id;
    step.title = fmt::format("{} {}", verb, display_name(line));
    step.lines = {line.id};
    const std::string type = text(line, "type");
    step.phase =
        contract::phase_called(text(line, "phase", ""), type.ends_with("glue") || type == "dowel"
                                                            ? contract::Phase::assemble
                                                            : contract::Phase::fasten);
    step.operation = type.ends_with("glue") ? "glue" : type;
    step.minutes = round_to(minutes, 4);
    step.wait_minutes = round_to(wait, 4);
    step.needs = std::move(needs);
    reply.steps.push_back(std::move(step));
}

// ---------------------------------------------------------------- glue

/// mL on the dowels that a line of glue names, with what they were worked out from.
double glue_dowels(const Line& line, const GlueRule& rule, Working& working) {
    constexpr double usual_length = 35; // mm, where a line leaves it to the lists (common practice)
    double millilitres = 0;
    for (const Json& id : records(line, "dowels")) {
        const Line* dowels = reference(line, id.get<std::string>());
        if (dowels == nullptr) continue;
        const double count =
            number(*dowels, "derived.pieces", 0) * static_cast<double>(dowels->count);
        const double used = glue_on_dowels(number(*dowels, "diameter", 0),
                                           number(*dowels, "length", usual_length), count, rule);
        millilitres += used;
        working.inputs.push_back(
            {display_name(*dowels),
             fmt::format("{} dowels, {} mL", format_trimmed(count, 0), format_trimmed(used, 2)),
             dowels->id + ".pieces"});
    }
    return millilitres;
}

void take_off_glue(const TakeOffRequest& request, TakeOffReply& reply) {
    const Line& first = request.lines.front();
    const bool instant = text(first, "type").starts_with("instant");
    Demand demand;
    demand.id = first.id;
    demand.title = title_of(first, std::nullopt, request.settings.length_unit);
    demand.amount.emplace();
    demand.amount->unit = "L";
    contract::QuantityRow row{first.id + ".needed", demand.title, 0, "L", {}};
    double total = 0;
    for (const Line& line : request.lines) {
        GlueRule rule;
        rule.spread = number(request.settings.module, "glue_spread", rule.spread);
        rule.pitch = number(line, "alternate", 0);
        double millilitres = 0;
        double metres = 0;
        Working working{line.id + ".needed",
                        "Glue for " + display_name(line),
                        "length x width x spread / density / (1 - loss)",
                        {},
                        "",
                        "150 to 200 g/m2 (from memory)"};
        if (line.id != first.id) working.ref = line.id + ".glue";
        guarded(line, reply.findings, [&] {
            if (records(line, "joints").empty() && records(line, "dowels").empty())
                fail("glue-without-joints", {}, "it names no joints to glue",
                     "give the joints with their length and width");
            for (const Json& record : records(line, "joints")) {
                const GlueJoint joint{
                    text(record, "name", display_name(line)), number(record, "length", 0),
                    number(record, "width", number(line, "fixed_thickness", 0)),
                    static_cast<int>(number(record, "count", 1) * static_cast<double>(line.count))};
                const GlueAmount amount = glue_amount(joint, rule);
                const double used = instant ? amount.instant : amount.wood;
                const double length = instant ? amount.instant_length : amount.wood_length;
                millilitres += used;
                metres += length / 1000;
                working.inputs.push_back(
                    {joint.name,
                     fmt::format("{} m, {} wide, {} mL", format_trimmed(length / 1000, 3),
                                 length_text(joint.width, request.settings.length_unit),
                                 format_trimmed(used, 2)),
                     line.id + ".joints"});
            }
            if (!instant) millilitres += glue_dowels(line, rule, working);
        });
        const double litres = round_to(millilitres / 1000, 6);
        if (instant) {
            working.formula = "length x bead / (1 - loss), every other stretch of the joint";
            working.source = "every 100 mm in turn (common practice); bead assumed";
        } else {
            working.inputs.push_back({"spread", format_trimmed(rule.spread, 1) + " g/m2",
                                      "settings.hardware_kits.glue_spread"});
        }
        working.result = format_trimmed(litres, 4) + " L";
        reply.workings.push_back(std::move(working));
        total += litres;
        demand.shares.push_back({line.id, litres});
        row.lines.push_back(line.id);
        add_step(line, metres * number(request.settings.module, "minutes_per_glue_metre", 1),
                 number(request.settings.module, "clamping", 60), "Spread", {demand.id}, reply);
    }
    demand.amount->quantity = round_to(total, 6);
    row.value = demand.amount->quantity;
    for (const Offer& offer : request.offers) {
        if (offer.catalog_class != "glue" || !by_count(offer)) continue;
        const double content = number(offer.attributes, "content", 0);
        if (content > 0)
            demand.amount->offers.push_back({offer.id, round_to(content * offer.pack, 6), 0, 0});
    }
    if (demand.amount->offers.empty())
        reply.findings.push_back(
            about(first, {Severity::problem, "glue-not-offered", "",
                          fmt::format("nobody offers '{}' with its content, so it is not priced: "
                                      "add it to a price list",
                                      demand.title)}));
    reply.quantities.push_back(std::move(row));
    reply.demands.push_back(std::move(demand));
}

} // namespace

bool is_glue(const std::string& type) {
    return type.ends_with("glue");
}

bool rusts(const Line& line) {
    if (text(line, "type") == "dowel" || text(line, "type") == "biscuit") return false;
    const std::string finish = text(line, "finish", "");
    return finish.find("stainless") == std::string::npos &&
           finish.find("brass") == std::string::npos && finish.find("bronze") == std::string::npos;
}

void derive_fastener(const Line& line, const contract::DeriveRequest& request,
                     contract::DeriveReply& reply) {
    if (is_glue(text(line, "type"))) return;
    guarded(line, reply.findings, [&] {
        Pieces pieces = pieces_of(line, request.settings.length_unit);
        reply.lines.push_back({line.id, {{"pieces", pieces.each}}});
        reply.workings.push_back(std::move(pieces.working));
    });
}

void take_off_fasteners(const TakeOffRequest& request, TakeOffReply& reply) {
    if (is_glue(text(request.lines.front(), "type"))) {
        take_off_glue(request, reply);
        return;
    }
    std::vector<Batch> batches;
    std::vector<std::pair<const Line*, double>> visible;
    for (const Line& line : request.lines) {
        // Without pieces the joints were at fault, and deriving has said so: nothing is bought for
        // it.
        const double pieces = number(line, "derived.pieces", 0) * static_cast<double>(line.count);
        std::optional<double> length;
        bool settled = pieces > 0;
        if (settled)
            settled = guarded(line, reply.findings,
                              [&] { length = choose_length(line, request, reply); });
        if (!settled) {
            reply.demands.push_back({line.id,
                                     title_of(line, std::nullopt, request.settings.length_unit),
                                     {{line.id, 1}},
                                     contract::Amount{std::max(pieces, 1.0), "", {}, {}},
                                     {},
                                     "",
                                     false,
                                     true});
            continue;
        }
        check_edge(line, request, reply);
        if (flag(line, "visible")) visible.emplace_back(&line, pieces);
        const auto same = std::find_if(batches.begin(), batches.end(),
                                       [&](const Batch& batch) { return batch.length == length; });
        if (same == batches.end())
            batches.push_back({length, {{&line, pieces}}});
        else
            same->lines.emplace_back(&line, pieces);
    }
    for (const Batch& batch : batches) add_demand(batch, request, reply);
    const auto plugs = add_plugs(request, visible, reply);
    for (const Batch& batch : batches) {
        for (const auto& [line, pieces] : batch.lines) {
            double each = number(request.settings.module, "minutes_per_fastener", 0.5);
            if (flag(*line, "visible"))
                each += number(request.settings.module, "minutes_per_plug", 1);
            std::vector<std::string> needs{batch.lines.front().first->id};
            if (const auto plug = plugs.find(line); plug != plugs.end())
                needs.push_back(plug->second);
            add_step(*line, pieces * each, 0, "Set", std::move(needs), reply);
        }
    }
}

} // namespace aumbry::hardware_kits
