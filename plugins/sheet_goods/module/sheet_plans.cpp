#include "sheet_goods/module/sheet_plans.hpp"

#include "aumbry/grid.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>
#include <array>
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

/// One sheet as others read it: blanks and cuts of the engine, those of compounds divided further.
class SheetWriter {
  public:
    SheetWriter(const CuttingPlan& plan, std::size_t index, const Shop& shop)
        : plan_(plan), sheet_(plan.plan.sheets[index]), dealer_(plan.by_dealer[index]), shop_(shop),
          kerf_(to_grid(plan.kerf)), blanks_(sheet_.blanks) {}

    contract::SheetPlan write() {
        const Stock& stock = *plan_.stock[static_cast<std::size_t>(sheet_.format)];
        for (std::size_t i = 0; i < sheet_.cuts.size(); ++i) write_cut(sheet_.cuts[i], dealer_[i]);
        for (std::size_t i = 0; i < sheet_.blanks.size(); ++i) {
            if (sheet_.blanks[i].part >= 0) write_part(i);
        }
        const Panel& first = *plan_.parts.front().members.front().panel;
        if (first.line->material) out_.material = first.line->material->id;
        out_.supplier = stock.offer->supplier;
        out_.sku = stock.offer->sku;
        out_.offer = stock.offer->id;
        out_.sheet = {round_to(stock.length, 4), round_to(stock.width, 4)};
        out_.grain = told(stock.grain);
        out_.clean_up = round_to(stock.clean_up, 4);
        out_.kerf = round_to(plan_.kerf, 4);
        out_.copies = sheet_.copies;
        out_.bound = {plan_.plan.sheet_count, plan_.plan.lower_bound_sheets, plan_.plan.proven,
                      plan_.plan.bound_method};
        write_blanks();
        write_offcuts();
        return std::move(out_);
    }

  private:
    void write_cut(const Cut& cut, bool by_dealer) {
        contract::SheetCut made;
        made.blank = cut.blank;
        made.direction = cut.axis == Axis::length ? contract::CutDirection::length
                                                  : contract::CutDirection::width;
        made.position = mm(cut.position);
        made.by = by_dealer ? contract::CutBy::dealer : contract::CutBy::workshop;
        made.first = cut.first;
        if (cut.second >= 0) made.second = cut.second;
        out_.cuts.push_back(made);
    }

    /// A blank as large as a cut part: a part, or the parts of a match group still in one.
    void write_part(std::size_t index) {
        const Blank whole = blanks_[index];
        const CutPart& part = plan_.parts[static_cast<std::size_t>(whole.part)];
        if (!part.compound()) {
            place(index, part.members.front(), whole.rotated);
            return;
        }
        const bool along =
            part.along_length != whole.rotated; // the way the parts follow one another on the sheet
        std::size_t rest = index;
        for (std::size_t i = 0; i < part.members.size(); ++i) {
            const Member& member = part.members[i];
            const PanelSize& cut = member.section.cut;
            std::size_t piece = rest;
            if (i + 1 < part.members.size()) {
                const auto [first, second] =
                    divide(rest, along ? Axis::length : Axis::width,
                           to_grid(part.along_length ? cut.length : cut.width));
                piece = first;
                rest = second;
            }
            const Steps across = to_grid(part.along_length ? cut.width : cut.length);
            const Steps have = along ? blanks_[piece].width : blanks_[piece].length;
            if (across < have)
                piece = divide(piece, along ? Axis::width : Axis::length, across).first;
            blanks_[piece].part = whole.part;
            place(piece, member, whole.rotated);
        }
    }

    struct Halves {
        std::size_t first, second;
    };

    /// A cut of the workshop; `second` is the first blank again when the kerf leaves nothing.
    Halves divide(std::size_t blank, Axis axis, Steps position) {
        Blank first = blanks_[blank];
        Blank second = first;
        first.part = second.part = -1;
        first.offcut = second.offcut = false;
        Cut cut;
        cut.blank = static_cast<int>(blank);
        cut.axis = axis;
        cut.position = position;
        if (axis == Axis::length) {
            second.x += position + kerf_;
            second.length -= position + kerf_;
            first.length = position;
        } else {
            second.y += position + kerf_;
            second.width -= position + kerf_;
            first.width = position;
        }
        blanks_[blank].part = -1;
        Halves halves{blanks_.size(), blanks_.size()};
        blanks_.push_back(first);
        cut.first = static_cast<int>(halves.first);
        if (second.length > 0 && second.width > 0) {
            second.offcut = true;
            halves.second = blanks_.size();
            blanks_.push_back(second);
            cut.second = static_cast<int>(halves.second);
        }
        write_cut(cut, false);
        return halves;
    }

    void place(std::size_t index, const Member& member, bool rotated) {
        Blank& blank = blanks_[index];
        blank.offcut = false;
        contract::Placement made;
        made.line = member.panel->line->id;
        made.x = mm(blank.x);
        made.y = mm(blank.y);
        made.length = mm(blank.length);
        made.width = mm(blank.width);
        made.rotated = rotated;
        made.blank = static_cast<int>(index);
        made.finished = {round_to(member.section.finished.length, 4),
                         round_to(member.section.finished.width, 4)};
        made.grain = told(member.panel->grain);
        made.faces = member.panel->faces;
        if (member.section.number > 0) made.section = member.section.number;
        made.edges = edges_of(member.section);
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
            made.keep = std::max(made.length, made.width) >= shop_.least_offcut_length &&
                        std::min(made.length, made.width) >= shop_.least_offcut_width;
            out_.offcuts.push_back(made);
        }
    }

    const CuttingPlan& plan_;
    const SheetPlan& sheet_;
    const std::vector<bool>& dealer_;
    const Shop& shop_;
    Steps kerf_;
    std::vector<Blank> blanks_;
    contract::SheetPlan out_;
};

} // namespace

std::vector<contract::SheetPlan> sheet_plans(const CuttingPlan& plan, const Shop& shop) {
    std::vector<contract::SheetPlan> plans;
    for (std::size_t i = 0; i < plan.plan.sheets.size(); ++i)
        plans.push_back(SheetWriter(plan, i, shop).write());
    return plans;
}

} // namespace aumbry::sheet_goods
