#include "sheet_goods/engine/layout.hpp"

#include <algorithm>

namespace aumbry::sheet_goods {

int Layout::make_node() {
    int node;
    if (spare_.empty()) {
        node = static_cast<int>(nodes_.size());
        nodes_.emplace_back();
    } else {
        node = spare_.back();
        spare_.pop_back();
        at(node) = LayoutNode{};
    }
    at(node).used = true;
    return node;
}

void Layout::free_node(int node) {
    at(node).used = false;
    spare_.push_back(node);
}

void Layout::append_child(int parent, int child) {
    at(child).parent = parent;
    at(child).next = at(parent).first;
    at(parent).first = child;
}

void Layout::detach(int node) {
    LayoutNode& parent = at(at(node).parent);
    int* link = &parent.first;
    while (*link != node) link = &at(*link).next;
    *link = at(node).next;
    at(node).parent = at(node).next = -1;
}

void Layout::replace(int node, int by) {
    const int parent = at(node).parent;
    at(by).parent = parent;
    at(by).next = at(node).next;
    if (parent < 0) {
        root_ = by;
    } else {
        int* link = &at(parent).first;
        while (*link != node) link = &at(*link).next;
        *link = by;
    }
    at(node).parent = at(node).next = -1;
}

void Layout::measure(int node) {
    LayoutNode& row = at(node);
    if (row.item >= 0) return;
    const auto along = static_cast<std::size_t>(row.axis);
    GridSize sum{0, 0};
    for (int child = row.first; child >= 0; child = at(child).next) {
        measure(child);
        const GridSize& least = at(child).least;
        sum[along] += least[along];
        sum[1 - along] = std::max(sum[1 - along], least[1 - along]);
    }
    row.least = sum;
    sort_children(node);
}

void Layout::sort_children(int row) {
    const auto across = static_cast<std::size_t>(1 - at(row).axis);
    int sorted = -1;
    int last = -1;
    for (int child = at(row).first; child >= 0;) {
        const int next = at(child).next;
        const std::int32_t size = at(child).least[across];
        if (last >= 0 && at(last).least[across] <= size) { // the usual case: in order already
            at(last).next = child;
            at(child).next = -1;
            last = child;
        } else {
            int* link = &sorted;
            while (*link >= 0 && at(*link).least[across] <= size) link = &at(*link).next;
            at(child).next = *link;
            *link = child;
            if (at(child).next < 0) last = child;
        }
        child = next;
    }
    at(row).first = sorted;
}

void Layout::spread(int node) {
    const LayoutNode& row = at(node);
    if (row.item >= 0) return;
    const auto along = static_cast<std::size_t>(row.axis);
    const std::int32_t free = row.most[along] - row.least[along];
    for (int child = row.first; child >= 0; child = at(child).next) {
        LayoutNode& below = at(child);
        below.most[along] = below.least[along] + free;
        below.most[1 - along] = row.most[1 - along];
        below.forced[along] = below.least[along];
        below.forced[1 - along] = row.forced[1 - along];
        spread(child);
    }
}

void Layout::settle() {
    if (root_ < 0) return;
    measure(root_);
    at(root_).most = size_;
    at(root_).forced = at(root_).least;
    spread(root_);
}

void Layout::find_place(const PartKind& part, Insertion& best, bool& found_here,
                        std::int64_t& steps) const {
    if (part.area > free_area_) return;
    const unsigned ways = part.lies[static_cast<std::size_t>(sheet_)];
    if (ways == 0) return;
    if (root_ < 0) {
        ++steps;
        const std::int64_t score = std::int64_t{size_[0]} * size_[1];
        if (best.possible && best.score <= score) return;
        best = {score, -1, 0, 0, (ways & lies_straight) == 0, true};
        found_here = true;
        return;
    }
    for (int turned = 0; turned < 2; ++turned) {
        if ((ways & (turned == 0 ? lies_straight : lies_turned)) == 0) continue;
        const GridSize size = turned == 0 ? part.size : part.turned();
        const auto try_beside = [&](int index, const LayoutNode& node, std::size_t along) {
            const std::size_t cross = 1 - along;
            const std::int32_t room = node.most[along] - node.least[along];
            if (size[along] > room || size[cross] > node.most[cross]) return;
            // What stays free beside the part, along or across: the thinner strip in a smaller
            // space fits better.
            const std::int64_t score =
                std::min(std::int64_t{room - size[along]} * node.most[cross],
                         std::int64_t{node.most[cross] - size[cross]} * room);
            if (best.possible && best.score <= score) return;
            best = {score, index, 0, static_cast<std::int8_t>(along), turned != 0, true};
            found_here = true;
        };
        // Beside the first children of a row, the smallest across it: there the row has room that
        // others need not.
        const auto try_beside_group = [&](int index, const LayoutNode& row) {
            const auto along = static_cast<std::size_t>(row.axis);
            const std::size_t across = 1 - along;
            const std::int32_t free = row.most[along] - row.least[along];
            std::int32_t stretch = at(row.first).least[along];
            int group = 1;
            for (int child = at(row.first).next; at(child).next >= 0; child = at(child).next) {
                ++group;
                ++steps;
                stretch += at(child).least[along];
                const std::int32_t room = row.most[across] - at(child).least[across];
                if (size[across] > room) return;
                if (size[along] > stretch + free) continue;
                const std::int64_t score =
                    std::min(std::int64_t{room - size[across]} * (stretch + free),
                             std::int64_t{stretch + free - size[along]} * room);
                if (best.possible && best.score <= score) continue;
                best = {score, index, group, static_cast<std::int8_t>(across), turned != 0, true};
                found_here = true;
            }
        };
        for (int index = 0; index < static_cast<int>(nodes_.size()); ++index) {
            const LayoutNode& node = at(index);
            if (!node.used) continue;
            ++steps;
            if (node.item < 0) {
                try_beside(index, node, static_cast<std::size_t>(node.axis));
                try_beside_group(index, node);
                if (node.parent < 0)
                    try_beside(index, node, static_cast<std::size_t>(1 - node.axis));
            } else if (node.parent < 0) {
                try_beside(index, node, 0);
                try_beside(index, node, 1);
            } else {
                try_beside(index, node, static_cast<std::size_t>(1 - at(node.parent).axis));
            }
        }
    }
}

void Layout::insert(const PartKind& part, int item, const Insertion& where) {
    const int leaf = make_node();
    at(leaf).item = item;
    at(leaf).turned = where.turned;
    at(leaf).least = where.turned ? part.turned() : part.size;
    ++part_count_;
    free_area_ -= part.area;
    if (where.node < 0) {
        root_ = leaf;
    } else if (where.group > 0) {
        const int group = make_node();
        at(group).axis = at(where.node).axis;
        for (int i = 0; i < where.group; ++i) {
            const int child = at(where.node).first;
            at(where.node).first = at(child).next;
            append_child(group, child);
        }
        const int row = make_node();
        at(row).axis = where.axis;
        append_child(row, group);
        append_child(row, leaf);
        append_child(where.node, row);
    } else if (at(where.node).item < 0 && at(where.node).axis == where.axis) {
        append_child(where.node, leaf);
    } else {
        const int row = make_node();
        at(row).axis = where.axis;
        replace(where.node, row);
        append_child(row, where.node);
        append_child(row, leaf);
    }
    settle();
}

void Layout::take(const Problem& problem, int node, std::vector<int>& out) {
    if (at(node).item >= 0) {
        out.push_back(at(node).item);
        --part_count_;
        free_area_ += problem
                          .parts[static_cast<std::size_t>(
                              problem.items[static_cast<std::size_t>(at(node).item)])]
                          .area;
    } else {
        for (int child = at(node).first; child >= 0;) {
            const int next = at(child).next;
            take(problem, child, out);
            child = next;
        }
    }
    free_node(node);
}

void Layout::remove(const Problem& problem, int node, std::vector<int>& out) {
    const int parent = at(node).parent;
    if (parent < 0) {
        clear(out);
        return;
    }
    detach(node);
    take(problem, node, out);
    const int last = at(parent).first;
    if (at(last).next < 0) {
        // One child is no row: it takes the row's place, and a row of the same axis joins the row
        // above.
        replace(parent, last);
        free_node(parent);
        const int above = at(last).parent;
        if (above >= 0 && at(last).item < 0 && at(last).axis == at(above).axis) {
            detach(last);
            for (int child = at(last).first; child >= 0;) {
                const int next = at(child).next;
                append_child(above, child);
                child = next;
            }
            free_node(last);
        }
    }
    settle();
}

void Layout::clear(std::vector<int>& out) {
    for (const LayoutNode& node : nodes_)
        if (node.used && node.item >= 0) out.push_back(node.item);
    nodes_.clear();
    spare_.clear();
    root_ = -1;
    part_count_ = 0;
    free_area_ = std::int64_t{size_[0]} * size_[1];
}

void Layout::move_to(int sheet, const GridSize& size) {
    free_area_ += std::int64_t{size[0]} * size[1] - std::int64_t{size_[0]} * size_[1];
    sheet_ = sheet;
    size_ = size;
    settle();
}

int Layout::node_by_number(std::uint32_t number) const {
    const std::size_t used = nodes_.size() - spare_.size();
    auto skip = static_cast<std::size_t>((std::uint64_t{number} * used) >> 32);
    if (spare_.empty()) return static_cast<int>(skip);
    for (std::size_t index = 0; index < nodes_.size(); ++index)
        if (nodes_[index].used && skip-- == 0) return static_cast<int>(index);
    return root_;
}

int Layout::add_row(int parent, int axis) {
    const int row = make_node();
    at(row).axis = static_cast<std::int8_t>(axis);
    if (parent < 0)
        root_ = row;
    else
        append_child(parent, row);
    return row;
}

int Layout::add_part(int parent, const PartKind& part, int item, bool turned) {
    const int leaf = make_node();
    at(leaf).item = item;
    at(leaf).turned = turned;
    at(leaf).least = turned ? part.turned() : part.size;
    ++part_count_;
    free_area_ -= part.area;
    if (parent < 0)
        root_ = leaf;
    else
        append_child(parent, leaf);
    return leaf;
}

std::int64_t Layout::largest_offcut() const {
    if (root_ < 0) return std::int64_t{size_[0]} * size_[1];
    std::int64_t largest = 0;
    for (const LayoutNode& node : nodes_) {
        if (!node.used) continue;
        for (std::size_t along = 0; along < 2; ++along)
            largest = std::max(largest, std::int64_t{node.most[along] - node.least[along]} *
                                            node.most[1 - along]);
    }
    return largest;
}

} // namespace aumbry::sheet_goods
