#include "sheet_goods/engine/true_cuts.hpp"

#include <algorithm>
#include <iterator>
#include <tuple>
#include <utility>

namespace aumbry::sheet_goods {

namespace {

using Pair = std::array<Steps, 2>;
using Axes = std::array<std::size_t, 2>;

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

/// A part, or parts and rows side by side along one axis; rows within a row run along the other
/// axis. What is free lies behind them.
struct Node {
    int part = -1;
    bool rotated = false;
    std::size_t axis = 0;
    std::vector<Node> row;
    Pair size{};
    Steps free = 0;        ///< along the axis of the row
    bool in_order = false; ///< the row is cut in the order in which it is planned

    [[nodiscard]] bool is_empty() const { return part < 0 && row.empty(); }
};

/// Whether its size along the axis is that of a part in it, not of several side by side.
bool makes_a_size(const Node& node, std::size_t axis) {
    if (node.row.empty()) return true;
    return node.axis != axis &&
           std::any_of(node.row.begin(), node.row.end(), [&](const Node& part) {
               return part.size[axis] == node.size[axis] && makes_a_size(part, axis);
           });
}

/// Whether a cut across the axis behind it is one too many when it only takes a strip off: a part
/// is cut to size like any other, and of several strips each is ripped first and crosscut off one
/// stop.
bool is_cut_to_size_later(const Node& node, std::size_t axis) {
    return node.row.empty() || !makes_a_size(node, axis) ||
           node.size[other(axis)] < node.size[axis];
}

/// Crosscuts between pieces that are ripped alike: ripped first, all are crosscut off the same
/// stops.
bool is_better_ripped_first(const Node& node) {
    if (node.row.size() < 2 || node.in_order) return false;
    const Node& model = node.row.front();
    const std::size_t across = other(node.axis);
    return std::all_of(node.row.begin(), node.row.end(), [&](const Node& piece) {
        return piece.row.size() == model.row.size() && !piece.row.empty() && !piece.in_order &&
               piece.axis == across && piece.size[across] < piece.size[node.axis] &&
               std::equal(
                   piece.row.begin(), piece.row.end(), model.row.begin(),
                   [&](const Node& a, const Node& b) { return a.size[across] == b.size[across]; });
    });
}

/// The strips of such pieces, end to end.
Node ripped_first(const Node& node) {
    Node rips;
    rips.axis = other(node.axis);
    rips.size = node.size;
    rips.free = node.row.front().free;
    for (std::size_t i = 0; i < node.row.front().row.size(); ++i) {
        Node strip;
        strip.axis = node.axis;
        strip.size = node.size;
        strip.size[rips.axis] = node.row.front().row[i].size[rips.axis];
        strip.free = node.free;
        for (const Node& piece : node.row) {
            const Node& part = piece.row[i];
            if (!part.row.empty() && part.axis == strip.axis && !part.in_order)
                strip.row.insert(strip.row.end(), part.row.begin(), part.row.end());
            else
                strip.row.push_back(part);
        }
        rips.row.push_back(std::move(strip));
    }
    return rips;
}

/// What is planned for a blank, less the cuts that nobody needs.
class PlannedTree {
  public:
    PlannedTree(const SheetPlan& planned, const SawsOfSheet& saws, std::span<const Steps> earlier)
        : planned_(planned), saws_(saws), earlier_(earlier), cut_of_(planned.blanks.size(), -1) {
        for (std::size_t i = 0; i < planned.cuts.size(); ++i)
            cut_of_[static_cast<std::size_t>(planned.cuts[i].blank)] = static_cast<int>(i);
    }

    [[nodiscard]] const Cut* cut_of(int blank) const {
        const int cut = cut_of_[static_cast<std::size_t>(blank)];
        return cut < 0 ? nullptr : &planned_.cuts[static_cast<std::size_t>(cut)];
    }

    [[nodiscard]] bool is_kept(Steps strip, Steps across) const {
        return std::max(strip, across) >= saws_.kept_offcut[0] &&
               std::min(strip, across) >= saws_.kept_offcut[1];
    }

    [[nodiscard]] Node read(int index) const {
        const Blank& blank = planned_.blanks[static_cast<std::size_t>(index)];
        Node node;
        node.size = {blank.length, blank.width};
        const Cut* cut = cut_of(index);
        if (cut == nullptr) {
            node.part = blank.part;
            node.rotated = blank.rotated;
            return node;
        }
        node.axis = index_of(cut->axis);
        node.in_order = blank.in_order;
        for (const int half : {cut->first, cut->second})
            if (half >= 0) take(node, read(half));
        if (!node.in_order) sort(node);
        if (node.row.size() == 1 && !is_kept(node.free, node.size[other(node.axis)]) &&
            is_cut_to_size_later(node.row.front(), node.axis))
            return Node(std::move(node.row.front()));
        return is_better_ripped_first(node) ? ripped_first(node) : node;
    }

  private:
    /// Wide ones first, on every sheet, or as the caller says: equal settings meet. What is no size
    /// of a part comes last, where it needs no cut.
    void sort(Node& node) const {
        const auto rank = [&](const Node& next) {
            const Steps size = next.size[node.axis];
            return std::tuple(!makes_a_size(next, node.axis),
                              std::find(earlier_.begin(), earlier_.end(), size) - earlier_.begin(),
                              -size);
        };
        std::stable_sort(node.row.begin(), node.row.end(),
                         [&](const Node& a, const Node& b) { return rank(a) < rank(b); });
    }

    static void take(Node& row, Node half) {
        if (half.is_empty()) {
            row.free += half.size[row.axis];
        } else if (!half.row.empty() && half.axis == row.axis && half.in_order == row.in_order) {
            row.free += half.free;
            std::move(half.row.begin(), half.row.end(), std::back_inserter(row.row));
        } else {
            row.row.push_back(std::move(half));
        }
    }

    const SheetPlan& planned_;
    const SawsOfSheet& saws_;
    std::span<const Steps> earlier_;
    std::vector<int> cut_of_;
};

class Making {
  public:
    Making(const SheetPlan& planned, const SawsOfSheet& saws,
           const std::function<Pair(int, bool)>& size_of, std::span<const Steps> earlier)
        : planned_(planned), saws_(saws), size_of_(size_of), tree_(planned, saws, earlier) {}

    MadeSheet run(const Pair& raw) {
        const Piece sheet = sheet_as_delivered(raw, saws_);
        if (!planned_.blanks.empty()) divide(0, add(sheet), sheet);
        std::stable_partition(made_.cuts.begin(), made_.cuts.end(),
                              [](const MadeCut& cut) { return cut.dealer; });
        return std::move(made_);
    }

  private:
    int add(const Piece& piece) {
        made_.blanks.push_back(blank_of(piece));
        return static_cast<int>(made_.blanks.size()) - 1;
    }

    Blank& blank_at(int blank) { return made_.blanks[static_cast<std::size_t>(blank)]; }

    /// A piece without parts: an offcut, or nothing when it is a sliver.
    int add_waste(const Piece& piece) {
        if (std::min(piece.size[0], piece.size[1]) < saws_.least_offcut) return -1;
        const int blank = add(piece);
        blank_at(blank).offcut = true;
        return blank;
    }

    void divide(int planned, int blank, const Piece& piece) {
        const Cut* cut = tree_.cut_of(planned);
        if (cut == nullptr || !cut->dealer) {
            const Node node = tree_.read(planned);
            if (node.is_empty())
                blank_at(blank).offcut = true; // no cut that only an offcut needs
            else
                make(node, blank, piece);
            return;
        }
        const std::size_t axis = index_of(cut->axis);
        const auto [first, second] = divided_by_dealer(piece, axis, cut->position, saws_);
        MadeCut made;
        made.blank = blank;
        made.axis = cut->axis;
        made.position = cut->position;
        made.dealer = true;
        made.kind = kind_of(first, axis, cut->position);
        made.first = add(first);
        made.second = add(second);
        made_.cuts.push_back(made);
        divide(cut->first, made.first, first);
        divide(cut->second, made.second, second);
    }

    void make(const Node& node, int blank, Piece piece) {
        if (node.row.empty()) {
            finish(node, blank, piece);
            return;
        }
        for (const Node& next : node.row) {
            const bool last = &next == &node.row.back();
            if (last && is_cut_by_others(node, next, piece)) {
                make(next, blank, piece);
                return;
            }
            const Steps position = next.size[node.axis];
            blank = trim(blank, piece, node.axis);
            want(node.axis, position, piece);
            Piece first = piece;
            first.size[node.axis] = position;
            first.far[node.axis] = 0;
            first.set[node.axis] = true;
            piece.at[node.axis] += position + saws_.workshop_kerf;
            piece.size[node.axis] -= position + saws_.workshop_kerf;
            piece.set[node.axis] = false;
            MadeCut made;
            made.blank = blank;
            made.axis = axis_at(node.axis);
            made.position = position;
            made.kind = kind_of(first, node.axis, position);
            made.first = add(first);
            blank = made.second = last ? add_waste(piece) : add(piece);
            made_.cuts.push_back(made);
            make(next, made.first, first);
        }
    }

    /// The last of a row that needs no cut behind it.
    [[nodiscard]] bool is_cut_by_others(const Node& row, const Node& last,
                                        const Piece& piece) const {
        if (piece.set[row.axis] && piece.near[row.axis] == 0 &&
            piece.size[row.axis] == last.size[row.axis])
            return true;
        if (tree_.is_kept(piece.size[row.axis] - piece.near[row.axis] - last.size[row.axis] -
                              saws_.workshop_kerf,
                          piece.size[other(row.axis)]))
            return false;
        return is_cut_to_size_later(last, row.axis);
    }

    /// A cut at a position must leave something to take off, besides what has to come off.
    void want(std::size_t axis, Steps position, const Piece& piece) {
        const Steps needed = position + piece.far[axis] +
                             (piece.far[axis] == 0 && !piece.set[axis] ? saws_.least_cut : 0);
        made_.short_by[axis] = std::max(made_.short_by[axis], needed - piece.size[axis]);
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

    void finish(const Node& part, int blank, Piece piece) {
        const Pair size = size_of_(part.part, part.rotated);
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
        blank_at(blank).part = part.part;
        blank_at(blank).rotated = part.rotated;
    }

    const SheetPlan& planned_;
    const SawsOfSheet& saws_;
    const std::function<Pair(int, bool)>& size_of_;
    PlannedTree tree_;
    MadeSheet made_;
};

} // namespace

MadeSheet make_cuts(const SheetPlan& planned, const std::array<Steps, 2>& raw,
                    const SawsOfSheet& saws,
                    const std::function<std::array<Steps, 2>(int, bool)>& size_of,
                    std::span<const Steps> earlier) {
    return Making(planned, saws, size_of, earlier).run(raw);
}

} // namespace aumbry::sheet_goods
