#include "sheet_goods/module/take_off.hpp"

#include "sheet_goods/module/dangers.hpp"
#include "sheet_goods/module/derive.hpp"
#include "sheet_goods/module/edging.hpp"
#include "sheet_goods/module/text.hpp"
#include "sheet_goods/module/ways.hpp"
#include "sheet_goods/module/work.hpp"

#include "aumbry/plugin.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>
#include <cmath>

namespace aumbry::sheet_goods {

namespace {

using contract::Finding;
using contract::Severity;
using contract::TakeOffReply;
using contract::TakeOffRequest;

constexpr double no_way = 1e10;    // bounds what there is no way to do
constexpr double widest_kerf = 10; // mm; common practice: blades for panels take 2 to 5

class GroupTakeOff {
  public:
    GroupTakeOff(const TakeOffRequest& request, const Stop& stop)
        : request_(request),
          material_(read_material(*request.lines.front().material, request.tables)),
          grades_(request.tables.contains("sheet_grades") ? &request.tables["sheet_grades"]
                                                          : nullptr),
          group_(group_name(request.lines)) {
        terms_.shop = read_shop(request.settings);
        terms_.mass_per_area =
            material_.density ? *material_.density * material_.part_thickness() / 1000 : 0;
        terms_.stop = stop;
        name_ = material_text(material_, terms_.shop.unit);
    }

    TakeOffReply run() {
        read_panels();
        if (!panels_.empty()) {
            stock_ = read_stock(request_, material_, grades_, terms_.shop, reply_.findings);
            if (stock_.empty()) {
                const bool listed =
                    std::any_of(reply_.findings.begin(), reply_.findings.end(),
                                [](const auto& f) { return f.code == "sheet-out-of-stock"; });
                problem("sheet-not-offered", "",
                        (listed ? "No supplier has " + name_ + " in stock: wait for it"
                                : "No supplier offers " + name_ + ": add it to a price list") +
                            ", or change the material " + material_.role + ".");
                leave_out_all();
            } else {
                fit_to_stock();
                check_dealers_kerf();
            }
        }
        plan();
        say_on_the_way();
        quantities();
        take_off_edging(request_, all_panels(), material_, terms_.shop, group_, reply_);
        seam_rows();
        add_work(all_panels(), material_, terms_, group_, !panels_.empty(), reply_);
        say_unwieldy(all_panels(), material_, terms_.shop, group_, reply_.findings);
        say_dust(panels_, material_, group_, reply_.findings);
        return std::move(reply_);
    }

    /// Better ways for the same parts, and what any way costs.
    contract::PlanReply plan_again(const contract::PlanRequest& wish) {
        contract::PlanReply again;
        read_panels();
        if (panels_.empty()) return again;
        again.lower_bound = no_way;
        stock_ = read_stock(request_, material_, grades_, terms_.shop, reply_.findings);
        if (stock_.empty()) return again;
        fit_to_stock();
        if (!left_out_.empty()) return again;
        const double known = wish.known.value_or(no_way);
        again.lower_bound = least_cost(panels_, stock_, terms_, std::llround(known * 100));
        // Parts that are cut apart here lie side by side on the sheets of others.
        if (wish.only_bound || !unmatched_.empty() || again.lower_bound >= known) return again;
        WayReply found = find_ways(way_request());
        if (found.narrow_strips.empty()) again.ways = std::move(found.ways);
        return again;
    }

  private:
    void read_panels() {
        for (const contract::Line& line : request_.lines)
            panels_.push_back(read_panel(line, terms_.shop));
        check_kerf();
        take_out_impossible();
    }

    void find(Severity severity, const char* code, const std::string& line, std::string sentence) {
        reply_.findings.push_back({severity, code, line, std::move(sentence)});
    }
    void problem(const char* code, const std::string& line, std::string sentence) {
        find(Severity::problem, code, line, std::move(sentence));
    }
    [[nodiscard]] std::string length(double mm) const { return length_text(mm, terms_.shop.unit); }
    [[nodiscard]] std::string size(const PanelSize& s) const {
        return size_text(s.length, s.width, terms_.shop.unit);
    }

    [[nodiscard]] std::vector<Panel> all_panels() const {
        std::vector<Panel> all = panels_;
        all.insert(all.end(), left_out_.begin(), left_out_.end());
        return all;
    }

    void check_kerf() {
        if (terms_.shop.kerf < 0) {
            problem("kerf-negative", "",
                    "The kerf is " + length(terms_.shop.kerf) +
                        "; a kerf is 0 or more, and 0 is used.");
            terms_.shop.kerf = 0;
        } else if (terms_.shop.kerf == 0) {
            find(Severity::caution, "kerf-not-stated", "",
                 "The workshop's kerf is 0, so parts are planned as if the blade took nothing: set "
                 "\"kerf\" of the workshop to what yours takes (2.2 to 3.2 mm is usual).");
        } else if (terms_.shop.kerf > widest_kerf) {
            problem(
                "kerf-too-wide", "",
                "The workshop's kerf is " + length(terms_.shop.kerf) +
                    ", wider than any blade for "
                    "panels: set \"kerf\" of the workshop to what yours takes (2.2 to 3.2 mm is "
                    "usual).");
        }
    }

    /// Of suppliers whose sheets may be cut.
    void check_dealers_kerf() {
        std::vector<std::string> seen;
        for (const Stock& sheet : stock_) {
            if (sheet.owned() || sheet.cutting == nullptr) continue;
            const std::string& supplier = sheet.offer->supplier;
            if (std::find(seen.begin(), seen.end(), supplier) != seen.end()) continue;
            seen.push_back(supplier);
            if (!dealer_divides(sheet, terms_)) continue;
            if (sheet.cutting->kerf <= 0)
                find(Severity::caution, "kerf-not-stated", "",
                     supplier +
                         " cuts, and its kerf is not stated, so its cuts are planned as if they "
                         "took nothing: set \"kerf\" under \"cutting\" in its supplier.json (3 "
                         "to 5 mm is usual).");
            else if (sheet.cutting->kerf > widest_kerf)
                problem("kerf-too-wide", "",
                        "The kerf of " + supplier + " is " + length(sheet.cutting->kerf) +
                            ", wider than any blade for panels: set \"kerf\" under \"cutting\" in "
                            "its supplier.json (3 to 5 mm is usual).");
        }
    }

    /// Moves panels for which `wrong` holds out of the plan.
    template <class Wrong>
    void leave_out(const Wrong& wrong) {
        const auto bad = std::stable_partition(panels_.begin(), panels_.end(),
                                               [&](const Panel& panel) { return !wrong(panel); });
        left_out_.insert(left_out_.end(), bad, panels_.end());
        panels_.erase(bad, panels_.end());
    }
    void leave_out_all() {
        leave_out([](const Panel&) { return true; });
    }

    void take_out_impossible() {
        std::int64_t total = 0;
        leave_out([&](const Panel& panel) {
            for (const Section& section : sections_of(panel)) {
                const double least = std::min(section.cut.length, section.cut.width);
                if (least <= 0) return true; // derive has said why
                if (least < terms_.shop.kerf) {
                    problem("kerf-larger-than-part", panel.line->id,
                            "The kerf of " + length(terms_.shop.kerf) + " is larger than " +
                                panel.name + " (" + size(section.cut) +
                                "): check the unit of the kerf.");
                    return true;
                }
            }
            const auto sections = static_cast<std::int64_t>(sections_of(panel).size());
            if (panel.line->count > most_parts / sections ||
                total + panel.line->count * sections > most_parts) {
                problem("too-many-parts", panel.line->id,
                        panel.name + " asks for " + std::to_string(panel.line->count) +
                            " parts; at most " + std::to_string(most_parts) +
                            " parts of one material are planned at once: check its count.");
                return true;
            }
            total += panel.line->count * sections;
            return false;
        });
    }

    /// Leaves out what fits no sheet, and takes match groups apart that are too large for one.
    void fit_to_stock() {
        std::vector<const Stock*> all;
        for (const Stock& sheet : stock_) all.push_back(&sheet);
        const double kerf = plan_kerf(terms_.shop);
        for (const CutPart& part : cut_parts(panels_, kerf, reply_.findings)) {
            if (!part.compound() || fit_of(part, stock_) == Fit::fits) continue;
            const std::string match = part.members.front().panel->match;
            find(Severity::caution, "match-group-too-large", part.members.front().panel->line->id,
                 "The parts of match group '" + match + "' side by side (" + size(part.size) +
                     ") fit no sheet; they are cut one by one, and the grain does not run on.");
            for (Panel& panel : panels_) {
                if (panel.match == match) unmatched_.push_back(panel.line->id);
            }
        }
        for (Panel& panel : panels_) {
            if (std::find(unmatched_.begin(), unmatched_.end(), panel.line->id) != unmatched_.end())
                panel.match.clear();
        }
        std::vector<Finding> said;
        std::vector<std::string> unfit;
        bool all_carried = true;
        for (const CutPart& part : cut_parts(panels_, kerf, said)) {
            const Fit fit = fit_of(part, stock_);
            const Panel& panel = *part.members.front().panel;
            if (fit != Fit::fits) {
                say_unfit(part, panel, fit);
                unfit.push_back(panel.line->id);
            } else if (!can_be_carried(part.size)) {
                all_carried = false;
                if (brought_here()) continue;
                problem("part-larger-than-vehicle", panel.line->id,
                        part.name + " (" + size(part.size) + ") does not fit the vehicle (" +
                            vehicle() + "), and no supplier of " + name_ +
                            " delivers: split it at a seam, state a larger \"vehicle\", or find "
                            "a supplier that delivers.");
            }
        }
        // They come whole then, and by delivery.
        for (Stock& sheet : stock_) {
            if (all_carried || !too_large_to_fetch(sheet, terms_.shop)) continue;
            sheet.fetched = false;
            sheet.brought = true;
        }
        leave_out([&](const Panel& panel) {
            return std::find(unfit.begin(), unfit.end(), panel.line->id) != unfit.end();
        });
    }

    void say_unfit(const CutPart& part, const Panel& panel, Fit fit) {
        const Stock& largest =
            *std::max_element(stock_.begin(), stock_.end(),
                              [](const Stock& a, const Stock& b) { return a.area() < b.area(); });
        const std::string sheet = "the largest sheet of " + name_ + " is " +
                                  size_text(largest.length, largest.width, terms_.shop.unit) +
                                  " less " + length(largest.clean_up) + " clean-up all round";
        if (fit == Fit::against_grain) {
            problem("grain-fits-no-sheet", panel.line->id,
                    part.name + " (" + size(part.size) +
                        ") fits no sheet with its grain along its " + panel.grain +
                        ": let the grain be 'any', or split it at a seam; " + sheet + ".");
            return;
        }
        const bool by_length = part.size.length > part.size.width;
        problem(
            "part-larger-than-sheet", panel.line->id,
            part.name + " (" + size(part.size) + ") is larger than every sheet; " + sheet +
                ": state a seam, say along the " + (by_length ? "length" : "width") + " at " +
                length(std::floor((by_length ? panel.outer().length : panel.outer().width) / 2)) +
                ", or add a larger format.");
    }

    /// Panels that show a face for which the material's own grade is not good enough.
    std::vector<Panel> particular_panels(std::vector<const Stock*>& better) {
        std::vector<Panel> particular;
        const auto good_for = [&](const Panel& panel, const Stock& sheet) {
            return grades_.serves(sheet.grades, wanted_grades(panel, material_.grades.face));
        };
        std::vector<std::string> matches;
        for (const Panel& panel : panels_) {
            if (grades_.serves(material_.grades, wanted_grades(panel, material_.grades.face)))
                continue;
            if (std::none_of(stock_.begin(), stock_.end(), [&](const Stock& sheet) {
                    return good_for(panel, sheet) && !sheet.owned();
                })) {
                const Grades wanted = wanted_grades(panel, material_.grades.face);
                problem("face-grade-not-offered", panel.line->id,
                        panel.name + " shows " + (panel.faces == 2 ? "two faces" : "a face") +
                            " and needs " + wanted.face + (panel.faces == 2 ? " on both" : "") +
                            "; no sheet of " + name_ +
                            " that is offered has it: change the grade of material " +
                            material_.role + ", or how many faces show. It is cut from " + name_ +
                            " as it is.");
                continue;
            }
            particular.push_back(panel);
            if (!panel.match.empty()) matches.push_back(panel.match);
        }
        // Parts side by side come from one sheet.
        for (const Panel& panel : panels_) {
            const bool known = std::any_of(particular.begin(), particular.end(),
                                           [&](const Panel& p) { return p.line == panel.line; });
            if (!known && std::find(matches.begin(), matches.end(), panel.match) != matches.end())
                particular.push_back(panel);
        }
        for (const Stock& sheet : stock_) {
            if (std::all_of(particular.begin(), particular.end(), [&](const Panel& panel) {
                    return good_for(panel, sheet) ||
                           grades_.serves(material_.grades,
                                          wanted_grades(panel, material_.grades.face));
                })) {
                better.push_back(&sheet);
            }
        }
        const bool one_for_all = std::any_of(better.begin(), better.end(),
                                             [](const Stock* sheet) { return !sheet->owned(); });
        if (!particular.empty() && !one_for_all) {
            problem("face-grades-differ", particular.front().line->id,
                    "The parts of " + name_ +
                        " show faces of grades that no single sheet has: give them materials of "
                        "their own. They are cut from " +
                        name_ + " as it is.");
            particular.clear();
        }
        return particular;
    }

    WayRequest way_request() {
        WayRequest ways;
        ways.panels = panels_;
        ways.stock = stock_;
        ways.terms = terms_;
        std::vector<const Stock*> better;
        ways.particular = particular_panels(better);
        // `stock_` and the copy have one order.
        for (const Stock* sheet : better)
            ways.better.push_back(&ways.stock[static_cast<std::size_t>(sheet - stock_.data())]);
        return ways;
    }

    void plan() {
        if (!panels_.empty()) {
            const WayReply found = find_ways(way_request());
            demand(group_ + ".sheets", name_ + " for " + material_.role, panels_, found.ways);
            if (found.ways.empty()) {
                problem("not-enough-sheets", "",
                        "The sheets of " + name_ +
                            " that can be had do not hold all parts: look for another supplier, or "
                            "wait for his stock.");
            }
            say_carriage(found);
        }
        if (!left_out_.empty()) demand(group_ + ".not_cut", name_ + ", not cut", left_out_, {});
    }

    void demand(std::string id, std::string title, const std::vector<Panel>& panels,
                std::vector<contract::Way> ways) {
        contract::Demand demand;
        demand.id = std::move(id);
        demand.title = std::move(title);
        demand.plan_type = "sheet";
        demand.ways = std::move(ways);
        for (const Panel& panel : panels)
            demand.shares.push_back({panel.line->id, round_to(cut_area(panel), 6)});
        demand.decides_sizes = std::any_of(panels.begin(), panels.end(), [&](const Panel& panel) {
            return std::any_of(request_.lines.begin(), request_.lines.end(),
                               [&](const contract::Line& line) {
                                   return text(line, "groove_for", "") == panel.line->id;
                               });
        });
        reply_.demands.push_back(std::move(demand));
    }

    /// Whether a blank for a part lies in the vehicle, with what is left beside it.
    [[nodiscard]] bool can_be_carried(const PanelSize& part) const {
        const Shop& shop = terms_.shop;
        const double beside =
            2 * std::max({shop.clean_up, shop.dealer_edge, shop.kerf}) + dealer_step(shop);
        return shop.carries(part.length, part.width) &&
               std::all_of(stock_.begin(), stock_.end(), [&](const Stock& sheet) {
                   return !too_large_to_fetch(sheet, shop) || sheet.cutting == nullptr ||
                          shop.carries(part.length + beside, part.width + beside);
               });
    }

    [[nodiscard]] std::string vehicle() const {
        return vehicle_text(*terms_.shop.vehicle, terms_.shop.unit);
    }

    /// Whether any of the sheets can come by delivery.
    [[nodiscard]] bool brought_here() const {
        return std::any_of(stock_.begin(), stock_.end(), [](const Stock& sheet) {
            return !sheet.owned() && sheet.offer->carriage != contract::Carriage::vehicle;
        });
    }

    void say_carriage(const WayReply& found) {
        for (const std::string& supplier : found.narrow_strips) {
            find(Severity::caution, "strip-too-narrow", "",
                 "The first cuts of " + name_ + " ask " + supplier +
                     " for a strip narrower than it cuts: agree on it before ordering.");
        }
        if (!terms_.shop.vehicle) return;
        std::vector<std::string> stuck; // neither fetched nor brought
        bool others = false;
        bool upright = false;
        for (const Stock& sheet : stock_) {
            if (sheet.owned()) continue;
            const bool too_large = too_large_to_fetch(sheet, terms_.shop);
            upright = upright || (too_large && carried_in(*terms_.shop.vehicle, sheet.length,
                                                          sheet.width, 0) == Carried::standing);
            if (!too_large || sheet.cutting != nullptr ||
                sheet.offer->carriage != contract::Carriage::vehicle)
                others = true;
            else if (std::find(stuck.begin(), stuck.end(), sheet.offer->supplier) == stuck.end())
                stuck.push_back(sheet.offer->supplier);
        }
        if (!stuck.empty() && !others)
            problem("sheet-needs-delivery", "",
                    "The sheets of " + name_ + " do not fit the vehicle (" + vehicle() + "), and " +
                        list_text(stuck) +
                        (stuck.size() == 1 ? " neither cuts nor delivers"
                                           : " neither cut nor deliver") +
                        ": state \"cutting\" or \"delivery\" in supplier.json, or a larger "
                        "\"vehicle\".");
        if (upright)
            find(Severity::note, "vehicle-without-height", "",
                 "Sheets of " + name_ +
                     " would stand in the vehicle on edge if it is high enough: state its "
                     "\"height\" under \"vehicle\" to have them fetched so.");
    }

    /// What is too large for the vehicle when it is finished does not get to the client in it.
    void say_on_the_way() {
        if (!terms_.shop.vehicle) return;
        for (const Panel& panel : all_panels()) {
            const PanelSize outer = panel.outer();
            const Carried carried = carried_in(*terms_.shop.vehicle, outer.length, outer.width,
                                               material_.part_thickness());
            if (carried == Carried::yes) continue;
            find(Severity::caution, "finished-larger-than-vehicle", panel.line->id,
                 panel.name + " (" + size(outer) + ") does not fit the vehicle (" + vehicle() +
                     ") on its way to the client: " +
                     (carried == Carried::standing
                          ? "state its \"height\" under \"vehicle\" if it stands in it on edge, "
                          : "") +
                     "hire a larger one, or put it together there.");
        }
    }

    [[nodiscard]] static double cut_area(const Panel& panel) {
        double area = 0;
        for (const Section& section : sections_of(panel))
            area += section.cut.length * section.cut.width / 1e6;
        return area * static_cast<double>(panel.line->count);
    }

    void quantities() {
        double finished = 0;
        double cut = 0;
        double mass = 0;
        std::int64_t count = 0;
        std::vector<std::string> lines;
        contract::Working working;
        for (const Panel& panel : all_panels()) {
            const auto n = static_cast<double>(panel.line->count);
            finished += panel.area() * n;
            cut += cut_area(panel);
            count += panel.line->count;
            mass += mass_of(panel, material_).value_or(0) * n;
            lines.push_back(panel.line->id);
            working.inputs.push_back(
                {panel.line->id,
                 format_trimmed(panel.area(), 4) + " m2 x " + std::to_string(panel.line->count),
                 panel.line->id + ".area"});
        }
        const auto row = [&](const char* figure, const std::string& title, double value,
                             const char* unit) {
            reply_.quantities.push_back({group_ + '.' + figure, title, value, unit, lines});
        };
        row("parts", name_ + ", parts", static_cast<double>(count), "");
        row("parts_area", name_ + ", parts as finished", round_to(finished, 6), "m2");
        row("cut_area", name_ + ", parts as cut", round_to(cut, 6), "m2");
        if (mass > 0) row("parts_mass", name_ + ", mass of parts", round_to(mass, 4), "kg");
        working.ref = group_ + ".parts_area";
        working.title = "Area of the parts of " + name_;
        working.formula = "sum of area x count";
        working.result = format_trimmed(finished, 4) + " m2";
        working.source = "geometry";
        reply_.workings.push_back(std::move(working));
    }

    /// What the seams ask for besides the sheets.
    void seam_rows() {
        double strip = 0;
        std::vector<std::string> lines;
        for (const Panel& panel : all_panels()) {
            for (const Seam& seam : panel.seams) {
                const double along =
                    (seam.along_length ? panel.outer().width : panel.outer().length) / 1000 *
                    static_cast<double>(panel.line->count);
                find(Severity::note, "seam", panel.line->id,
                     panel.name + " is put together at " + length(seam.at) + " by a " + seam.joint +
                         " joint" +
                         (seam.cover_strip
                              ? " under a cover strip, which is neither made nor bought here: add "
                                "a line of solid wood " +
                                    length(along * 1000) + " long for it"
                              : "") +
                         ".");
                reply_.findings.back().step = step_id("join", group_, panel.line->piece);
                if (!seam.cover_strip) continue;
                strip += along;
                if (lines.empty() || lines.back() != panel.line->id)
                    lines.push_back(panel.line->id);
            }
        }
        if (strip > 0)
            reply_.quantities.push_back({group_ + ".cover_strip",
                                         name_ + ", cover strip over seams", round_to(strip, 4),
                                         "m", lines});
    }

    const TakeOffRequest& request_;
    SheetMaterial material_;
    GradeTable grades_;
    std::string group_;
    std::string name_;
    Terms terms_;
    std::vector<Panel> panels_;   ///< in the plan
    std::vector<Panel> left_out_; ///< that cannot be cut
    std::vector<std::string> unmatched_;
    std::vector<Stock> stock_;
    TakeOffReply reply_;
};

} // namespace

std::string group_name(const std::vector<contract::Line>& lines) {
    return lines.empty() || !lines.front().material ? std::string() : lines.front().material->id;
}

TakeOffReply take_off_panels(const TakeOffRequest& request, const Stop& stop) {
    if (request.lines.empty() || !request.lines.front().material) return {};
    return GroupTakeOff(request, stop).run();
}

contract::PlanReply plan_panels(const contract::PlanRequest& request, const Stop& stop) {
    const TakeOffRequest& group = request.group;
    if (group.lines.empty() || !group.lines.front().material) return {};
    return GroupTakeOff(group, stop).plan_again(request);
}

} // namespace aumbry::sheet_goods
