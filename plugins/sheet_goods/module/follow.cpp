#include "sheet_goods/module/follow.hpp"

#include "sheet_goods/module/dangers.hpp"
#include "sheet_goods/module/material.hpp"
#include "sheet_goods/module/shop.hpp"
#include "sheet_goods/module/take_off.hpp"
#include "sheet_goods/module/text.hpp"
#include "sheet_goods/module/work.hpp"

#include "aumbry/plugin.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <tuple>

namespace aumbry::sheet_goods {

namespace {

using contract::Chosen;
using contract::FollowReply;
using contract::FollowRequest;
using contract::Line;
using contract::Severity;

const std::string sheets_suffix = ".sheets";

/// Lines of one specification, as take-off groups them.
std::vector<std::vector<Line>> groups_of(const std::vector<Line>& lines) {
    std::vector<std::vector<Line>> groups;
    for (const Line& line : lines) {
        if (line.kind != "panel" || !line.material) continue;
        const auto same = std::find_if(groups.begin(), groups.end(), [&](const auto& group) {
            return same_specification(*group.front().material, *line.material);
        });
        if (same == groups.end())
            groups.push_back({line});
        else
            same->push_back(line);
    }
    return groups;
}

class Follower {
  public:
    explicit Follower(const FollowRequest& request)
        : request_(request), shop_(read_shop(request.settings)) {}

    FollowReply run() {
        for (const auto& lines : groups_of(request_.lines)) {
            const std::string group = group_name(lines);
            for (const Chosen& chosen : request_.chosen) {
                if (chosen.module == "sheet_goods" && chosen.demand == group + sheets_suffix)
                    sheets(group, lines, chosen);
            }
        }
        grooves();
        for (const auto& [piece, lines] : panels_by_piece()) {
            carry_in(piece, lines);
            close(piece, lines);
        }
        if (!request_.lines.empty())
            reply_.not_counted = {"drawing and design", "driving to the client",
                                  "wear of blades and bits"};
        saw();
        warn_of_tipping(request_, shop_, reply_.findings);
        return std::move(reply_);
    }

  private:
    /// Figures of the plans of a way.
    struct Figures {
        std::int64_t sheets = 0, own = 0, cuts = 0, dealer = 0, settings = 0, kept = 0;
        double area = 0, parts = 0, kept_area = 0;
    };

    /// m2
    template <class Rectangle>
    static double area_of(const Rectangle& rectangle) {
        return rectangle.length * rectangle.width / 1e6;
    }

    static bool by_dealer(const contract::SheetCut& cut) {
        return cut.by == contract::CutBy::dealer;
    }

    static Figures figures_of(const std::vector<contract::SheetPlan>& plans) {
        Figures f;
        for (const contract::SheetPlan& plan : plans) {
            const std::int64_t copies = plan.copies;
            const auto n = static_cast<double>(copies);
            f.sheets += copies;
            if (plan.supplier.empty()) f.own += copies;
            f.area += area_of(plan.sheet) * n;
            for (const contract::Placement& part : plan.placements) f.parts += area_of(part) * n;
            f.cuts += copies * static_cast<std::int64_t>(plan.cuts.size());
            f.dealer += copies * std::count_if(plan.cuts.begin(), plan.cuts.end(), by_dealer);
            // One number over all sheets of a way.
            for (const contract::SheetCut& cut : plan.cuts)
                f.settings = std::max<std::int64_t>(f.settings, cut.setting.value_or(0));
            for (const contract::Offcut& offcut : plan.offcuts) {
                if (!offcut.keep) continue;
                f.kept += copies;
                f.kept_area += area_of(offcut) * n;
            }
        }
        return f;
    }

    void sheets(const std::string& group, const std::vector<Line>& lines, const Chosen& chosen) {
        const std::vector<contract::SheetPlan>& plans = chosen.plans.sheets;
        if (plans.empty()) return;
        const SheetMaterial material = read_material(*lines.front().material, request_.tables);
        const std::string name = material_text(material, shop_.unit);
        const Figures f = figures_of(plans);
        if (f.cuts > f.dealer)
            for (const Line& line : lines) sawn_.insert(step_id("cut", group, line.piece));
        std::vector<std::string> ids;
        for (const contract::Share& share : chosen.shares) ids.push_back(share.line);
        const auto row = [&](const char* figure, const std::string& title, double value,
                             const char* unit) {
            reply_.quantities.push_back(
                {group + '.' + figure, name + ", " + title, value, unit, ids});
        };
        row("sheets", "sheets used", static_cast<double>(f.sheets), "");
        row("sheet_area", "area of the sheets", round_to(f.area, 6), "m2");
        row("waste", "not in parts", round_to(std::max(0.0, f.area - f.parts), 6), "m2");
        if (f.kept > 0) row("offcuts", "offcuts worth keeping", static_cast<double>(f.kept), "");
        if (f.kept > 0)
            row("offcut_area", "area of the offcuts worth keeping", round_to(f.kept_area, 6), "m2");
        row("cuts", "cuts", static_cast<double>(f.cuts), "");
        if (f.dealer > 0)
            row("dealer_cuts", "of these by the dealer", static_cast<double>(f.dealer), "");
        if (f.settings > 0)
            row("settings", "fence settings of the workshop", static_cast<double>(f.settings), "");
        settings(group, chosen, ids, name, f.settings);
        explain(group, lines, chosen, f, name);
        if (material.density)
            heavy_sheets(group, chosen, ids, name,
                         *material.density * material.part_thickness() / 1000);
    }

    /// The cuts themselves are timed by the part.
    void settings(const std::string& group, const Chosen& chosen,
                  const std::vector<std::string>& ids, const std::string& name,
                  std::int64_t count) {
        if (count == 0 || shop_.minutes_a_setting <= 0) return;
        contract::Step step;
        step.id = "settings." + group;
        step.title = "Set the saw " + count_text(count, "time", "times") + " for " + name;
        step.lines = ids;
        step.phase = contract::Phase::cut;
        step.operation = "settings";
        step.minutes = round_to(shop_.minutes_a_setting * static_cast<double>(count), 4);
        step.needs = {chosen.demand};
        reply_.steps.push_back(std::move(step));
    }

    void explain(const std::string& group, const std::vector<Line>& lines, const Chosen& chosen,
                 const Figures& f, const std::string& name) {
        std::vector<std::string> roles;
        for (const Line& line : lines) {
            if (std::find(roles.begin(), roles.end(), line.material->id) == roles.end())
                roles.push_back(line.material->id);
        }
        // Plans made apart (for faces that show) each have a bound of their own.
        std::set<std::tuple<std::int64_t, std::int64_t, bool, std::string>> bounds;
        for (const contract::SheetPlan& plan : chosen.plans.sheets) {
            if (plan.bound)
                bounds.insert({plan.bound->sheets, plan.bound->lower_bound, plan.bound->proven,
                               plan.bound->method});
        }
        std::string said;
        for (const auto& [used, least, proven, method] : bounds)
            said += (said.empty() ? "" : "; ") + count_text(used, "sheet", "sheets") +
                    ", at least " + std::to_string(least) + " needed by " +
                    (method.empty() ? "area" : method) +
                    (proven ? ": proven, no plan from these formats is better"
                            : ": not proven, a better plan may exist");
        contract::Working working;
        working.ref = group + ".sheets";
        working.title = "Sheets of " + name;
        working.formula = "edge-to-edge cutting plan of all parts with kerf, clean-up and grain";
        for (const contract::Use& use : chosen.uses)
            working.inputs.push_back({use.offer, std::to_string(use.count), use.offer});
        working.inputs.push_back(
            {"parts", format_trimmed(f.parts, 4) + " m2 as cut", group + ".parts_area"});
        working.inputs.push_back({"sheets", format_trimmed(f.area, 4) + " m2", ""});
        working.inputs.push_back(
            {"yield", format_trimmed(f.area > 0 ? f.parts / f.area * 100 : 0, 1) + " %", ""});
        working.inputs.push_back(
            {"bound", said, "area of the parts, dual feasible functions and search"});
        working.result = count_text(f.sheets, "sheet", "sheets") +
                         (f.own > 0 ? ", " + std::to_string(f.own) + " of the workshop's own" : "");
        working.source = said;
        for (const std::string& role : roles) {
            working.ref = role + ".sheets";
            if (role != group) working.title = "Sheets of " + name + ", cut together with " + group;
            reply_.workings.push_back(working);
        }
    }

    /// Sheets heavier than one person lifts, which nobody divides beforehand, are handled by two.
    void heavy_sheets(const std::string& group, const Chosen& chosen,
                      const std::vector<std::string>& ids, const std::string& name,
                      double mass_per_area) {
        if (!shop_.heaviest_blank) return;
        std::int64_t heavy = 0;
        double heaviest = 0;
        for (const contract::SheetPlan& plan : chosen.plans.sheets) {
            const double mass = area_of(plan.sheet) * mass_per_area;
            const bool divided = std::any_of(plan.cuts.begin(), plan.cuts.end(), by_dealer);
            if (divided || plan.supplier.empty() || mass <= *shop_.heaviest_blank) continue;
            heavy += plan.copies;
            heaviest = std::max(heaviest, mass);
        }
        if (heavy == 0) return;
        reply_.findings.push_back({Severity::caution, "sheet-heavy", "",
                                   "A sheet of " + name + " weighs " +
                                       mass_text(heaviest, shop_.unit, 0) + ", more than the " +
                                       mass_text(*shop_.heaviest_blank, shop_.unit) +
                                       " that one person lifts: bring it in and make the first "
                                       "cuts with two, or have the dealer divide it.",
                                   "divide." + group});
        if (shop_.minutes_a_heavy_sheet <= 0) return;
        contract::Step step;
        step.id = "divide." + group;
        step.title = "Bring in and divide " + count_text(heavy, "heavy sheet", "heavy sheets") +
                     " of " + name;
        step.lines = ids;
        step.phase = contract::Phase::prepare;
        step.minutes = round_to(shop_.minutes_a_heavy_sheet * static_cast<double>(heavy), 4);
        step.people = 2;
        step.operation = "divide";
        step.needs = {chosen.demand};
        reply_.steps.push_back(std::move(step));
    }

    std::map<std::string, std::vector<const Line*>> panels_by_piece() const {
        std::map<std::string, std::vector<const Line*>> pieces;
        for (const Line& line : request_.lines)
            if (line.kind == "panel" && !line.piece.empty()) pieces[line.piece].push_back(&line);
        return pieces;
    }

    /// A piece is carried to where it stands by two where a part of it or its mass asks for that.
    /// Nobody knows yet whether it comes whole or in parts: what two cannot hold up is said.
    void carry_in(const std::string& piece, const std::vector<const Line*>& lines) {
        if (shop_.minutes_to_carry_in <= 0) return;
        contract::Step step;
        step.id = "carry." + piece;
        step.title = "Carry in '" + piece + "'";
        step.phase = contract::Phase::carry_in;
        step.operation = "carry";
        step.minutes = shop_.minutes_to_carry_in;
        double mass = 0;
        for (const Line* line : lines) {
            step.lines.push_back(line->id);
            mass += number(*line, "derived.mass", 0) * static_cast<double>(line->count);
            const double longest =
                std::max(number(*line, "derived.length", 0), number(*line, "derived.width", 0));
            if (longest > shop_.longest_alone ||
                number(*line, "derived.area", 0) > shop_.largest_alone)
                step.people = 2;
        }
        const double alone = shop_.heaviest_blank.value_or(one_person_lifts);
        if (mass > alone) step.people = 2;
        if (mass > 2 * alone)
            reply_.findings.push_back(
                {Severity::caution, "piece-heavy", lines.front()->id,
                 "'" + piece + "' weighs " + mass_text(mass, shop_.unit, 0) +
                     " in panels alone, more than two people lift at " +
                     mass_text(alone, shop_.unit) +
                     " each: carry it in parts or sections and put it together where it stands, "
                     "or move it on a trolley and straps.",
                 step.id});
        reply_.steps.push_back(std::move(step));
    }

    /// What is left to do once a piece stands: the bench and the room are cleared, and what the
    /// client finds is put right.
    void close(const std::string& piece, const std::vector<const Line*>& lines) {
        const auto step = [&](const char* id, const char* operation, std::string title,
                              double minutes) {
            if (minutes <= 0) return;
            contract::Step made;
            made.id = id + piece;
            made.title = std::move(title);
            for (const Line* line : lines) made.lines.push_back(line->id);
            made.phase = contract::Phase::complete;
            made.operation = operation;
            made.minutes = minutes;
            reply_.steps.push_back(std::move(made));
        };
        step("clear.", "clear up", "Clear up after '" + piece + "'", shop_.minutes_to_clear_up);
        step("snags.", "snags", "Put right what is found at '" + piece + "'",
             shop_.minutes_of_snags);
    }

    /// What every maker of saws says of them, from memory; at each step, of which the first counts.
    void saw() {
        for (const std::string& step : sawn_)
            reply_.findings.push_back({Severity::warning, "kickback", "",
                                       "A saw throws back what its blade catches or what is "
                                       "pinched between blade and fence: "
                                       "keep guard and riving knife on, stand beside the line of "
                                       "the cut, hold panels with a "
                                       "second person or a stand, and push narrow strips with a "
                                       "stick. What the maker of the "
                                       "saw says comes first.",
                                       step});
    }

    /// A groove is cut to the measured thickness, so it waits for the sheet of the panel that sits
    /// in it.
    void grooves() {
        const auto groups = groups_of(request_.lines);
        for (const Line& line : request_.lines) {
            const std::string housed = text(line, "groove_for", "");
            if (line.kind != "panel" || housed.empty()) continue;
            contract::Step step;
            step.id = "groove." + line.id;
            step.title = "Groove " + display_name(line) + " to the measured thickness";
            step.lines = {line.id};
            step.phase = contract::Phase::machine;
            step.operation = "groove";
            step.minutes = round_to(shop_.minutes_a_groove * static_cast<double>(line.count), 4);
            for (const auto& group : groups) {
                if (std::none_of(group.begin(), group.end(),
                                 [&](const Line& l) { return l.id == housed; }))
                    continue;
                const std::string demand = group_name(group) + sheets_suffix;
                const bool bought = std::any_of(
                    request_.chosen.begin(), request_.chosen.end(), [&](const Chosen& c) {
                        return c.module == "sheet_goods" && c.demand == demand;
                    });
                if (bought) step.needs.push_back(demand);
            }
            reply_.steps.push_back(std::move(step));
        }
    }

    const FollowRequest& request_;
    Shop shop_;
    FollowReply reply_;
    std::set<std::string> sawn_; ///< steps in which a cut is made in the workshop
};

} // namespace

FollowReply follow_panels(const FollowRequest& request) {
    return Follower(request).run();
}

} // namespace aumbry::sheet_goods
