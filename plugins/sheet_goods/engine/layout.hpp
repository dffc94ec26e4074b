// The layout of one sheet as a tree of edge-to-edge cuts whose free space is not yet assigned.
//
// A node is a part, or a row of nodes side by side along one axis; rows of the two axes alternate.
// Only the least sizes follow from the parts; the free space of a row may lie anywhere in it, so a
// part can go wherever the free space can be gathered. Every edge-to-edge layout has such a tree.
#pragma once

#include "sheet_goods/engine/problem.hpp"

#include <cstdint>
#include <vector>

namespace aumbry::sheet_goods {

struct LayoutNode {
    int parent = -1, first = -1,
        next = -1;        ///< first child; next sibling, of at least the same size across the row
    int item = -1;        ///< index in Problem::items; -1 in a row
    std::int8_t axis = 0; ///< of a row: its children lie side by side along this axis
    bool turned = false;  ///< of a part
    bool used = false;    ///< false: the slot is free
    GridSize least{};     ///< size that the parts need
    GridSize most{};      ///< size it may take when all others keep to their least
    GridSize forced{};    ///< size it takes in any case, because its row does
};

/// Where and how a part could go in. Lower score: better fit.
struct Insertion {
    std::int64_t score = 0;
    int node = -1; ///< beside this one; -1 in an empty layout
    int group = 0; ///< above 0: beside that many of the row's first children, which become a row of
                   ///< their own
    std::int8_t axis = 0;
    bool turned = false;
    bool possible = false;
};

class Layout {
  public:
    Layout() = default;
    Layout(int sheet, const GridSize& size)
        : sheet_(sheet), size_(size), free_area_(std::int64_t{size[0]} * size[1]) {}

    [[nodiscard]] int sheet() const { return sheet_; } ///< index in Problem::sheets
    [[nodiscard]] const GridSize& size() const { return size_; }
    [[nodiscard]] bool empty() const { return root_ < 0; }
    [[nodiscard]] int root() const { return root_; }
    [[nodiscard]] int part_count() const { return part_count_; }
    [[nodiscard]] std::int64_t free_area() const { return free_area_; }
    [[nodiscard]] const std::vector<LayoutNode>& nodes() const { return nodes_; }
    [[nodiscard]] GridSize needed() const {
        return root_ < 0 ? GridSize{0, 0} : nodes_[static_cast<std::size_t>(root_)].least;
    }
    /// Area of the largest rectangle that can be left in one piece.
    [[nodiscard]] std::int64_t largest_offcut() const;

    /// The best place for the part among `best` so far and all places here; counts the places
    /// looked at.
    void find_place(const PartKind& part, Insertion& best, bool& found_here,
                    std::int64_t& steps) const;
    void insert(const PartKind& part, int item, const Insertion& at);
    /// Takes the node out with all below it; its items are appended to `out`.
    void remove(const Problem& problem, int node, std::vector<int>& out);
    void clear(std::vector<int>& out);
    /// The same layout on another sheet; `needed()` must fit it.
    void move_to(int sheet, const GridSize& size);
    /// A used node chosen by a number from 0 to 2^32-1.
    [[nodiscard]] int node_by_number(std::uint32_t number) const;

    /// Builds a layout from outside: adds a node under `parent` (-1: the root) and returns it. Call
    /// `settle` after.
    int add_row(int parent, int axis);
    int add_part(int parent, const PartKind& part, int item, bool turned);
    void settle();

  private:
    [[nodiscard]] LayoutNode& at(int node) { return nodes_[static_cast<std::size_t>(node)]; }
    [[nodiscard]] const LayoutNode& at(int node) const {
        return nodes_[static_cast<std::size_t>(node)];
    }
    int make_node();
    void free_node(int node);
    void append_child(int parent, int child);
    void detach(int node);
    void sort_children(int row);
    void replace(int node, int by);
    void measure(int node);
    void spread(int node);
    void take(const Problem& problem, int node, std::vector<int>& out);

    int sheet_ = 0;
    GridSize size_{};
    int root_ = -1;
    int part_count_ = 0;
    std::int64_t free_area_ = 0;
    std::vector<LayoutNode> nodes_;
    std::vector<int> spare_;
};

} // namespace aumbry::sheet_goods
