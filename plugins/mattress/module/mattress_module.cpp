#include "mattress/module/mattress_module.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/quantity.hpp"
#include "aumbry/reader_measures.hpp"
#include "aumbry/rounding.hpp"
#include "mattress/engine/bed_height.hpp"
#include "mattress/engine/fit.hpp"
#include "mattress/engine/unrolling.hpp"
#include "mattress/module/bed_line.hpp"

#include <fmt/format.h>

#include <cmath>
#include <utility>

namespace aumbry::mattress {

using contract::Demand;
using contract::DeriveReply;
using contract::Finding;
using contract::Line;
using contract::Severity;
using contract::TakeOffReply;
using contract::TakeOffRequest;
using contract::Working;

namespace {

constexpr double mass_slack = 0.05;     // share by which a list's mass may differ before it is told
constexpr double thickness_slack = 0.5; // mm

std::string mass_text(double kg) {
    return format_trimmed(kg, 3) + " kg";
}

/// The engine's clause as a sentence about the line.
Finding about(const Line& line, Finding finding) {
    finding.line = line.id;
    finding.text = display_name(line) + ": " + finding.text + '.';
    return finding;
}

template <class Reply>
Reply for_reader(Reply reply, const contract::Settings& settings) {
    for (Finding& finding : reply.findings)
        finding.text = measures_for_reader(finding.text, settings.length_unit);
    return reply;
}

/// Runs a reading; what is wrong becomes findings of the line.
template <class Read>
bool guarded(const Line& line, std::vector<Finding>& findings, const Read& read) {
    try {
        read();
        return true;
    } catch (const FaultError& error) {
        for (const Fault& fault : error.faults())
            findings.push_back(
                about(line, {Severity::problem, fault.code, "",
                             fault.wrong + (fault.right.empty() ? "" : "; " + fault.right)}));
        return false;
    }
}

Working size_working(const Line& line, const char* name, double value, const BedSize& bed,
                     const std::string& unit) {
    return {line.id + '.' + name,     fmt::format("{} of {}", name, display_name(line)),
            "nominal size",           {{"size", bed.from, line.id + ".size"}},
            length_text(value, unit), bed.source};
}

Working mass_working(const Line& line, const BedSize& bed, const BedMass& mass,
                     const std::string& unit) {
    Working working{line.id + ".mass",
                    "Mass of " + display_name(line),
                    mass.rule,
                    {},
                    mass_text(mass.mass.mass),
                    mass.source};
    for (const auto& [name, side] :
         {std::pair{"width", bed.size.width}, std::pair{"length", bed.size.length}})
        working.inputs.push_back({name, length_text(side, unit), line.id + '.' + name});
    for (const LayerMass& layer : mass.mass.layers)
        working.inputs.push_back(
            {layer.name,
             fmt::format("{} m3, {}", format_trimmed(layer.volume, 6), mass_text(layer.mass)),
             mass.source});
    if (const double cover = number(line, "cover_mass", 0); cover > 0)
        working.inputs.push_back({"cover", mass_text(cover), line.id + ".cover_mass"});
    return working;
}

Working frame_working(const Line& line, const char* name, const DirectionFit& fit, bool stated,
                      double ease, const std::string& unit) {
    Working working;
    working.ref = line.id + (std::string_view(name) == "width" ? ".frame_width" : ".frame_length");
    working.title = fmt::format("Frame of {}, {} inside", display_name(line), name);
    working.formula = stated ? "as stated" : fmt::format("{} + 2 x ease", name);
    working.inputs = {
        {name, length_text(fit.nominal, unit), line.id + '.' + name},
        {"ease", length_text(ease, unit), stated ? "left by the frame" : line.id + ".ease"},
        {"ease at the upper end of the tolerance", length_text(fit.ease_at_largest, unit), ""},
        {"ease at the lower end of the tolerance", length_text(fit.ease_at_smallest, unit), ""}};
    working.result = length_text(fit.frame, unit);
    working.source = "10 to 20 mm on each side are common practice; tolerance of EN 1334 from "
                     "memory";
    return working;
}

void derive_line(const Line& line, const contract::DeriveRequest& request, DeriveReply& reply) {
    const std::string& unit = request.settings.length_unit;
    Json values = Json::object();
    BedSize bed;
    if (!guarded(line, reply.findings, [&] { bed = read_size(line, request.tables); })) {
        reply.lines.push_back({line.id, {{"thickness", number(line, "thickness")}}});
        return;
    }
    values["width"] = round_to(bed.size.width, 4);
    values["length"] = round_to(bed.size.length, 4);
    values["thickness"] = round_to(bed.size.thickness, 4);
    if (find_value(line, "width") == nullptr)
        reply.workings.push_back(size_working(line, "width", bed.size.width, bed, unit));
    if (find_value(line, "length") == nullptr)
        reply.workings.push_back(size_working(line, "length", bed.size.length, bed, unit));

    guarded(line, reply.findings, [&] {
        const auto mass = read_mass(line, bed.size, request.tables);
        if (!mass) {
            reply.findings.push_back(
                about(line, {Severity::caution, "mattress-mass-unknown", "",
                             "its mass is not known; weigh it, or give its construction or "
                             "density"}));
            return;
        }
        values["mass"] = round_to(mass->mass.mass, 4);
        if (find_value(line, "mass") == nullptr)
            reply.workings.push_back(mass_working(line, bed, *mass, unit));
    });

    const EaseLimits limits = limits_of(request.settings);
    const Frame frame = read_frame(line, bed.size, limits);
    values["frame_width"] = frame.width;
    values["frame_length"] = frame.length;
    guarded(line, reply.findings, [&] {
        const Fit fit = fit_in_frame(bed.size.width, bed.size.length, frame.width, frame.length,
                                     tolerance_of(request.settings), limits);
        for (const Finding& finding : fit.findings) reply.findings.push_back(about(line, finding));
        reply.workings.push_back(frame_working(line, "width", fit.width, frame.width_stated,
                                               fit.width.ease_at_nominal, unit));
        reply.workings.push_back(frame_working(line, "length", fit.length, frame.length_stated,
                                               fit.length.ease_at_nominal, unit));
    });

    if (const Json* base = find_value(line, "base_height")) {
        values["lying_height"] = round_to(base->get<double>() + bed.size.thickness, 4);
        reply.workings.push_back(
            {line.id + ".lying_height",
             "Lying height of " + display_name(line),
             "height of the base + thickness",
             {{"height of the base", length_text(base->get<double>(), unit),
               line.id + ".base_height"},
              {"thickness", length_text(bed.size.thickness, unit), line.id + ".thickness"}},
             length_text(values["lying_height"].get<double>(), unit),
             "unloaded mattress"});
        if (find_value(line, "frame_height") != nullptr)
            guarded(line, reply.findings, [&] {
                for (const Finding& finding :
                     bed_height(base->get<double>(), number(line, "frame_height"),
                                bed.size.thickness)
                         .findings)
                    reply.findings.push_back(about(line, finding));
            });
    }
    reply.lines.push_back({line.id, values});
}

std::string size_text(const Line& line, const std::string& unit) {
    return fmt::format("{} x {} x {}", length_text(number(line, "derived.width"), unit),
                       length_text(number(line, "derived.length"), unit),
                       length_text(number(line, "thickness"), unit));
}

/// The offers of the line's size; what differs in thickness is left out, what differs in mass is
/// told.
void find_offers(TakeOffReply& reply, Demand& demand, const TakeOffRequest& request) {
    const Line& first = request.lines.front();
    const double mass = number(first, "derived.mass", 0);
    bool taken_back = true;
    for (const contract::Offer& offer : request.offers) {
        if (offer.price_unit != "each" && offer.price_unit != "pack") continue;
        const double thickness = number(offer.attributes, "thickness", 0);
        if (thickness > 0 && std::abs(thickness - number(first, "thickness")) > thickness_slack)
            continue;
        const double listed = number(offer.attributes, "mass", 0);
        demand.amount->offers.push_back(
            {offer.id, offer.pack, 0, round_to((listed > 0 ? listed : mass) * offer.pack, 4)});
        taken_back = taken_back && flag(offer.attributes, "returnable", true);
        if (mass > 0 && listed > 0 && std::abs(listed - mass) > mass_slack * mass)
            reply.findings.push_back(
                {Severity::caution, "mattress-mass-differs", first.id,
                 fmt::format("{} is taken as {}, but {} lists {}: weigh it, since a lift is "
                             "chosen by its mass.",
                             display_name(first), mass_text(mass), offer.id, mass_text(listed))});
    }
    demand.returnable = taken_back;
    if (!taken_back)
        reply.findings.push_back(
            {Severity::note, "mattress-not-returnable", first.id,
             display_name(first) + " may not be taken back once opened: settle size and firmness "
                                   "before it is ordered."});
    if (!demand.amount->offers.empty()) return;
    for (const Line& line : request.lines)
        reply.findings.push_back(
            {Severity::problem, "mattress-not-offered", line.id,
             fmt::format("Nobody offers a mattress of {}{}, so {} is not priced: add it to a price "
                         "list or choose another.",
                         size_text(first, request.settings.length_unit),
                         text(first, "model", "").empty()
                             ? ""
                             : fmt::format(" of model '{}'", text(first, "model", "")),
                         display_name(line))});
}

void add_step(TakeOffReply& reply, const Line& line, const TakeOffRequest& request,
              const std::string& demand) {
    const bool rolled = flag(line, "rolled");
    const bool measured = !flag(line, "size_known");
    double days = 0;
    if (!guarded(line, reply.findings, [&] {
            const Json* stated = find_value(line, "rest_days");
            days = days_to_rest(rolled ? Delivered::rolled : Delivered::flat,
                                stated == nullptr ? std::nullopt
                                                  : std::optional(stated->get<double>()));
        }))
        return;
    const double rest = days;
    contract::Step step;
    step.lines = {line.id};
    step.minutes = round_to(number(request.settings.module, "minutes_to_place", 15) *
                                static_cast<double>(line.count),
                            4);
    if (!demand.empty()) step.needs = {demand};
    // Its size is measured on the mattress as it is used: at rest.
    if (measured) {
        contract::Step measure = step;
        measure.id = "measure_" + line.id;
        measure.title = demand.empty()
                            ? fmt::format("Measure {} where it lies", display_name(line))
                            : fmt::format("{} {}{}, and measure it", rolled ? "Unroll" : "Lay flat",
                                          display_name(line), days > 0 ? ", let it rest" : "");
        measure.phase = contract::Phase::prepare;
        measure.operation = "measure";
        measure.wait_minutes = round_to(days * 24 * 60, 4);
        if (!demand.empty()) measure.measures = {demand};
        reply.steps.push_back(std::move(measure));
        days = 0;
    }
    step.id = "place_" + line.id;
    step.title = fmt::format("{} {}{}", rolled && !measured ? "Unroll" : "Place",
                             display_name(line), days > 0 ? " and let it air" : "");
    step.phase = contract::Phase::complete;
    step.operation = "place";
    step.wait_minutes = round_to(days * 24 * 60, 4);
    const double heaviest = number(request.settings.workshop, "heaviest_blank", 25);
    step.people = number(line, "derived.mass", 0) > heaviest ? 2 : 1;
    reply.steps.push_back(std::move(step));
    if (rest > 0)
        reply.findings.push_back(
            {Severity::note, "mattress-rests", line.id,
             fmt::format("{} rests {} days before it is used or weighed; its maker's leaflet comes "
                         "first.",
                         display_name(line), format_trimmed(rest, 2)),
             (measured ? "measure_" : "place_") + line.id});
}

/// What the client has already is measured and put in place; nobody buys it.
void take_clients_own(TakeOffReply& reply, const Line& line, const TakeOffRequest& request) {
    const std::size_t before = reply.steps.size();
    add_step(reply, line, request, {});
    if (flag(line, "size_known") || reply.steps.size() == before) return;
    reply.findings.push_back({Severity::caution, "mattress-is-the-clients", line.id,
                              fmt::format("{} is the client's own: measure it before any part "
                                          "that follows its size is cut.",
                                          display_name(line)),
                              "measure_" + line.id});
}

} // namespace

DeriveReply MattressModule::derive(const contract::DeriveRequest& request, const Host&) const {
    DeriveReply reply;
    for (const Line& line : request.lines) derive_line(line, request, reply);
    return for_reader(std::move(reply), request.settings);
}

TakeOffReply MattressModule::take_off(const TakeOffRequest& request, const Host&) const {
    TakeOffReply reply;
    const Line& first = request.lines.front();
    const bool sized = find_value(first, "derived.width") != nullptr;
    Demand demand;
    demand.id = first.id;
    demand.title =
        sized ? "Mattress " + size_text(first, request.settings.length_unit) : display_name(first);
    demand.decides_sizes = true;
    demand.amount.emplace();
    contract::QuantityRow row{demand.id + ".needed", demand.title, 0, "", {}};
    for (const Line& line : request.lines) {
        if (flag(line, "clients_own")) {
            take_clients_own(reply, line, request);
            continue;
        }
        demand.amount->quantity += static_cast<double>(line.count);
        demand.shares.push_back({line.id, static_cast<double>(line.count)});
        row.lines.push_back(line.id);
        add_step(reply, line, request, demand.id);
        reply.workings.push_back({line.id + ".quantity",
                                  "How many of " + display_name(line),
                                  "count",
                                  {{"count", std::to_string(line.count), line.id + ".count"}},
                                  std::to_string(line.count),
                                  "what the line states"});
    }
    if (demand.shares.empty()) return for_reader(std::move(reply), request.settings);
    row.value = demand.amount->quantity;
    // Without a size there is nothing to look for; deriving has said so already.
    if (sized) find_offers(reply, demand, request);
    reply.quantities.push_back(std::move(row));
    reply.demands.push_back(std::move(demand));
    return for_reader(std::move(reply), request.settings);
}

} // namespace aumbry::mattress
