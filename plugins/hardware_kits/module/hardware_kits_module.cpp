#include "hardware_kits/module/hardware_kits_module.hpp"

#include "hardware_kits/engine/cautions.hpp"
#include "hardware_kits/module/fastener_line.hpp"
#include "hardware_kits/module/fixing_line.hpp"
#include "hardware_kits/module/kit_line.hpp"
#include "hardware_kits/module/lift_checks.hpp"
#include "hardware_kits/module/lift_line.hpp"
#include "hardware_kits/module/messages.hpp"

#include "aumbry/reader_measures.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <optional>
#include <set>
#include <utility>

namespace aumbry::hardware_kits {

using contract::FollowReply;
using contract::FollowRequest;
using contract::Line;
using contract::Severity;

namespace {

template <class Reply>
Reply for_reader(Reply reply, const contract::Settings& settings) {
    for (contract::Finding& finding : reply.findings)
        finding.text = measures_for_reader(finding.text, settings.length_unit);
    return reply;
}

/// Whether a line of a kind names another in a field.
bool named_by(const std::vector<Line>& lines, const char* kind, const char* field,
              const std::string& id) {
    return std::any_of(lines.begin(), lines.end(), [&](const Line& line) {
        return line.kind == kind && text(line, field, "") == id;
    });
}

void check_fixed(const Line& lift, const FollowRequest& request, FollowReply& reply) {
    if (named_by(request.lines, "fixing", "lift", lift.id)) return;
    const bool folds = folds_up(number(lift, "start_angle", 0), number(lift, "end_angle", 90));
    if (!folds && kit_fixes_frame(lift, request.tables)) return;
    reply.findings.push_back(
        about(lift, {folds ? Severity::problem : Severity::warning, "lift-without-fixing", "",
                     "no fixing names it: add a line of kind fixing with the wall and its rows of "
                     "screws, since springs are never loaded on a frame that is not fixed"}));
}

void check_kit(const Line& kit, const KitSheet& sheet, const FollowRequest& request,
               FollowReply& reply) {
    if (!sheet.kit.fit.moving_mass || find_value(kit, "moving_mass") != nullptr ||
        named_by(request.lines, "lift", "kit", kit.id))
        return;
    reply.findings.push_back(
        about(kit, {Severity::note, "kit-moving-mass-not-checked", "",
                    "nothing says which mass it moves: add a line of kind lift that names it, or "
                    "state the moving mass"}));
}

/// What of the job moves, and where its cautions belong.
struct Moving {
    bool any = false;
    bool folds = false;
    bool store = false;       ///< something lies under a lid
    bool all_weighed = false; ///< every lift's panel has been
    LiftSteps steps;          ///< of the first
};

void look_at_lift(const Line& lift, const FollowRequest& request, Moving& moving) {
    const bool folds = folds_up(number(lift, "start_angle", 0), number(lift, "end_angle", 90));
    const bool weighed = number(lift, "weighed_mass", 0) > 0;
    moving.all_weighed = weighed && (moving.all_weighed || !moving.any);
    moving.any = true;
    moving.folds = moving.folds || folds;
    moving.store = moving.store || !folds;
    const Line* kit = reference(lift, text(lift, "kit", ""));
    LiftSteps steps =
        steps_of_lift(lift, kit == nullptr ? std::nullopt : sheet_of(*kit, request.tables));
    if (moving.steps.hanging.empty())
        moving.steps = std::move(steps);
    else if (moving.steps.weighing.empty())
        moving.steps.weighing = std::move(steps.weighing);
}

void look_at_kit(const Line& kit, const KitSheet& sheet, Moving& moving) {
    if (!sheet.fold_up && sheet.mountings.empty()) return;
    moving.any = true;
    moving.folds = moving.folds || sheet.fold_up;
    moving.store = moving.store || !sheet.fold_up;
    if (moving.steps.hanging.empty()) moving.steps = steps_of_kit(kit, sheet);
}

void warn(const Moving& moving, FollowReply& reply) {
    if (!moving.any) return;
    const auto say = [&](Hazard hazard) {
        for (const Caution& said : cautions_for(hazard)) {
            if (said.code == "weigh-before-ordering" && moving.all_weighed) continue;
            contract::Finding finding{said.severity, said.code, "", said.text};
            finding.client = said.client;
            finding.step = said.at == At::weighing && !moving.steps.weighing.empty()
                               ? moving.steps.weighing
                           : said.at == At::springs   ? moving.steps.springs
                           : said.at == At::whole_job ? ""
                                                      : moving.steps.hanging;
            reply.findings.push_back(std::move(finding));
        }
    };
    say(Hazard::lift);
    if (moving.store) say(Hazard::store);
    if (moving.folds) say(Hazard::fold_up);
    say(Hazard::electric);
}

/// What other modules ask of a piece: whether anything holds it to the building, and whether iron
/// meets its wood.
void count_by_piece(const FollowRequest& request, FollowReply& reply) {
    std::map<std::string, contract::QuantityRow> rows;
    const auto add = [&](const char* what, const char* title, const std::string& piece,
                         const Line& line, double count) {
        const std::string ref = fmt::format("{}.{}", what, piece);
        contract::QuantityRow& row = rows[ref];
        if (row.ref.empty()) row = {ref, fmt::format("{}: {}", piece, title), 0, "", {}};
        row.value += count;
        if (std::find(row.lines.begin(), row.lines.end(), line.id) == row.lines.end())
            row.lines.push_back(line.id);
    };
    for (const Line& line : request.lines) {
        const auto count = static_cast<double>(line.count);
        if (line.kind == "fixing") {
            std::set<std::string> pieces{line.piece};
            for (const Json& id : records(line, "held"))
                if (const Line* part = reference(line, id.get<std::string>()); part != nullptr)
                    pieces.insert(part->piece);
            for (const std::string& piece : pieces)
                if (!piece.empty())
                    add("fixings", "fixings to the building", piece, line,
                        number(line, "derived.screws", 0) * count);
        }
        if (line.kind == "fastener" && !is_glue(text(line, "type")) && rusts(line) &&
            !line.piece.empty())
            add("plain_steel", "fasteners of plain or zinc-plated steel", line.piece, line,
                number(line, "derived.pieces", 0) * count);
    }
    for (auto& [ref, row] : rows) reply.quantities.push_back(std::move(row));
}

/// Dowels that no glue of the project names hold nothing.
void check_dowels(const FollowRequest& request, FollowReply& reply) {
    std::set<std::string> glued;
    for (const Line& line : request.lines)
        for (const Json& id : records(line, "dowels")) glued.insert(id.get<std::string>());
    for (const Line& line : request.lines) {
        if (line.kind != "fastener" || text(line, "type") != "dowel" || glued.contains(line.id))
            continue;
        contract::Finding finding{Severity::caution, "dowels-without-glue", "",
                                  "no glue of the project is for them: name them in 'dowels' of a "
                                  "line of wood glue"};
        finding.step = "join_" + line.id;
        reply.findings.push_back(about(line, std::move(finding)));
    }
}

} // namespace

contract::DeriveReply HardwareKits::derive(const contract::DeriveRequest& request,
                                           const Host&) const {
    contract::DeriveReply reply;
    for (const Line& line : request.lines) {
        if (line.kind == "kit") derive_kit(line, request, reply);
        if (line.kind == "fastener") derive_fastener(line, request, reply);
        if (line.kind == "lift") derive_lift(line, request, reply);
        if (line.kind == "fixing") derive_fixing(line, reply);
    }
    return for_reader(std::move(reply), request.settings);
}

contract::TakeOffReply HardwareKits::take_off(const contract::TakeOffRequest& request,
                                              const Host&) const {
    contract::TakeOffReply reply;
    if (request.kind == "kit") take_off_kits(request, reply);
    if (request.kind == "fastener") take_off_fasteners(request, reply);
    if (request.kind == "lift") take_off_lifts(request, reply);
    if (request.kind == "fixing") take_off_fixings(request, reply);
    return for_reader(std::move(reply), request.settings);
}

FollowReply HardwareKits::follow(const FollowRequest& request, const Host&) const {
    FollowReply reply;
    Moving moving;
    for (const Line& line : request.lines) {
        if (line.kind == "lift") {
            look_at_lift(line, request, moving);
            check_fixed(line, request, reply);
        }
        if (line.kind == "kit") {
            const auto sheet = sheet_of(line, request.tables);
            if (!sheet) continue;
            look_at_kit(line, *sheet, moving);
            check_kit(line, *sheet, request, reply);
        }
    }
    warn(moving, reply);
    check_dowels(request, reply);
    count_by_piece(request, reply);
    return for_reader(std::move(reply), request.settings);
}

} // namespace aumbry::hardware_kits
