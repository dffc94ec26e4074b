#include "sheet_goods/engine/true_cuts.hpp"

#include <algorithm>
#include <map>
#include <set>
#include <tuple>

namespace aumbry::sheet_goods {

namespace {

using Pair = std::array<Steps, 2>;
using Axes = std::array<std::size_t, 2>;

/// A rectangle that exists, and what its edges are good for; by axis.
struct Piece {
    Pair at{}, size{};
    Pair near{};               ///< still to come off at the edge that positions are measured from
    Pair far{};                ///< must come off, or may, at the opposite edge
    std::array<bool, 2> set{}; ///< the opposite edge was made at a fence
};

std::size_t other(std::size_t axis) {
    return 1 - axis;
}

std::size_t index_of(Axis axis) {
    return axis == Axis::length ? 0 : 1;
}
Axis axis_at(std::size_t index) {
    return index == 0 ? Axis::length : Axis::width;
}

/// The axes of the cuts along its longer side and along its shorter one.
Axes along_longer_first(const Piece& piece) {
    return piece.size[0] >= piece.size[1] ? Axes{1, 0} : Axes{0, 1};
}

/// Of a piece that is cut off at a position, which is as wide across as the piece it comes from.
CutKind kind_of(const Piece& piece, std::size_t axis, Steps position) {
    return piece.size[other(axis)] >= position ? CutKind::rip : CutKind::crosscut;
}

class Making {
  public:
    Making(const SheetPlan& planned, const SawsOfSheet& saws,
           const std::function<Pair(int, bool)>& size_of)
        : planned_(planned), saws_(saws), size_of_(size_of), cut_of_(planned.blanks.size(), -1),
          holds_part_(planned.blanks.size(), false) {
        for (std::size_t i = 0; i < planned.cuts.size(); ++i)
            cut_of_[index(planned.cuts[i].blank)] = static_cast<int>(i);
        if (!planned.blanks.empty()) mark_parts(0);
    }

    MadeSheet run(const Pair& raw) {
        Piece sheet;
        sheet.size = raw;
        sheet.near = sheet.far = {saws_.clean_up, saws_.clean_up};
        sheet.set = {saws_.clean_up == 0, saws_.clean_up == 0};
        if (!planned_.blanks.empty()) divide(0, add(sheet), sheet);
        std::stable_partition(made_.cuts.begin(), made_.cuts.end(),
                              [](const MadeCut& cut) { return cut.dealer; });
        return std::move(made_);
    }

  private:
    static std::size_t index(int blank) { return static_cast<std::size_t>(blank); }

    bool mark_parts(int blank) {
        bool holds = planned_.blanks[index(blank)].part >= 0;
        if (const int cut = cut_of_[index(blank)]; cut >= 0) {
            const Cut& planned = planned_.cuts[index(cut)];
            holds = mark_parts(planned.first);
            if (planned.second >= 0) holds = mark_parts(planned.second) || holds;
        }
        holds_part_[index(blank)] = holds;
        return holds;
    }
    [[nodiscard]] bool holds_part(int blank) const {
        return blank >= 0 && holds_part_[index(blank)];
    }

    int add(const Piece& piece) {
        Blank blank;
        blank.x = piece.at[0];
        blank.y = piece.at[1];
        blank.length = piece.size[0];
        blank.width = piece.size[1];
        made_.blanks.push_back(blank);
        return static_cast<int>(made_.blanks.size()) - 1;
    }

    /// A piece without parts: an offcut, or nothing when it is a sliver.
    int add_waste(const Piece& piece) {
        if (std::min(piece.size[0], piece.size[1]) < saws_.least_offcut) return -1;
        const int blank = add(piece);
        made_.blanks[index(blank)].offcut = true;
        return blank;
    }

    void divide(int planned, int blank, Piece piece) {
        const int cut_index = cut_of_[index(planned)];
        if (cut_index < 0) {
            finish(planned, blank, piece);
            return;
        }
        const Cut& cut = planned_.cuts[index(cut_index)];
        if (cut.dealer)
            cut_by_dealer(cut, blank, piece);
        else if (!holds_part(planned))
            made_.blanks[index(blank)].offcut = true; // no cut that only an offcut needs
        else
            cut_in_workshop(cut, blank, piece);
    }

    void cut_by_dealer(const Cut& cut, int blank, const Piece& piece) {
        const std::size_t axis = index_of(cut.axis);
        // A part whose dealer's edges will do is as large as he cuts it; what is divided further is
        // larger by what he may be off, at least.
        const bool is_part = planned_.blanks[index(cut.first)].part >= 0;
        const Steps left =
            !holds_part(cut.first) ? 0
            : is_part              ? saws_.blank_allowance
                      : std::max(saws_.blank_allowance, saws_.dealer_accuracy + saws_.least_cut);
        Steps position = piece.near[axis] + cut.position + left;
        if (left > 0) position += saws_.dealer_step - 1;
        if (left > 0 || !is_part) position -= position % saws_.dealer_step;
        const bool parts_behind = holds_part(cut.second);
        if (position + saws_.dealer_accuracy + (parts_behind ? 0 : saws_.dealer_kerf) >=
            piece.size[axis]) {
            // He would cut off dust, or there is no room for what should lie behind.
            if (parts_behind) want(axis, position + saws_.dealer_kerf, piece);
            divide(cut.first, blank, piece);
            return;
        }
        Piece first = piece;
        first.size[axis] = position;
        first.far[axis] = left;
        first.set[axis] = saws_.blank_allowance == 0 && piece.near[axis] == 0;
        Piece second = piece;
        second.at[axis] += position + saws_.dealer_kerf;
        second.size[axis] -= position + saws_.dealer_kerf;
        second.near[axis] = saws_.blank_allowance;
        // Cut too long, the first takes it from here.
        second.far[axis] += saws_.dealer_accuracy + (second.far[axis] == 0 ? saws_.least_cut : 0);
        second.set[axis] = false;
        go_on(cut, blank, axis, position, first, second);
    }

    void cut_in_workshop(const Cut& cut, int blank, Piece piece) {
        const std::size_t axis = index_of(cut.axis);
        blank = trim(blank, piece, axis);
        if (piece.set[axis] && piece.size[axis] == cut.position && !holds_part(cut.second)) {
            divide(cut.first, blank, piece);
            return;
        }
        Piece first = piece;
        first.size[axis] = cut.position;
        first.far[axis] = 0;
        first.set[axis] = true;
        Piece second = piece;
        second.at[axis] += cut.position + saws_.workshop_kerf;
        second.size[axis] -= cut.position + saws_.workshop_kerf;
        second.set[axis] = false;
        want(axis, cut.position, piece);
        go_on(cut, blank, axis, cut.position, first, second);
    }

    /// A cut at a position must leave something to take off, besides what has to come off.
    void want(std::size_t axis, Steps position, const Piece& piece) {
        const Steps needed = position + piece.far[axis] +
                             (piece.far[axis] == 0 && !piece.set[axis] ? saws_.least_cut : 0);
        made_.short_by[axis] = std::max(made_.short_by[axis], needed - piece.size[axis]);
    }

    void go_on(const Cut& cut, int blank, std::size_t axis, Steps position, const Piece& first,
               const Piece& second) {
        MadeCut made;
        made.blank = blank;
        made.axis = cut.axis;
        made.position = position;
        made.dealer = cut.dealer;
        made.first = holds_part(cut.first) ? add(first) : add_waste(first);
        made.kind = made.first < 0 ? CutKind::trim : kind_of(first, axis, position);
        made.second = holds_part(cut.second) ? add(second) : add_waste(second);
        made_.cuts.push_back(made);
        if (holds_part(cut.first) || (cut.dealer && made.first >= 0))
            divide(cut.first, made.first, first);
        if (holds_part(cut.second) || (cut.dealer && made.second >= 0 && cut.second >= 0))
            divide(cut.second, made.second, second);
    }

    /// Reference edges where they are still wanted, the longer first: of a cut along `wanted` that
    /// one at least, another too unless it is longer than the workshop rips. Returns the blank that
    /// remains.
    int trim(int blank, Piece& piece, std::size_t wanted) {
        for (const std::size_t axis : along_longer_first(piece)) {
            if (piece.near[axis] == 0) continue;
            if (axis != wanted && saws_.longest_rip > 0 &&
                piece.size[other(axis)] > saws_.longest_rip)
                continue;
            MadeCut made;
            made.blank = blank;
            made.axis = axis_at(axis);
            made.kind = CutKind::trim;
            made.position = std::max<Steps>(0, piece.near[axis] - saws_.workshop_kerf);
            const Steps off = made.position + saws_.workshop_kerf;
            piece.at[axis] += off;
            piece.size[axis] -= off;
            piece.near[axis] = 0;
            blank = made.second = add(piece);
            made_.cuts.push_back(made);
        }
        return blank;
    }

    void finish(int planned, int blank, Piece piece) {
        const Blank& wanted = planned_.blanks[index(planned)];
        if (wanted.part < 0) {
            made_.blanks[index(blank)].offcut = true;
            return;
        }
        const Pair size = size_of_(wanted.part, wanted.rotated);
        // The longer side first: what is left to crosscut is narrow.
        for (const std::size_t axis : along_longer_first(piece)) {
            blank = trim(blank, piece, axis);
            if (piece.set[axis] && piece.size[axis] == size[axis]) continue;
            want(axis, size[axis], piece);
            MadeCut made;
            made.blank = blank;
            made.axis = axis_at(axis);
            made.position = size[axis];
            made.kind = kind_of(piece, axis, size[axis]);
            Piece rest = piece;
            rest.at[axis] += size[axis] + saws_.workshop_kerf;
            rest.size[axis] -= size[axis] + saws_.workshop_kerf;
            piece.size[axis] = size[axis];
            piece.far[axis] = 0;
            piece.set[axis] = true;
            blank = made.first = add(piece);
            made.second = add_waste(rest);
            made_.cuts.push_back(made);
        }
        made_.blanks[index(blank)].part = wanted.part;
        made_.blanks[index(blank)].rotated = wanted.rotated;
    }

    const SheetPlan& planned_;
    const SawsOfSheet& saws_;
    const std::function<Pair(int, bool)>& size_of_;
    std::vector<int> cut_of_;
    std::vector<bool> holds_part_;
    MadeSheet made_;
};

/// What stays set at the saw from one cut to the next.
using Setting = std::tuple<CutKind, Steps>;

Setting setting_of(const MadeCut& cut) {
    return {cut.kind, cut.position};
}

} // namespace

MadeSheet make_cuts(const SheetPlan& planned, const std::array<Steps, 2>& raw,
                    const SawsOfSheet& saws,
                    const std::function<std::array<Steps, 2>(int, bool)>& size_of) {
    return Making(planned, saws, size_of).run(raw);
}

void sort_by_setting(std::vector<MadeCut>& cuts) {
    std::vector<MadeCut> sorted;
    std::vector<MadeCut> open; // in the workshop, not made yet
    std::set<int> to_come;     // blanks that open cuts make
    std::map<Setting, std::size_t> open_of;
    for (const MadeCut& cut : cuts) {
        if (cut.dealer) {
            sorted.push_back(cut);
            continue;
        }
        open.push_back(cut);
        to_come.insert({cut.first, cut.second});
        ++open_of[setting_of(cut)];
    }
    const auto is_ready = [&](const MadeCut& cut) { return !to_come.contains(cut.blank); };
    while (!open.empty()) {
        std::map<Setting, std::size_t> ready_of;
        for (const MadeCut& cut : open)
            if (is_ready(cut)) ++ready_of[setting_of(cut)];
        // A setting whose cuts can all be made now is not set twice; of those rips first, wide
        // ones.
        const auto rank = [&](const std::pair<const Setting, std::size_t>& entry) {
            const auto& [setting, ready] = entry;
            return std::tuple(ready < open_of[setting], std::get<CutKind>(setting),
                              -std::get<Steps>(setting));
        };
        const Setting chosen =
            std::min_element(ready_of.begin(), ready_of.end(), [&](const auto& a, const auto& b) {
                return rank(a) < rank(b);
            })->first;
        // Also those that making the first ones opens up.
        for (bool made_one = true; made_one;) {
            made_one = false;
            for (std::size_t i = 0; i < open.size();) {
                if (setting_of(open[i]) != chosen || !is_ready(open[i])) {
                    ++i;
                    continue;
                }
                to_come.erase(open[i].first);
                to_come.erase(open[i].second);
                --open_of[chosen];
                sorted.push_back(open[i]);
                open.erase(open.begin() + static_cast<std::ptrdiff_t>(i));
                made_one = true;
            }
        }
    }
    cuts = std::move(sorted);
}

} // namespace aumbry::sheet_goods
