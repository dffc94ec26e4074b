#include "hardware_kits/module/hardware_kits_module.hpp"

#include "hardware_kits/engine/cautions.hpp"
#include "hardware_kits/module/fastener_line.hpp"
#include "hardware_kits/module/fixing_line.hpp"
#include "hardware_kits/module/kit_line.hpp"
#include "hardware_kits/module/lift_line.hpp"
#include "hardware_kits/module/messages.hpp"

#include "aumbry/reader_measures.hpp"

#include <algorithm>
#include <optional>
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

void check_lift(const Line& lift, const FollowRequest& request, FollowReply& reply) {
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
    bool moves = false;
    bool folds = false;
    for (const Line& line : request.lines) {
        if (line.kind == "lift") {
            moves = true;
            folds =
                folds || folds_up(number(line, "start_angle", 0), number(line, "end_angle", 90));
            check_lift(line, request, reply);
        }
        if (line.kind == "kit") {
            const auto sheet = sheet_of(line, request.tables);
            if (!sheet) continue;
            moves = moves || sheet->fold_up || !sheet->mountings.empty();
            folds = folds || sheet->fold_up;
            check_kit(line, *sheet, request, reply);
        }
    }
    const auto warn_of = [&](Hazard hazard) {
        for (const Caution& said : cautions_for(hazard))
            reply.findings.push_back({said.severity, said.code, "", said.text});
    };
    if (moves) warn_of(Hazard::lift);
    if (folds) warn_of(Hazard::fold_up);
    if (moves) warn_of(Hazard::electric);
    return for_reader(std::move(reply), request.settings);
}

} // namespace aumbry::hardware_kits
