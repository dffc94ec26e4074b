#include "sheet_goods/engine/sheet_plan.hpp"

#include <algorithm>
#include <tuple>
#include <utility>

namespace aumbry::sheet_goods {

namespace {

/// A stretch of a blank along one axis: a node with its space, or free space.
struct Stretch {
    int node = -1;
    std::int32_t size = 0; ///< enlarged by the kerf
};

class Drawing {
  public:
    Drawing(const CuttingJob& order, const Problem& problem, const Layout& layout)
        : order_(order), problem_(problem), layout_(layout),
          kerf_(static_cast<std::int32_t>(problem.kerf)),
          format_(order.formats[static_cast<std::size_t>(
              problem.sheets[static_cast<std::size_t>(layout.sheet())].format)]) {}

    SheetPlan draw() {
        sheet_.format = problem_.sheets[static_cast<std::size_t>(layout_.sheet())].format;
        mark_way_to_largest_offcut();
        const int blank = add_blank({0, 0}, layout_.size());
        if (layout_.empty())
            leave(blank);
        else if (way_.empty())
            draw_node(blank, layout_.root());
        else
            draw_along_way(blank, 0);
        list_parts_and_offcuts();
        return std::move(sheet_);
    }

  private:
    struct Region {
        GridSize at{}, size{}; ///< enlarged by the kerf, from the corner of the first blank
    };

    [[nodiscard]] const LayoutNode& node(int index) const {
        return layout_.nodes()[static_cast<std::size_t>(index)];
    }
    [[nodiscard]] const Region& region(int blank) const {
        return regions_[static_cast<std::size_t>(blank)];
    }

    int add_blank(const GridSize& at, const GridSize& size) {
        Blank blank;
        blank.x = format_.clean_up.left + at[0];
        blank.y = format_.clean_up.bottom + at[1];
        blank.length = size[0] - kerf_;
        blank.width = size[1] - kerf_;
        sheet_.blanks.push_back(blank);
        regions_.push_back({at, size});
        return static_cast<int>(sheet_.blanks.size()) - 1;
    }

    /// Cuts the blank at `size` (enlarged) along the axis. Returns the two blanks; the second is -1
    /// when nothing is left.
    std::pair<int, int> cut(int blank, std::size_t along, std::int32_t size) {
        const Region whole = region(blank);
        GridSize first_size = whole.size;
        GridSize second_size = whole.size;
        GridSize second_at = whole.at;
        first_size[along] = size;
        second_size[along] -= size;
        second_at[along] += size;
        Cut made;
        made.blank = blank;
        made.axis = along == 0 ? Axis::length : Axis::width;
        made.position = size - kerf_;
        made.first = add_blank(whole.at, first_size);
        if (second_size[along] > kerf_) made.second = add_blank(second_at, second_size);
        sheet_.cuts.push_back(made);
        return {made.first, made.second};
    }

    void leave(int blank) { sheet_.blanks[static_cast<std::size_t>(blank)].offcut = true; }

    /// Divides a blank into its stretches; `way_step`: of the one the way to the offcut leads
    /// through.
    void divide(int blank, std::size_t along, const std::vector<Stretch>& stretches,
                std::size_t way_step) {
        for (std::size_t i = 0; i + 1 < stretches.size(); ++i) {
            const auto [first, second] = cut(blank, along, stretches[i].size);
            draw_stretch(first, stretches[i], way_step);
            if (second < 0) return; // what is left of the free space goes into the kerf
            blank = second;
        }
        draw_stretch(blank, stretches.back(), way_step);
    }

    void draw_stretch(int blank, const Stretch& stretch, std::size_t way_step) {
        const int child = stretch.node;
        if (child < 0)
            leave(blank);
        else if (way_step < way_.size() && way_[way_step] == child)
            draw_along_way(blank, way_step);
        else
            draw_node(blank, child);
    }

    /// A node in a space at least as large as it needs: the larger free strip comes off first.
    void draw_node(int blank, int index) {
        const LayoutNode& drawn = node(index);
        const GridSize size = region(blank).size;
        const GridSize free{size[0] - drawn.least[0], size[1] - drawn.least[1]};
        if (free[0] > 0 || free[1] > 0) {
            const std::int64_t strip_0 = std::int64_t{free[0]} * size[1];
            const std::int64_t strip_1 = std::int64_t{free[1]} * size[0];
            const std::size_t along = strip_0 >= strip_1 ? 0 : 1;
            divide(blank, along, {{index, drawn.least[along]}, {-1, free[along]}}, no_way);
            return;
        }
        if (drawn.item >= 0) {
            Blank& part = sheet_.blanks[static_cast<std::size_t>(blank)];
            part.part = problem_
                            .parts[static_cast<std::size_t>(
                                problem_.items[static_cast<std::size_t>(drawn.item)])]
                            .part;
            part.rotated = drawn.turned;
            return;
        }
        divide(blank, static_cast<std::size_t>(drawn.axis), stretches_of(index, -1, 0), no_way);
    }

    /// A row on the way to the largest offcut hands all its free space to the next node on the way;
    /// the last node gives it up as the offcut.
    void draw_along_way(int blank, std::size_t step) {
        const int index = way_[step];
        const GridSize size = region(blank).size;
        if (step + 1 == way_.size()) {
            const std::int32_t least = node(index).least[offcut_axis_];
            divide(blank, offcut_axis_, {{index, least}, {-1, size[offcut_axis_] - least}}, no_way);
            return;
        }
        const auto along = static_cast<std::size_t>(node(index).axis);
        divide(blank, along, stretches_of(index, way_[step + 1], size[along]), step + 1);
    }

    /// The children of a row, equal sizes together, `last` at the end with what the others leave of
    /// `size`.
    [[nodiscard]] std::vector<Stretch> stretches_of(int row, int last, std::int32_t size) const {
        const auto along = static_cast<std::size_t>(node(row).axis);
        std::vector<Stretch> stretches;
        for (int child = node(row).first; child >= 0; child = node(child).next)
            if (child != last) stretches.push_back({child, node(child).least[along]});
        std::sort(stretches.begin(), stretches.end(), [&](const Stretch& a, const Stretch& b) {
            return std::tuple(-a.size, -node(a.node).least[1 - along], a.node) <
                   std::tuple(-b.size, -node(b.node).least[1 - along], b.node);
        });
        if (last >= 0) {
            for (const Stretch& stretch : stretches) size -= stretch.size;
            stretches.push_back({last, size});
        }
        return stretches;
    }

    void mark_way_to_largest_offcut() {
        std::int64_t largest = 0;
        int best = -1;
        for (int index = 0; index < static_cast<int>(layout_.nodes().size()); ++index) {
            const LayoutNode& candidate = node(index);
            if (!candidate.used) continue;
            for (std::size_t along = 0; along < 2; ++along) {
                const std::int64_t depth = candidate.most[along] - candidate.least[along] - kerf_;
                const std::int64_t breadth = candidate.most[1 - along] - kerf_;
                if (depth <= 0 || depth * breadth <= largest) continue;
                largest = depth * breadth;
                best = index;
                offcut_axis_ = along;
            }
        }
        for (; best >= 0; best = node(best).parent) way_.insert(way_.begin(), best);
    }

    void list_parts_and_offcuts() {
        for (const Blank& blank : sheet_.blanks) {
            if (blank.part >= 0)
                sheet_.placements.push_back(
                    {blank.part, blank.x, blank.y, blank.length, blank.width, blank.rotated});
            if (blank.offcut)
                sheet_.offcuts.push_back({blank.x, blank.y, blank.length, blank.width});
        }
        std::stable_sort(sheet_.offcuts.begin(), sheet_.offcuts.end(),
                         [](const Offcut& a, const Offcut& b) {
                             return a.length * a.width > b.length * b.width;
                         });
    }

    static constexpr std::size_t no_way = ~std::size_t{0};

    const CuttingJob& order_;
    const Problem& problem_;
    const Layout& layout_;
    std::int32_t kerf_;
    const Format& format_;
    SheetPlan sheet_;
    std::vector<Region> regions_;
    std::vector<int>
        way_; ///< nodes from the root to the one beside which the largest offcut is left
    std::size_t offcut_axis_ = 0;
};

/// Turns the cuts of a sheet back into rows.
class Reading {
  public:
    Reading(const Problem& problem, const SheetPlan& sheet, int kind,
            std::vector<std::vector<int>>& wanted)
        : problem_(problem), sheet_(sheet), kind_(kind), wanted_(wanted),
          cut_of_(sheet.blanks.size(), -1) {}

    Layout read() {
        const auto count = static_cast<int>(sheet_.blanks.size());
        for (std::size_t i = 0; i < sheet_.cuts.size(); ++i) {
            const Cut& cut = sheet_.cuts[i];
            const bool sound = cut.blank >= 0 && cut.first > cut.blank && cut.first < count &&
                               cut.second < count && (cut.second > cut.blank || cut.second == -1);
            if (!sound) return {};
            cut_of_[static_cast<std::size_t>(cut.blank)] = static_cast<int>(i);
        }
        Layout layout(kind_, problem_.sheets[static_cast<std::size_t>(kind_)].size);
        const int root = count == 0 ? -1 : read_blank(0);
        if (root < 0) return {};
        build(layout, -1, root);
        layout.settle();
        const GridSize needed = layout.needed();
        if (needed[0] <= layout.size()[0] && needed[1] <= layout.size()[1]) return layout;
        for (const Piece& piece : pieces_)
            if (piece.item >= 0)
                wanted_[static_cast<std::size_t>(
                            problem_.items[static_cast<std::size_t>(piece.item)])]
                    .push_back(piece.item);
        return {};
    }

  private:
    struct Piece {
        int item = -1;
        bool turned = false;
        int axis = 0;
        std::vector<int> children;
    };

    int add(Piece piece) {
        pieces_.push_back(std::move(piece));
        return static_cast<int>(pieces_.size()) - 1;
    }

    int read_blank(int blank) {
        const int cut_index = cut_of_[static_cast<std::size_t>(blank)];
        if (cut_index < 0) return read_part(sheet_.blanks[static_cast<std::size_t>(blank)]);
        const Cut& cut = sheet_.cuts[static_cast<std::size_t>(cut_index)];
        const int first = read_blank(cut.first);
        const int second = cut.second < 0 ? -1 : read_blank(cut.second);
        if (first < 0 || second < 0) return std::max(first, second);
        Piece row;
        row.axis = cut.axis == Axis::length ? 0 : 1;
        for (const int child : {first, second}) {
            const Piece& piece = pieces_[static_cast<std::size_t>(child)];
            if (piece.item < 0 && piece.axis == row.axis)
                row.children.insert(row.children.end(), piece.children.begin(),
                                    piece.children.end());
            else
                row.children.push_back(child);
        }
        return add(std::move(row));
    }

    int read_part(const Blank& blank) {
        for (std::size_t kind = 0; kind < problem_.parts.size(); ++kind) {
            const PartKind& part = problem_.parts[kind];
            const unsigned way = blank.rotated ? lies_turned : lies_straight;
            if (part.part != blank.part || wanted_[kind].empty() ||
                (part.lies[static_cast<std::size_t>(kind_)] & way) == 0)
                continue;
            const int item = wanted_[kind].back();
            wanted_[kind].pop_back();
            return add({item, blank.rotated, 0, {}});
        }
        return -1;
    }

    void build(Layout& layout, int parent, int index) const {
        const Piece& piece = pieces_[static_cast<std::size_t>(index)];
        if (piece.item >= 0) {
            const int kind = problem_.items[static_cast<std::size_t>(piece.item)];
            layout.add_part(parent, problem_.parts[static_cast<std::size_t>(kind)], piece.item,
                            piece.turned);
            return;
        }
        const int row = layout.add_row(parent, piece.axis);
        for (const int child : piece.children) build(layout, row, child);
    }

    const Problem& problem_;
    const SheetPlan& sheet_;
    int kind_;
    std::vector<std::vector<int>>& wanted_;
    std::vector<int> cut_of_;
    std::vector<Piece> pieces_;
};

auto sheet_key(const SheetPlan& sheet) {
    std::vector<Steps> key{sheet.format};
    for (const Blank& blank : sheet.blanks)
        key.insert(key.end(), {blank.x, blank.y, blank.length, blank.width, blank.part,
                               blank.rotated ? 1 : 0});
    for (const Cut& cut : sheet.cuts)
        key.insert(key.end(), {cut.blank, cut.axis == Axis::length ? 0 : 1, cut.position});
    return key;
}

} // namespace

SheetPlan draw_sheet(const CuttingJob& order, const Problem& problem, const Layout& layout) {
    return Drawing(order, problem, layout).draw();
}

Layout read_sheet(const Problem& problem, const SheetPlan& sheet,
                  std::vector<std::vector<int>>& wanted) {
    for (std::size_t kind = 0; kind < problem.sheets.size(); ++kind)
        if (problem.sheets[kind].format == sheet.format)
            return Reading(problem, sheet, static_cast<int>(kind), wanted).read();
    return {};
}

std::vector<SheetPlan> gather_copies(std::vector<SheetPlan> sheets) {
    std::vector<std::pair<std::vector<Steps>, std::size_t>> keys;
    for (std::size_t i = 0; i < sheets.size(); ++i) keys.emplace_back(sheet_key(sheets[i]), i);
    std::sort(keys.begin(), keys.end());
    std::vector<SheetPlan> gathered;
    for (std::size_t i = 0; i < keys.size(); ++i) {
        if (i > 0 && keys[i].first == keys[i - 1].first)
            ++gathered.back().copies;
        else
            gathered.push_back(std::move(sheets[keys[i].second]));
    }
    const auto placed_area = [](const SheetPlan& sheet) {
        Steps area = 0;
        for (const Placement& placement : sheet.placements)
            area += placement.length * placement.width;
        return area;
    };
    std::stable_sort(gathered.begin(), gathered.end(), [&](const SheetPlan& a, const SheetPlan& b) {
        return std::tuple(a.format, -placed_area(a)) < std::tuple(b.format, -placed_area(b));
    });
    return gathered;
}

} // namespace aumbry::sheet_goods
