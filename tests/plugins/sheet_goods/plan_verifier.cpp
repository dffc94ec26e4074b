#include "plan_verifier.hpp"

#include <algorithm>
#include <map>

namespace aumbry::sheet_goods {

namespace {

struct Box {
    Steps x0, y0, x1, y1;
};

/// Whether cuts from edge to edge can set the boxes apart, each cut as wide as the kerf.
bool separable(std::vector<Box> boxes, Steps kerf) {
    if (boxes.size() <= 1) return true;
    for (int axis = 0; axis < 2; ++axis) {
        std::sort(boxes.begin(), boxes.end(), [&](const Box& a, const Box& b) {
            return axis == 0 ? a.x0 < b.x0 : a.y0 < b.y0;
        });
        Steps reach = axis == 0 ? boxes[0].x1 : boxes[0].y1;
        for (std::size_t i = 1; i < boxes.size(); ++i) {
            const Steps start = axis == 0 ? boxes[i].x0 : boxes[i].y0;
            if (start >= reach + kerf)
                return separable({boxes.begin(), boxes.begin() + static_cast<std::ptrdiff_t>(i)},
                                 kerf) &&
                       separable({boxes.begin() + static_cast<std::ptrdiff_t>(i), boxes.end()},
                                 kerf);
            reach = std::max(reach, axis == 0 ? boxes[i].x1 : boxes[i].y1);
        }
    }
    return false;
}

class Verifier {
  public:
    Verifier(const Plan& plan, const CuttingJob& order) : plan_(plan), order_(order) {}

    std::vector<std::string> run() {
        std::map<int, std::int64_t> sheets_of_format;
        std::map<int, std::int64_t> made;
        std::int64_t cost = 0;
        std::int64_t count = 0;
        for (const SheetPlan& sheet : plan_.sheets) {
            if (sheet.format < 0 || sheet.format >= static_cast<int>(order_.formats.size()) ||
                sheet.copies < 1)
                return {"a sheet of no format or no copy"};
            check_sheet(sheet);
            sheets_of_format[sheet.format] += sheet.copies;
            count += sheet.copies;
            cost += sheet.copies * format_of(sheet).cost;
            for (const Placement& placement : sheet.placements)
                made[placement.part] += sheet.copies;
        }
        for (const auto& [format, used] : sheets_of_format) {
            const auto limit = order_.formats[static_cast<std::size_t>(format)].limit;
            expect(!limit || used <= *limit, "more sheets of a format than can be had");
        }
        for (const Unplaced& unplaced : plan_.unplaced) made[unplaced.part] += unplaced.count;
        for (std::size_t part = 0; part < order_.parts.size(); ++part)
            expect(made[static_cast<int>(part)] == order_.parts[part].count,
                   "a part is not made as often as ordered");
        expect(cost == plan_.cost, "the cost is not that of the sheets");
        expect(count == plan_.sheet_count, "the count is not that of the sheets");
        if (plan_.unplaced.empty()) {
            expect(plan_.lower_bound_cost <= cost, "the plan costs less than its lower bound");
            expect(plan_.lower_bound_sheets <= count,
                   "the plan has fewer sheets than its lower bound");
        }
        return faults_;
    }

  private:
    void expect(bool holds, const char* fault) {
        if (!holds) faults_.emplace_back(fault);
    }

    const Format& format_of(const SheetPlan& sheet) const {
        return order_.formats[static_cast<std::size_t>(sheet.format)];
    }

    void check_sheet(const SheetPlan& sheet) {
        const Format& format = format_of(sheet);
        const Box usable{format.clean_up.left, format.clean_up.bottom,
                         format.length - format.clean_up.right, format.width - format.clean_up.top};
        std::vector<Box> boxes;
        for (const Placement& placement : sheet.placements) {
            boxes.push_back({placement.x, placement.y, placement.x + placement.length,
                             placement.y + placement.width});
            check_part(placement, format);
        }
        for (std::size_t i = 0; i < boxes.size(); ++i) {
            const Box& a = boxes[i];
            expect(a.x0 >= usable.x0 && a.y0 >= usable.y0 && a.x1 <= usable.x1 && a.y1 <= usable.y1,
                   "a part lies outside its sheet less clean-up");
            for (std::size_t j = i + 1; j < boxes.size(); ++j) {
                const Box& b = boxes[j];
                expect(a.x1 + order_.kerf <= b.x0 || b.x1 + order_.kerf <= a.x0 ||
                           a.y1 + order_.kerf <= b.y0 || b.y1 + order_.kerf <= a.y0,
                       "two parts are not apart by the kerf");
            }
        }
        expect(separable(boxes, order_.kerf), "the parts cannot be cut apart edge to edge");
        check_cuts(sheet, usable);
    }

    void check_part(const Placement& placement, const Format& format) {
        if (placement.part < 0 || placement.part >= static_cast<int>(order_.parts.size())) {
            faults_.emplace_back("a part that was not ordered");
            return;
        }
        const Part& part = order_.parts[static_cast<std::size_t>(placement.part)];
        expect(placement.length == (placement.rotated ? part.width : part.length) &&
                   placement.width == (placement.rotated ? part.length : part.width),
               "a part has another size than ordered");
        if (part.length == part.width) return;
        if (part.turn == Turn::fixed) expect(!placement.rotated, "a fixed part is turned");
        if (part.turn == Turn::free || part.turn == Turn::fixed || format.grain == Grain::none)
            return;
        const bool lies_along_grain = (format.grain == Grain::along_length) != placement.rotated;
        expect(lies_along_grain == (part.turn == Turn::with_grain),
               "a part lies wrongly to the grain");
    }

    void check_cuts(const SheetPlan& sheet, const Box& usable) {
        const auto blank_count = static_cast<int>(sheet.blanks.size());
        if (blank_count == 0) {
            faults_.emplace_back("a sheet without a first blank");
            return;
        }
        const Blank& first = sheet.blanks[0];
        expect(first.x == usable.x0 && first.y == usable.y0 &&
                   first.x + first.length == usable.x1 && first.y + first.width == usable.y1,
               "the first blank is not the sheet less clean-up");
        std::vector<bool> exists(sheet.blanks.size(), false);
        std::vector<bool> divided(sheet.blanks.size(), false);
        exists[0] = true;
        for (const Cut& cut : sheet.cuts) {
            if (cut.blank < 0 || cut.blank >= blank_count || cut.first < 0 ||
                cut.first >= blank_count || cut.second >= blank_count ||
                !exists[static_cast<std::size_t>(cut.blank)] ||
                divided[static_cast<std::size_t>(cut.blank)]) {
                faults_.emplace_back("a cut of a blank that is not there");
                return;
            }
            const auto whole_index = static_cast<std::size_t>(cut.blank);
            const Blank& whole = sheet.blanks[whole_index];
            divided[whole_index] = true;
            const bool along_length = cut.axis == Axis::length;
            const Blank& a = sheet.blanks[static_cast<std::size_t>(cut.first)];
            const Steps rest =
                (along_length ? whole.length : whole.width) - cut.position - order_.kerf;
            expect(cut.position > 0 && rest > -order_.kerf, "a cut outside its blank");
            expect(a.x == whole.x && a.y == whole.y &&
                       a.length == (along_length ? cut.position : whole.length) &&
                       a.width == (along_length ? whole.width : cut.position),
                   "the first piece of a cut has the wrong size");
            exists[static_cast<std::size_t>(cut.first)] = true;
            expect((rest > 0) == (cut.second >= 0),
                   "the second piece of a cut is missing or empty");
            if (cut.second < 0) continue;
            const Blank& b = sheet.blanks[static_cast<std::size_t>(cut.second)];
            expect(b.x == whole.x + (along_length ? cut.position + order_.kerf : 0) &&
                       b.y == whole.y + (along_length ? 0 : cut.position + order_.kerf) &&
                       b.length == (along_length ? rest : whole.length) &&
                       b.width == (along_length ? whole.width : rest),
                   "the second piece of a cut has the wrong size");
            exists[static_cast<std::size_t>(cut.second)] = true;
        }
        std::size_t parts = 0;
        std::size_t offcuts = 0;
        for (std::size_t i = 0; i < sheet.blanks.size(); ++i) {
            const Blank& blank = sheet.blanks[i];
            expect(exists[i], "a blank that no cut makes");
            expect(divided[i] ? blank.part < 0 && !blank.offcut : (blank.part >= 0) != blank.offcut,
                   "a blank at the end is neither part nor offcut");
            if (blank.offcut) ++offcuts;
            if (blank.part < 0) continue;
            ++parts;
            expect(std::count_if(sheet.placements.begin(), sheet.placements.end(),
                                 [&](const Placement& p) {
                                     return p.part == blank.part && p.x == blank.x &&
                                            p.y == blank.y && p.length == blank.length &&
                                            p.width == blank.width && p.rotated == blank.rotated;
                                 }) == 1,
                   "the cuts make a part that is not among the placements");
        }
        expect(parts == sheet.placements.size(), "the cuts do not make every part");
        expect(offcuts == sheet.offcuts.size(), "the cuts do not leave every offcut");
    }

    const Plan& plan_;
    const CuttingJob& order_;
    std::vector<std::string> faults_;
};

} // namespace

std::vector<std::string> faults_of(const Plan& plan, const CuttingJob& order) {
    return Verifier(plan, order).run();
}

} // namespace aumbry::sheet_goods
