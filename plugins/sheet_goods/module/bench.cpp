#include "sheet_goods/module/bench.hpp"

#include "aumbry/grid.hpp"

#include <utility>

namespace aumbry::sheet_goods {

namespace {

constexpr double sliver = 20; // mm; a narrower strip is good for nothing

/// The planned sheet with its match groups divided further.
class Apart {
  public:
    Apart(const CuttingPlan& plan, const SheetPlan& sheet)
        : plan_(plan), kerf_(to_grid(plan.kerf)), sheet_(sheet) {}

    SheetPlan take(std::vector<MemberAt>& members) {
        members_ = &members;
        const std::size_t count = sheet_.blanks.size();
        for (std::size_t i = 0; i < count; ++i)
            if (sheet_.blanks[i].part >= 0) take_apart(i);
        return std::move(sheet_);
    }

  private:
    void take_apart(std::size_t index) {
        const Blank whole = sheet_.blanks[index];
        const CutPart& part = plan_.parts[static_cast<std::size_t>(whole.part)];
        if (!part.compound()) {
            name(index, whole.part, 0);
            return;
        }
        sheet_.blanks[index].part = -1;
        sheet_.blanks[index].in_order = true;
        const bool along =
            part.along_length != whole.rotated; // the way the parts follow one another on the sheet
        std::size_t rest = index;
        for (std::size_t i = 0; i < part.members.size(); ++i) {
            const PanelSize& cut = part.members[i].section.cut;
            std::size_t piece = rest;
            if (i + 1 < part.members.size())
                std::tie(piece, rest) = divide(rest, along ? Axis::length : Axis::width,
                                               to_grid(part.along_length ? cut.length : cut.width));
            name(piece, whole.part, i);
        }
    }

    void name(std::size_t blank, int part, std::size_t member) {
        sheet_.blanks[blank].part = static_cast<int>(members_->size());
        members_->push_back({part, member});
    }

    std::pair<std::size_t, std::size_t> divide(std::size_t blank, Axis axis, Steps position) {
        Blank first = sheet_.blanks[blank];
        first.part = -1;
        Blank second = first;
        (axis == Axis::length ? first.length : first.width) = position;
        (axis == Axis::length ? second.length : second.width) -= position + kerf_;
        const std::size_t at = sheet_.blanks.size();
        sheet_.blanks.push_back(first);
        sheet_.blanks.push_back(second);
        Cut cut;
        cut.blank = static_cast<int>(blank);
        cut.axis = axis;
        cut.position = position;
        cut.first = static_cast<int>(at);
        cut.second = static_cast<int>(at + 1);
        sheet_.cuts.push_back(cut);
        return {at, at + 1};
    }

    const CuttingPlan& plan_;
    Steps kerf_;
    SheetPlan sheet_;
    std::vector<MemberAt>* members_ = nullptr;
};

} // namespace

SawsOfSheet saws_of(const Stock& stock, const Shop& shop) {
    SawsOfSheet saws;
    saws.workshop_kerf = to_grid(shop.kerf);
    saws.least_offcut = to_grid(sliver);
    saws.kept_offcut = {to_grid(shop.least_offcut_length), to_grid(shop.least_offcut_width)};
    saws.least_cut = to_grid(0.8 * to_cut_off);
    if (shop.longest_rip) saws.longest_rip = to_grid(*shop.longest_rip);
    saws.clean_up = to_grid(clean_up_of(stock, shop));
    if (stock.cutting != nullptr) {
        saws.dealer_kerf = to_grid(stock.cutting->kerf);
        saws.dealer_accuracy = to_grid(stock.cutting->accuracy);
        saws.blank_allowance = to_grid(blank_allowance(*stock.cutting, shop));
        saws.dealer_step = to_grid(dealer_step(shop));
    }
    return saws;
}

BenchSheet cut_at_the_bench(const CuttingPlan& plan, const SheetPlan& sheet, const Stock& stock,
                            const Shop& shop) {
    const SawsOfSheet saws = saws_of(stock, shop);
    BenchSheet bench;
    const SheetPlan apart = Apart(plan, sheet).take(bench.members);
    bench.made = make_cuts(
        apart, {to_grid(stock.length), to_grid(stock.width)}, saws,
        [&](int part, bool rotated) {
            const PanelSize& cut =
                plan.member(bench.members[static_cast<std::size_t>(part)]).section.cut;
            std::array<Steps, 2> size{to_grid(cut.length), to_grid(cut.width)};
            if (rotated) std::swap(size[0], size[1]);
            return size;
        },
        plan.earlier);
    return bench;
}

} // namespace aumbry::sheet_goods
