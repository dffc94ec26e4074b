#include "solid_stock/module/solid_stock.hpp"

#include "solid_stock/engine/lumber.hpp"
#include "solid_stock/module/dangers.hpp"
#include "solid_stock/module/density.hpp"
#include "solid_stock/module/section.hpp"
#include "solid_stock/module/ways.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/quantity.hpp"
#include "aumbry/reader_measures.hpp"
#include "aumbry/rounding.hpp"
#include "aumbry/vehicle.hpp"

#include <algorithm>
#include <map>
#include <set>

namespace aumbry::solid_stock {

using contract::Line;
using contract::Severity;

namespace {

struct Size {
    double length = 0;
    CrossSection section;
};

/// The finished size of a part; a fault when neither sizes nor a nominal size are there.
Size size_of(const Line& line) {
    Size size;
    size.length = number(line, "length");
    const std::string nominal = text(line, "nominal", "");
    if (!nominal.empty()) size.section = nominal_size(nominal).dressed;
    if (const double thickness = number(line, "thickness", 0); thickness > 0)
        size.section.thickness = to_grid(thickness);
    if (const double width = number(line, "width", 0); width > 0)
        size.section.width = to_grid(width);
    if (size.section.thickness == 0 || size.section.width == 0) {
        fail("no-section", {}, display_name(line) + " has no thickness or width",
             "write both, or a nominal size such as '1x4'");
    }
    return size;
}

} // namespace

contract::DeriveReply SolidStockModule::derive(const contract::DeriveRequest& request,
                                               const Host&) const {
    contract::DeriveReply reply;
    for (const Line& line : request.lines) {
        Size size;
        try {
            size = size_of(line);
        } catch (const FaultError& error) {
            reply.lines.push_back({line.id, Json::object()});
            reply.findings.push_back({Severity::problem, error.faults().front().code, line.id,
                                      error.faults().front().sentence() + "."});
            continue;
        }
        const double thickness = to_mm(size.section.thickness);
        const double width = to_mm(size.section.width);
        Json values = {{"length", size.length},
                       {"width", round_to(width, 4)},
                       {"thickness", round_to(thickness, 4)}};
        const double volume = round_to(size.length * width * thickness * 1e-9, 9);
        values["area"] = round_to(size.length * width * 1e-6, 6);
        values["edge_length"] = round_to(2 * (size.length + width), 4);
        values["volume"] = volume;
        std::string source;
        const double density = density_of(line, request.tables, source);
        if (density > 0) {
            values["mass"] = round_to(volume * density, 4);
            reply.workings.push_back({line.id + ".mass",
                                      "mass of one",
                                      "volume x density",
                                      {{"volume", format_trimmed(volume * 1000, 4) + " L", ""},
                                       {"density", format_trimmed(density, 1) + " kg/m3", source}},
                                      format_trimmed(round_to(volume * density, 3), 3) + " kg",
                                      source});
        } else {
            reply.findings.push_back(
                {Severity::note, "no-density", line.id,
                 "No density is known of " + text(line, "material.species", "this wood") + ", so " +
                     display_name(line) + " has no mass: state the density of its material."});
        }
        reply.lines.push_back({line.id, std::move(values)});
    }
    return reply;
}

namespace {

/// What is too large for the vehicle when it is finished does not get to the client in it.
void say_on_the_way(const std::vector<LinePart>& parts, const contract::Settings& settings,
                    std::vector<contract::Finding>& findings) {
    const std::optional<Vehicle> vehicle = vehicle_of(settings.vehicle);
    if (!vehicle) return;
    const std::string& unit = settings.length_unit;
    for (const LinePart& part : parts) {
        const double length = to_mm(part.length);
        const double width = to_mm(part.section.width);
        if (carried_in(*vehicle, length, width, to_mm(part.section.thickness)) == Carried::yes)
            continue;
        findings.push_back({Severity::caution, "finished-larger-than-vehicle", part.line->id,
                            display_name(*part.line) + " (" + aumbry::length_text(length, unit) +
                                " long) does not fit the vehicle (" + vehicle_text(*vehicle, unit) +
                                ") on its way to the client: hire a larger one, or joint it "
                                "there."});
    }
}

} // namespace

contract::TakeOffReply SolidStockModule::take_off(const contract::TakeOffRequest& request,
                                                  const Host& host) const {
    contract::TakeOffReply reply;
    std::vector<LinePart> parts;
    double volume = 0;
    double area_rough = 0;
    std::vector<std::string> lines;
    contract::Working working;
    for (const Line& line : request.lines) {
        const std::optional<LinePart> part = part_of(line);
        if (!part) continue;
        parts.push_back(*part);
        const double of_line = number(line, "derived.volume") * static_cast<double>(line.count);
        volume += of_line;
        area_rough += number(line, "derived.area") * static_cast<double>(line.count);
        lines.push_back(line.id);
        working.inputs.push_back({display_name(line) + " (" + std::to_string(line.count) + ")",
                                  format_trimmed(of_line * 1000, 3) + " L", "line." + line.id});
    }
    if (parts.empty()) return reply;
    say_on_the_way(parts, request.settings, reply.findings);

    const std::string id = material_name(request);
    const bool inches = request.settings.length_unit == "in";
    volume = round_to(volume, 9);
    working.ref = id + ".net_volume";
    working.title = "solid wood in parts, " + id;
    working.formula = "sum over parts of length x width x thickness x count";
    working.result = inches
                         ? format_trimmed(volume / cubic_metres_per_board_foot, 2) + " board feet"
                         : format_trimmed(volume * 1000, 2) + " L";
    working.source = "a board foot is 144 cubic inches";
    reply.workings.push_back(working);
    if (inches)
        reply.quantities.push_back({id + ".net_board_feet", id + ", in parts",
                                    round_to(volume / cubic_metres_per_board_foot, 2), "bdft",
                                    lines});
    else
        reply.quantities.push_back(
            {id + ".net_volume", id + ", in parts", round_to(volume, 6), "m3", lines});

    for (DemandPlan& plan : plan_demands(id, parts, request, host.stop())) {
        for (contract::Finding& finding : plan.findings)
            reply.findings.push_back(std::move(finding));
        for (contract::Working& made : plan.workings) reply.workings.push_back(std::move(made));
        contract::Step step;
        step.id = plan.demand.id + "_cut";
        step.title = "Cut and dress " + plan.demand.title;
        step.phase = contract::Phase::cut;
        step.operation = "dress";
        std::int64_t pieces = 0;
        for (const contract::Share& share : plan.demand.shares) {
            step.lines.push_back(share.line);
            for (const LinePart& part : parts) {
                if (part.line->id == share.line) pieces += part.count;
            }
        }
        step.minutes = round_to(static_cast<double>(pieces) *
                                        number(request.settings.module, "minutes_per_piece", 4) +
                                    plan.preparation,
                                2);
        step.needs = {plan.demand.id};
        if (const double days = number(request.settings.module, "acclimatise", 0); days > 0) {
            contract::Step rest;
            rest.id = plan.demand.id + "_rest";
            rest.title = "Let " + plan.demand.title + " acclimatise";
            rest.lines = step.lines;
            rest.phase = contract::Phase::prepare;
            rest.operation = "acclimatise";
            rest.wait_minutes = round_to(days * 24 * 60, 2);
            rest.needs = step.needs;
            step.after = {rest.id};
            reply.steps.push_back(std::move(rest));
        }
        say_dangers(request, step.id, reply.findings);
        reply.steps.push_back(std::move(step));
        reply.demands.push_back(std::move(plan.demand));
    }
    return reply;
}

namespace {

/// Pieces that come out of boards thicker than they are: rough wood is planed and squared besides
/// what dressed wood takes.
void plane(const contract::FollowRequest& request, const contract::Chosen& chosen,
           contract::FollowReply& reply) {
    const double minutes = number(request.settings.module, "minutes_per_rough_piece", 6);
    if (minutes <= 0) return;
    std::int64_t pieces = 0;
    contract::Step step;
    for (const contract::BoardPlan& plan : chosen.plans.boards) {
        const auto planed = [&](const std::string& id) {
            const auto line =
                std::find_if(request.lines.begin(), request.lines.end(),
                             [&](const contract::Line& each) { return each.id == id; });
            if (line == request.lines.end()) return;
            const double own = number(*line, "derived.thickness", number(*line, "thickness", 0));
            if (own <= 0 || plan.board.thickness <= own + 0.5) return;
            pieces += plan.copies;
            if (std::find(step.lines.begin(), step.lines.end(), id) == step.lines.end())
                step.lines.push_back(id);
        };
        for (const contract::BoardPiece& piece : plan.pieces) planed(piece.line);
        for (const contract::Placement& piece : plan.placements) planed(piece.line);
    }
    if (pieces == 0) return;
    step.id = chosen.demand + "_plane";
    step.title = "Plane and square " + std::to_string(pieces) +
                 (pieces == 1 ? " piece" : " pieces") + " of rough wood: " + chosen.demand;
    step.phase = contract::Phase::cut;
    step.operation = "plane";
    step.minutes = round_to(minutes * static_cast<double>(pieces), 2);
    step.needs = {chosen.demand};
    reply.steps.push_back(std::move(step));
}

} // namespace

contract::PlanReply SolidStockModule::plan(const contract::PlanRequest& request,
                                           const Host& host) const {
    return plan_parts(request, host.stop());
}

contract::FollowReply SolidStockModule::follow(const contract::FollowRequest& request,
                                               const Host&) const {
    contract::FollowReply reply;
    std::vector<std::string> sawn; // the demands that are cut
    for (const contract::Chosen& chosen : request.chosen) {
        if (chosen.module != "solid_stock") continue;
        sawn.push_back(chosen.demand);
        plane(request, chosen, reply);
        double offcuts = 0;
        std::vector<std::string> lines;
        for (const contract::Share& share : chosen.shares) lines.push_back(share.line);
        for (const contract::BoardPlan& plan : chosen.plans.boards)
            offcuts += plan.offcut.value_or(0) * static_cast<double>(plan.copies);
        std::int64_t boards = 0;
        for (const contract::BoardPlan& plan : chosen.plans.boards) boards += plan.copies;
        if (boards > 0 && !chosen.plans.boards.empty()) {
            reply.quantities.push_back({chosen.demand + ".boards", chosen.demand + ", boards",
                                        static_cast<double>(boards), "", lines});
            reply.quantities.push_back({chosen.demand + ".offcuts",
                                        chosen.demand + ", left in offcuts",
                                        round_to(offcuts / 1000, 3), "m", lines});
        }
    }
    // What every maker of saws says of them, from memory; at each step, of which the first counts.
    for (const std::string& demand : sawn)
        reply.findings.push_back(
            {Severity::warning, "wood-closes-on-the-blade", "",
             "Wood that is ripped can bend, close on the blade and be thrown back: flatten an edge "
             "before it meets the fence, keep guard and riving knife on, and stand beside the line "
             "of the cut. What the maker of the saw says comes first.",
             demand + "_cut"});
    say_tannin(request, reply.findings);
    say_tipping(request, reply.findings);
    if (!request.lines.empty())
        reply.not_counted = {"drawing and design", "choosing boards at the yard",
                             "wear of blades and bits"};
    return reply;
}

} // namespace aumbry::solid_stock
