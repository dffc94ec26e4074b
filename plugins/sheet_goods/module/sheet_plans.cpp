#include "sheet_goods/module/sheet_plans.hpp"

#include "sheet_goods/engine/settings.hpp"

#include "aumbry/grid.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

namespace aumbry::sheet_goods {

namespace {

double mm(Steps steps) {
    return round_to(to_mm(steps), 4);
}

contract::SheetGrain told(Grain grain) {
    return grain == Grain::none           ? contract::SheetGrain::none
           : grain == Grain::along_length ? contract::SheetGrain::length
                                          : contract::SheetGrain::width;
}

/// Which way the grain of a part runs, as its line says.
contract::PartGrain told(const std::string& grain) {
    return grain == "length"  ? contract::PartGrain::length
           : grain == "width" ? contract::PartGrain::width
                              : contract::PartGrain::any;
}

contract::CutKind told(CutKind kind) {
    return kind == CutKind::trim  ? contract::CutKind::trim
           : kind == CutKind::rip ? contract::CutKind::rip
                                  : contract::CutKind::crosscut;
}

/// One sheet as others read it.
class SheetWriter {
  public:
    /// `cuts` in order, with the number of each one's setting, 0 for none.
    SheetWriter(const CuttingPlan& plan, std::size_t index, const Shop& shop,
                const std::vector<MadeCut>& cuts, const std::vector<int>& settings)
        : plan_(plan), sheet_(plan.plan.sheets[index]), bench_(plan.bench[index]), shop_(shop),
          cuts_(cuts), settings_(settings),
          stock_(*plan.stock[static_cast<std::size_t>(sheet_.format)]),
          blanks_(bench_.made.blanks) {}

    contract::SheetPlan write() {
        const Panel& first = *plan_.parts.front().members.front().panel;
        if (first.line->material) out_.material = first.line->material->id;
        out_.supplier = stock_.offer->supplier;
        out_.sku = stock_.offer->sku;
        out_.offer = stock_.offer->id;
        out_.sheet = {round_to(stock_.length, 4), round_to(stock_.width, 4)};
        out_.grain = told(stock_.grain);
        out_.clean_up = round_to(clean_up_of(stock_, shop_), 4);
        out_.kerf = round_to(shop_.kerf, 4);
        out_.copies = sheet_.copies;
        out_.bound = {plan_.plan.sheet_count, plan_.plan.lower_bound_sheets, plan_.plan.proven,
                      plan_.plan.bound_method};
        for (std::size_t i = 0; i < cuts_.size(); ++i) write_cut(cuts_[i], settings_[i]);
        for (std::size_t i = 0; i < blanks_.size(); ++i)
            if (blanks_[i].part >= 0) place(i);
        write_blanks();
        write_offcuts();
        return std::move(out_);
    }

  private:
    void write_cut(const MadeCut& cut, int setting) {
        contract::SheetCut made;
        made.blank = cut.blank;
        made.direction = cut.axis == Axis::length ? contract::CutDirection::length
                                                  : contract::CutDirection::width;
        made.position = mm(cut.position);
        made.by = cut.dealer ? contract::CutBy::dealer : contract::CutBy::workshop;
        made.kind = told(cut.kind);
        made.kerf = round_to(cut.dealer ? stock_.cutting->kerf : shop_.kerf, 4);
        if (cut.dealer) made.accuracy = round_to(stock_.cutting->accuracy, 4);
        if (setting > 0) made.setting = setting;
        if (cut.first >= 0) made.first = cut.first;
        if (cut.second >= 0) made.second = cut.second;
        out_.cuts.push_back(made);
    }

    void place(std::size_t index) {
        const Blank& blank = blanks_[index];
        const MemberAt& at = bench_.members[static_cast<std::size_t>(blank.part)];
        const Member& member = plan_.member(at);
        contract::Placement made;
        made.line = member.panel->line->id;
        made.x = mm(blank.x);
        made.y = mm(blank.y);
        made.length = mm(blank.length);
        made.width = mm(blank.width);
        made.rotated = blank.rotated;
        made.blank = static_cast<int>(index);
        made.finished = {round_to(member.section.finished.length, 4),
                         round_to(member.section.finished.width, 4)};
        made.grain = told(member.panel->grain);
        made.faces = member.panel->faces;
        if (member.section.number > 0) made.section = member.section.number;
        made.edges = edges_of(member.section);
        made.joints = joints_of(member);
        made.tapered = taper_of(member.section);
        const CutPart& part = plan_.parts[static_cast<std::size_t>(at.part)];
        if (part.compound())
            made.match = {static_cast<std::int64_t>(at.member) + 1,
                          static_cast<std::int64_t>(part.members.size())};
        made.dealer_edge_will_do = stock_.cutting != nullptr && shop_.dealer_edge <= 0;
        out_.placements.push_back(std::move(made));
    }

    /// None when all stay raw.
    static std::optional<contract::PlacedEdges> edges_of(const Section& section) {
        static constexpr std::array<const char*, 5> names{"raw", "rounded", "banded", "lipped",
                                                          "scribed"};
        contract::PlacedEdges edges;
        const std::array<std::string*, side_names.size()> sides{&edges.front, &edges.back,
                                                                &edges.left, &edges.right};
        bool all_raw = true;
        for (std::size_t side = 0; side < sides.size(); ++side) {
            const Treatment treatment = section.edges[side].treatment;
            if (treatment == Treatment::raw) continue;
            *sides[side] = names[static_cast<std::size_t>(treatment)];
            all_raw = false;
        }
        return all_raw ? std::nullopt : std::optional(edges);
    }

    /// None where no seam bounds it.
    std::optional<contract::PlacedEdges> joints_of(const Member& member) const {
        contract::PlacedEdges joints;
        const std::array<std::string*, side_names.size()> sides{&joints.front, &joints.back,
                                                                &joints.left, &joints.right};
        bool any = false;
        for (std::size_t side = 0; side < sides.size(); ++side) {
            *sides[side] =
                joint_text(member.section, static_cast<Side>(side), *member.panel, shop_.unit);
            any = any || !sides[side]->empty();
        }
        return any ? std::optional(joints) : std::nullopt;
    }

    /// None when opposite sides are of one length.
    static std::optional<contract::TaperedTo> taper_of(const Section& section) {
        contract::TaperedTo taper;
        const std::array<std::optional<double>*, side_names.size()> sides{
            &taper.length_front, &taper.length_back, &taper.width_left, &taper.width_right};
        bool any = false;
        for (std::size_t side = 0; side < sides.size(); ++side) {
            const double whole =
                side == front || side == back ? section.finished.length : section.finished.width;
            // Where a seam runs through the slope of a side, that side has no end to measure to.
            if (!(section.sides[side] > 0) || std::abs(section.sides[side] - whole) < 0.001)
                continue;
            *sides[side] = section.sides[side];
            any = true;
        }
        return any ? std::optional(taper) : std::nullopt;
    }

    void write_blanks() {
        for (std::size_t i = 0; i < blanks_.size(); ++i) {
            const Blank& blank = blanks_[i];
            contract::Blank made{mm(blank.x), mm(blank.y), mm(blank.length), mm(blank.width)};
            const auto part = std::find_if(out_.placements.begin(), out_.placements.end(),
                                           [&](const contract::Placement& placement) {
                                               return placement.blank == static_cast<int>(i);
                                           });
            if (part != out_.placements.end()) made.line = part->line;
            made.offcut = blank.offcut && !was_cut(i);
            out_.blanks.push_back(std::move(made));
        }
    }

    [[nodiscard]] bool was_cut(std::size_t blank) const {
        return std::any_of(out_.cuts.begin(), out_.cuts.end(), [&](const contract::SheetCut& cut) {
            return cut.blank == static_cast<int>(blank);
        });
    }

    void write_offcuts() {
        std::vector<Blank> offcuts;
        for (std::size_t i = 0; i < blanks_.size(); ++i) {
            if (blanks_[i].offcut && !was_cut(i)) offcuts.push_back(blanks_[i]);
        }
        std::stable_sort(offcuts.begin(), offcuts.end(), [](const Blank& a, const Blank& b) {
            return a.length * a.width > b.length * b.width;
        });
        for (const Blank& offcut : offcuts) {
            contract::Offcut made{mm(offcut.x), mm(offcut.y), mm(offcut.length), mm(offcut.width)};
            made.keep = shop_.keeps(made.length, made.width);
            out_.offcuts.push_back(made);
        }
    }

    const CuttingPlan& plan_;
    const SheetPlan& sheet_;
    const BenchSheet& bench_;
    const Shop& shop_;
    const std::vector<MadeCut>& cuts_;
    const std::vector<int>& settings_;
    const Stock& stock_;
    const std::vector<Blank>& blanks_;
    contract::SheetPlan out_;
};

} // namespace

std::vector<contract::SheetPlan> sheet_plans(const CuttingPlan& plan, const Shop& shop,
                                             int& settings) {
    std::vector<std::vector<MadeCut>> cuts;
    for (const BenchSheet& sheet : plan.bench) cuts.push_back(sheet.made.cuts);
    Settings numbers = sort_by_setting(cuts);
    const int before = settings;
    settings += setting_count(numbers);
    std::vector<contract::SheetPlan> plans;
    for (std::size_t i = 0; i < plan.plan.sheets.size(); ++i) {
        for (int& number : numbers[i])
            if (number > 0) number += before;
        plans.push_back(SheetWriter(plan, i, shop, cuts[i], numbers[i]).write());
    }
    return plans;
}

} // namespace aumbry::sheet_goods
