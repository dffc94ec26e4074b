#include "sheet_goods/engine/dealer_cuts.hpp"

#include <algorithm>
#include <limits>
#include <map>
#include <utility>

namespace aumbry::sheet_goods {

namespace {

// Blanks looked at for one sheet; beyond, the next best cut is taken.
constexpr std::size_t most_blanks_looked_at = 5000;

struct Region {
    GridSize at{}, size{};
    auto operator<=>(const Region&) const = default;
};

class Cutting {
  public:
    Cutting(const Format& format, const BlankLimit& limit, Steps kerf, const std::vector<End>& ends)
        : format_(format), limit_(limit), kerf_(static_cast<std::int32_t>(kerf)), ends_(ends) {}

    SheetPlan run(int format_index, const GridSize& size) {
        plan_.format = format_index;
        std::vector<int> all;
        for (std::size_t i = 0; i < ends_.size(); ++i)
            (is_sliver(ends_[i]) ? slivers_ : all).push_back(static_cast<int>(i));
        divide(add_blank({{0, 0}, size}), {{0, 0}, size}, all);
        std::stable_partition(plan_.cuts.begin(), plan_.cuts.end(),
                              [](const Cut& cut) { return cut.dealer; });
        return std::move(plan_);
    }

  private:
    struct Choice {
        int dealer_cuts = 0;
        std::size_t axis = 0;
        std::int32_t at = 0; ///< 0: no cut of the ends
    };

    [[nodiscard]] bool carried(const GridSize& size) const {
        const Steps length = size[0] - kerf_;
        const Steps width = size[1] - kerf_;
        return (length <= limit_.length && width <= limit_.width) ||
               (length <= limit_.width && width <= limit_.length);
    }

    int add_blank(const Region& region) {
        Blank blank;
        blank.x = format_.clean_up.left + region.at[0];
        blank.y = format_.clean_up.bottom + region.at[1];
        blank.length = region.size[0] - kerf_;
        blank.width = region.size[1] - kerf_;
        plan_.blanks.push_back(blank);
        return static_cast<int>(plan_.blanks.size()) - 1;
    }

    [[nodiscard]] bool is_sliver(const End& end) const {
        return end.size[0] <= kerf_ || end.size[1] <= kerf_;
    }
    [[nodiscard]] const End& end_at(int index) const {
        return ends_[static_cast<std::size_t>(index)];
    }

    /// Where the last of the ends stops.
    [[nodiscard]] std::int32_t reach(const std::vector<int>& ends, std::size_t axis) const {
        std::int32_t furthest = 0;
        for (const int end : ends)
            furthest = std::max(furthest, end_at(end).at[axis] + end_at(end).size[axis]);
        return furthest;
    }

    /// Whether a cut here leaves a sliver in front of the next piece, where no cut can take it off.
    [[nodiscard]] bool leaves_sliver(const Region& region, std::size_t axis,
                                     std::int32_t place) const {
        const std::size_t across = 1 - axis;
        return std::any_of(slivers_.begin(), slivers_.end(), [&](int index) {
            const End& sliver = end_at(index);
            const std::int32_t stop = sliver.at[axis] + sliver.size[axis];
            return sliver.size[axis] <= kerf_ && sliver.at[axis] <= place && place < stop &&
                   stop != region.at[axis] + region.size[axis] &&
                   sliver.at[across] < region.at[across] + region.size[across] &&
                   sliver.at[across] + sliver.size[across] > region.at[across];
        });
    }

    /// Where an edge-to-edge cut crosses no part or offcut. It may cross a sliver, which is then
    /// cut off twice.
    [[nodiscard]] std::vector<std::int32_t>
    places(const Region& region, const std::vector<int>& ends, std::size_t axis) const {
        std::vector<std::pair<std::int32_t, std::int32_t>> spans;
        for (const int end : ends)
            spans.emplace_back(end_at(end).at[axis], end_at(end).at[axis] + end_at(end).size[axis]);
        std::sort(spans.begin(), spans.end());
        std::vector<std::int32_t> found;
        std::int32_t stop = spans.front().second;
        for (std::size_t i = 1; i < spans.size(); ++i) {
            if (spans[i].first >= stop && !leaves_sliver(region, axis, spans[i].first))
                found.push_back(spans[i].first);
            stop = std::max(stop, spans[i].second);
        }
        return found;
    }

    [[nodiscard]] std::pair<std::vector<int>, std::vector<int>>
    split(const std::vector<int>& ends, std::size_t axis, std::int32_t place) const {
        std::pair<std::vector<int>, std::vector<int>> sides;
        for (const int end : ends)
            (end_at(end).at[axis] < place ? sides.first : sides.second).push_back(end);
        return sides;
    }

    static std::pair<Region, Region> split(const Region& region, std::size_t axis,
                                           std::int32_t place) {
        std::pair<Region, Region> sides{region, region};
        sides.first.size[axis] = place - region.at[axis];
        sides.second.at[axis] = place;
        sides.second.size[axis] = region.size[axis] - sides.first.size[axis];
        return sides;
    }

    Choice choose(const Region& region, const std::vector<int>& ends) {
        if (carried(region.size)) return first_cut(region, ends);
        const auto known = known_.find(region);
        if (known != known_.end()) return known->second;
        if (known_.size() >= most_blanks_looked_at || ends.size() == 1) {
            Choice choice = first_cut(region, ends);
            choice.dealer_cuts = 1;
            return choice;
        }
        known_[region] = {}; // takes its place among those looked at
        Choice best{std::numeric_limits<int>::max(), 0, 0};
        for (std::size_t axis = 0; axis < 2; ++axis) {
            std::vector<std::int32_t> candidates = places(region, ends, axis);
            const std::int32_t stop = reach(ends, axis);
            if (stop < region.at[axis] + region.size[axis]) candidates.push_back(stop);
            for (const std::int32_t place : candidates) {
                const auto sides = split(ends, axis, place);
                const auto regions = split(region, axis, place);
                const int first = dealer_cuts(regions.first, sides.first);
                const int second =
                    sides.second.empty() ? 0 : dealer_cuts(regions.second, sides.second);
                if (1 + first + second < best.dealer_cuts) best = {1 + first + second, axis, place};
            }
        }
        known_[region] = best;
        return best;
    }

    int dealer_cuts(const Region& region, const std::vector<int>& ends) {
        return carried(region.size) ? 0 : choose(region, ends).dealer_cuts;
    }

    /// A sliver along a whole edge first; else along the axis that has more cuts, so that the blank
    /// is turned seldom.
    [[nodiscard]] Choice first_cut(const Region& region, const std::vector<int>& ends) const {
        for (std::size_t axis = 0; axis < 2; ++axis) {
            const std::int32_t stop = reach(ends, axis);
            if (stop < region.at[axis] + region.size[axis]) return {0, axis, stop};
        }
        if (ends.size() == 1) return {};
        const std::vector<std::int32_t> along_length = places(region, ends, 0);
        const std::vector<std::int32_t> along_width = places(region, ends, 1);
        if (along_length.size() >= along_width.size()) return {0, 0, along_length.front()};
        return {0, 1, along_width.front()};
    }

    void divide(int blank, const Region& region, const std::vector<int>& ends) {
        const Choice choice = choose(region, ends);
        if (choice.at == 0) {
            finish(blank, region, end_at(ends.front()));
            return;
        }
        const auto sides = split(ends, choice.axis, choice.at);
        const auto [first, second] = cut(blank, region, choice.axis, choice.at);
        const auto regions = split(region, choice.axis, choice.at);
        divide(first, regions.first, sides.first);
        if (second < 0) return;
        if (sides.second.empty())
            leave(second, regions.second); // slivers of two rows, together wider than the kerf
        else
            divide(second, regions.second, sides.second);
    }

    std::pair<int, int> cut(int blank, const Region& region, std::size_t axis, std::int32_t place) {
        const auto regions = split(region, axis, place);
        Cut made;
        made.blank = blank;
        made.axis = axis == 0 ? Axis::length : Axis::width;
        made.position = regions.first.size[axis] - kerf_;
        made.dealer = !carried(region.size);
        made.first = add_blank(regions.first);
        made.second = regions.second.size[axis] > kerf_ ? add_blank(regions.second) : -1;
        plan_.cuts.push_back(made);
        return {made.first, made.second};
    }

    void finish(int blank, const Region& region, const End& end) {
        Blank& finished = plan_.blanks[static_cast<std::size_t>(blank)];
        finished.part = end.part;
        finished.rotated = end.rotated;
        if (end.part < 0) leave(blank, region);
    }

    /// An offcut; divided until it can be carried.
    void leave(int blank, const Region& region) {
        if (carried(region.size)) {
            plan_.blanks[static_cast<std::size_t>(blank)].offcut = true;
            return;
        }
        const std::size_t longer = region.size[0] >= region.size[1] ? 0 : 1;
        const Steps longest = std::max(limit_.length, limit_.width) + kerf_;
        const Steps broadest = std::min(limit_.length, limit_.width) + kerf_;
        const bool too_long = region.size[longer] > longest;
        const std::size_t axis = too_long ? longer : 1 - longer;
        const std::int32_t place =
            region.at[axis] + static_cast<std::int32_t>(too_long ? longest : broadest);
        const auto [first, second] = cut(blank, region, axis, place);
        const auto regions = split(region, axis, place);
        leave(first, regions.first);
        if (second >= 0) leave(second, regions.second);
    }

    const Format& format_;
    const BlankLimit& limit_;
    std::int32_t kerf_;
    const std::vector<End>& ends_;
    std::vector<int> slivers_;
    std::map<Region, Choice> known_;
    SheetPlan plan_;
};

} // namespace

SheetPlan cut_for_vehicle(const Format& format, int format_index, const BlankLimit& limit,
                          Steps kerf, const GridSize& size, const std::vector<End>& ends) {
    return Cutting(format, limit, kerf, ends).run(format_index, size);
}

} // namespace aumbry::sheet_goods
