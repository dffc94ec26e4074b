#include "hardware_kits/module/kit_line.hpp"

#include "aumbry/plugin.hpp"
#include "aumbry/rounding.hpp"
#include "hardware_kits/module/messages.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <tuple>

namespace aumbry::hardware_kits {

using contract::Demand;
using contract::Line;
using contract::Severity;
using contract::TakeOffReply;
using contract::TakeOffRequest;
using contract::Working;

namespace {

Hand hand_of(const Line& line) {
    const std::string hand = text(line, "hand", "either");
    return hand == "left" ? Hand::left : hand == "right" ? Hand::right : Hand::either;
}

CutStep cut_step_of(const Line& line, const std::string& length_unit) {
    const std::string step = text(line, "cut_step", length_unit == "in" ? "1/16 in" : "1 mm");
    if (step == "0.1 mm") return CutStep::tenth_mm;
    if (step == "0.5 mm") return CutStep::half_mm;
    if (step == "1/16 in") return CutStep::inch_16;
    if (step == "1/32 in") return CutStep::inch_32;
    if (step == "1/64 in") return CutStep::inch_64;
    return CutStep::mm;
}

/// The plan for the line's mattress, or as printed when none is named.
std::vector<CutSize> plan_for(const Line& line, const KitSheet& sheet,
                              const std::string& length_unit) {
    if (sheet.plan.sizes.empty()) return {};
    return redimension(sheet.plan, mattress_of(line).value_or(sheet.plan.nominal),
                       cut_step_of(line, length_unit));
}

const CutSize* size_named(const std::vector<CutSize>& cuts, const std::string& name) {
    const auto found = std::find_if(cuts.begin(), cuts.end(),
                                    [&](const CutSize& cut) { return cut.name == name; });
    return found == cuts.end() ? nullptr : &*found;
}

std::string source_of(const KitSheet& sheet) {
    return fmt::format("data sheet of kit '{}'{}", sheet.kit.name,
                       sheet.mark.empty() ? "" : " (" + sheet.mark + ')');
}

/// How a cut size came about, with its rounding error.
Working cut_working(const std::string& ref, const CutSize& cut, CutStep step, const KitSheet& sheet,
                    const std::string& unit) {
    Working working;
    working.ref = ref;
    working.title = cut.name;
    working.formula = cut.fixed_by_kit     ? "fixed by the kit: never scaled, never rounded"
                      : cut.by_subtraction ? "last of its chain: the whole less the other parts"
                                           : "size in the plan + difference of the mattresses";
    working.inputs = {{"in the plan", length_text(cut.planned, "in"), source_of(sheet)},
                      {"difference of the mattresses", length_text(cut.shift, unit),
                       "mattress of the line less the plan's"},
                      {"exact", format_trimmed(cut.exact, 4) + " mm", ""},
                      {"rounding error", format_trimmed(cut.rounding, 4) + " mm", ""}};
    working.result = cut.fixed_by_kit     ? format_trimmed(cut.size, 4) + " mm"
                     : cut.by_subtraction ? format_trimmed(cut.size, 4) + " mm"
                                          : cut_text(cut.size, step);
    working.source = source_of(sheet);
    return working;
}

void add_plan(const Line& line, const KitSheet& sheet, const std::string& unit,
              TakeOffReply& reply) {
    guarded(line, reply.findings, [&] {
        const std::vector<CutSize> cuts = plan_for(line, sheet, unit);
        const CutStep step = cut_step_of(line, unit);
        double worst = 0;
        for (std::size_t i = 0; i < cuts.size(); ++i) {
            const std::string ref = fmt::format("{}.plan.{}", line.id, i + 1);
            reply.quantities.push_back({ref,
                                        fmt::format("{}: {}", display_name(line), cuts[i].name),
                                        round_to(cuts[i].size, 4),
                                        "mm",
                                        {line.id}});
            reply.workings.push_back(cut_working(ref, cuts[i], step, sheet, unit));
            worst = std::max(worst, std::abs(cuts[i].rounding));
        }
        if (cuts.empty()) return;
        reply.quantities.push_back({line.id + ".plan.rounding",
                                    display_name(line) + ": greatest rounding error of its plan",
                                    round_to(worst, 4),
                                    "mm",
                                    {line.id}});
        reply.workings.push_back({line.id + ".plan.rounding",
                                  "Greatest rounding error",
                                  "greatest of |cut size - exact size|",
                                  {},
                                  format_trimmed(worst, 4) + " mm",
                                  "sizes reckoned in steps of 1/8000 mm"});
        if (!mattress_of(line))
            reply.findings.push_back(
                about(line, {Severity::note, "kit-plan-nominal", "",
                             "its plan is shown for the mattress it was drawn for; name the "
                             "mattress to have it re-dimensioned"}));
    });
}

void add_contents(const Line& line, const KitSheet& sheet, TakeOffReply& reply) {
    guarded(line, reply.findings, [&] {
        std::vector<KitChange> changes;
        for (const Json& change : records(line, "changes"))
            changes.push_back({text(change, "item"), static_cast<int>(number(change, "count", 0)),
                               text(change, "reason")});
        const std::vector<ContentRow> rows = kit_contents(sheet.kit, changes);
        Working working{line.id + ".contents",
                        "What is in " + display_name(line),
                        "in the box + added - left out",
                        {},
                        "",
                        source_of(sheet)};
        int left_over = 0;
        for (std::size_t i = 0; i < rows.size(); ++i) {
            const ContentRow& row = rows[i];
            reply.quantities.push_back(
                {fmt::format("{}.contents.{}", line.id, i + 1),
                 fmt::format("{}: {}", display_name(line), row.item),
                 static_cast<double>(row.used) * static_cast<double>(line.count),
                 "",
                 {line.id}});
            std::string value = fmt::format("{} in the box", row.in_box);
            if (row.spares > 0) value += fmt::format(", {} of them spares", row.spares);
            if (row.change != 0)
                value += fmt::format(", {} {}: {}", std::abs(row.change),
                                     row.change > 0 ? "added" : "left out", row.reason);
            working.inputs.push_back({row.item, value, ""});
            if (row.change > 0)
                reply.findings.push_back(about(
                    line, {Severity::caution, "kit-part-added", "",
                           fmt::format("{} x '{}' are used beyond what is in the box ({}): see "
                                       "that they are bought",
                                       row.change * line.count, row.item, row.reason)}));
            if (row.change < 0) left_over -= row.change;
        }
        working.result = fmt::format("{} kinds of parts", rows.size());
        reply.workings.push_back(std::move(working));
        if (left_over > 0)
            reply.findings.push_back(
                about(line, {Severity::note, "kit-parts-left-out", "",
                             fmt::format("{} parts of the box are left out", left_over)}));
    });
    if (!sheet.kit.bought_besides.empty())
        reply.findings.push_back(
            about(line, {Severity::note, "kit-needs-besides", "",
                         fmt::format("its box does not hold {}: see that lines of the project do",
                                     fmt::join(sheet.kit.bought_besides, ", "))}));
}

void check_fit(const Line& line, const KitSheet& sheet, TakeOffReply& reply) {
    KitDuty duty;
    if (const auto mattress = mattress_of(line)) {
        duty.mattress_width = mattress->width;
        duty.mattress_length = mattress->length;
        duty.mattress_thickness = mattress->thickness;
    }
    if (const double mass = number(line, "moving_mass", 0); mass > 0) duty.moving_mass = mass;
    if (const double t = number(line, "panel_thickness", 0); t > 0) duty.material_thickness = t;
    duty.hand = hand_of(line);
    for (const contract::Finding& finding : kit_fits(sheet.kit, duty)) {
        // A lift that names the kit checks the mass it moves.
        if (finding.code == "kit-moving-mass-not-checked") continue;
        reply.findings.push_back(about(line, finding));
    }
    if (!sheet.note.empty())
        reply.findings.push_back(
            about(line, {Severity::note, "kit-maker-says", "", "its maker says: " + sheet.note}));
}

/// What is lifted when the panel is hung: the mattress is laid last.
double bare_panel_mass(const Line& line) {
    double mass = number(line, "moving_mass", 0);
    if (const Line* mattress = reference(line, text(line, "mattress", "")); mattress != nullptr)
        mass -= number(*mattress, "derived.mass", 0);
    return std::max(mass, 0.0);
}

/// The kit maker's order. A step waits for the one before it; the first of each phase waits for all
/// earlier phases of the piece instead, which hold those before it. What loads springs comes with
/// the phase complete.
void add_steps(const Line& line, const KitSheet& sheet, const TakeOffRequest& request,
               const std::string& demand, TakeOffReply& reply) {
    std::vector<AssemblyStep> order;
    for (const KitStep& step : sheet.steps) {
        order.push_back(step.step);
        if (!step.lifts_panel) continue;
        order.back().lifted_mass = round_to(bare_panel_mass(line), 1);
        const double length = number(line, "derived.panel_length", 0);
        const double width = number(line, "derived.panel_width", 0);
        order.back().longest = std::max(length, width);
        order.back().largest = round_to(length * width * 1e-6, 2);
    }
    for (const Fault& fault : faults_of(order))
        reply.findings.push_back(
            about(line, {Severity::problem, fault.code, "", fault.wrong + "; " + fault.right}));
    const Alone alone = alone_in(request.settings);
    std::string before;
    std::optional<contract::Phase> phase;
    for (std::size_t i = 0; i < order.size(); ++i) {
        contract::Step step;
        step.id = line.id + '_' + order[i].id;
        step.title = fmt::format("{}: {}", display_name(line), order[i].title);
        step.lines = {line.id};
        step.phase = sheet.steps[i].phase;
        step.operation = "kit";
        step.minutes = round_to(order[i].minutes * static_cast<double>(line.count), 4);
        step.people = people_for(order[i], alone);
        if (!before.empty() && phase == step.phase) step.after = {before};
        step.needs = {demand};
        phase = step.phase;
        before = step.id;
        for (contract::Finding finding : lifting_findings({order[i]}, alone)) {
            finding.step = step.id;
            reply.findings.push_back(about(line, std::move(finding)));
        }
        reply.steps.push_back(std::move(step));
    }
}

void find_offers(const TakeOffRequest& request, double mass, Demand& demand, TakeOffReply& reply) {
    const Line& first = request.lines.front();
    const std::string hand = text(first, "hand", "either");
    for (const contract::Offer& offer : request.offers) {
        if (offer.catalog_class != "kit" || !by_count(offer)) continue;
        const std::string offered = text(offer.attributes, "hand", "either");
        if (hand != "either" && offered != "either" && offered != hand) continue;
        demand.amount->offers.push_back(
            {offer.id, offer.pack, 0,
             round_to(number(offer.attributes, "mass", mass) * offer.pack, 4)});
    }
    if (!demand.amount->offers.empty()) return;
    for (const Line& line : request.lines)
        reply.findings.push_back(
            about(line, {Severity::problem, "kit-not-offered", "",
                         fmt::format("nobody offers kit '{}'{}, so it is not priced: add it to a "
                                     "price list or choose another",
                                     text(line, "model"),
                                     hand == "either" ? "" : " for the " + hand + " hand")}));
}

} // namespace

std::optional<MattressSize> mattress_of(const Line& line) {
    const Line* mattress = reference(line, text(line, "mattress", ""));
    if (mattress == nullptr) return std::nullopt;
    const MattressSize size{number(*mattress, "derived.width", 0),
                            number(*mattress, "derived.length", 0),
                            number(*mattress, "derived.thickness", 0)};
    if (!(size.width > 0 && size.length > 0 && size.thickness > 0)) return std::nullopt;
    return size;
}

std::optional<KitSheet> sheet_of(const Line& kit, const Json& tables) {
    try {
        return find_kit(tables, text(kit, "model"));
    } catch (const FaultError&) {
        return std::nullopt; // told of in derive
    }
}

void derive_kit(const Line& line, const contract::DeriveRequest& request,
                contract::DeriveReply& reply) {
    const std::string& unit = request.settings.length_unit;
    Json values = Json::object();
    guarded(line, reply.findings, [&] {
        const KitSheet sheet = find_kit(request.tables, text(line, "model"));
        if (sheet.mass > 0) {
            values["mass"] = round_to(sheet.mass, 4);
            reply.workings.push_back({line.id + ".mass",
                                      "Mass of " + display_name(line),
                                      "as its maker states",
                                      {},
                                      mass_text(sheet.mass),
                                      source_of(sheet)});
        }
        if (sheet.plan.sizes.empty()) return;
        const MattressSize& nominal = sheet.plan.nominal;
        const MattressSize mattress = mattress_of(line).value_or(nominal);
        const std::array shifts{
            std::tuple{"plan_width_shift", "width", mattress.width, nominal.width},
            std::tuple{"plan_length_shift", "length", mattress.length, nominal.length},
            std::tuple{"plan_thickness_shift", "thickness", mattress.thickness, nominal.thickness}};
        for (const auto& [name, side, ours, planned] : shifts) {
            values[name] = round_to(ours - planned, 4);
            reply.workings.push_back(
                {line.id + '.' + name,
                 fmt::format("Difference of the mattresses in {}", side),
                 "mattress of the line - mattress of the plan",
                 {{"mattress of the line", length_text(ours, unit),
                   text(line, "mattress", "") + '.' + side},
                  {"mattress of the plan", length_text(planned, unit), source_of(sheet)}},
                 length_text(ours - planned, unit),
                 source_of(sheet)});
        }
        const std::vector<CutSize> cuts = plan_for(line, sheet, unit);
        for (const PlanRole& role : sheet.roles) {
            const CutSize& cut = *size_named(cuts, role.size);
            values[role.role] = round_to(cut.size, 4);
            reply.workings.push_back(
                cut_working(line.id + '.' + role.role, cut, cut_step_of(line, unit), sheet, unit));
        }
    });
    reply.lines.push_back({line.id, values});
}

void take_off_kits(const TakeOffRequest& request, TakeOffReply& reply) {
    const Line& first = request.lines.front();
    Demand demand;
    demand.id = first.id;
    demand.title = fmt::format("Kit {}", text(first, "model"));
    demand.decides_sizes = true;
    demand.amount.emplace();
    contract::QuantityRow row{first.id + ".needed", demand.title, 0, "", {}};
    double mass = 0;
    for (const Line& line : request.lines) {
        demand.amount->quantity += static_cast<double>(line.count);
        demand.shares.push_back({line.id, static_cast<double>(line.count)});
        row.lines.push_back(line.id);
        // A model without data sheet has been told of in derive; the kit itself can still be
        // bought.
        std::optional<KitSheet> sheet;
        try {
            sheet = find_kit(request.tables, text(line, "model"));
        } catch (const FaultError&) {
            continue;
        }
        mass = sheet->mass;
        check_fit(line, *sheet, reply);
        add_contents(line, *sheet, reply);
        add_plan(line, *sheet, request.settings.length_unit, reply);
        add_steps(line, *sheet, request, demand.id, reply);
    }
    row.value = demand.amount->quantity;
    reply.workings.push_back({row.ref,
                              demand.title,
                              "sum of the counts of its lines",
                              {},
                              format_trimmed(row.value, 0),
                              "what the lines state"});
    find_offers(request, mass, demand, reply);
    reply.quantities.push_back(std::move(row));
    reply.demands.push_back(std::move(demand));
}

} // namespace aumbry::hardware_kits
