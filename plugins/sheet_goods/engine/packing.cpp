#include "sheet_goods/engine/packing.hpp"

#include <algorithm>
#include <tuple>

namespace aumbry::sheet_goods {

namespace {

const PartKind& part_of(const Problem& problem, int item) {
    return problem.parts[static_cast<std::size_t>(problem.items[static_cast<std::size_t>(item)])];
}

} // namespace

std::int64_t Packing::price(const Problem& problem) const {
    std::int64_t sum = 0;
    for (const Layout& layout : sheets)
        sum += problem.sheets[static_cast<std::size_t>(layout.sheet())].price;
    return sum;
}

std::int64_t Packing::unplaced_area(const Problem& problem) const {
    std::int64_t sum = 0;
    for (const int item : unplaced) sum += part_of(problem, item).area;
    return sum;
}

std::int64_t Packing::largest_offcut() const {
    std::int64_t largest = 0;
    for (const Layout& layout : sheets) largest = std::max(largest, layout.largest_offcut());
    return largest;
}

std::vector<std::int64_t> Packing::sheets_used(const Problem& problem) const {
    std::vector<std::int64_t> used(problem.sheets.size(), 0);
    for (const Layout& layout : sheets) ++used[static_cast<std::size_t>(layout.sheet())];
    return used;
}

bool can_move(const Problem& problem, const Layout& layout, int sheet) {
    const GridSize& room = problem.sheets[static_cast<std::size_t>(sheet)].size;
    const GridSize needed = layout.needed();
    if (needed[0] > room[0] || needed[1] > room[1]) return false;
    return std::all_of(layout.nodes().begin(), layout.nodes().end(), [&](const LayoutNode& node) {
        if (!node.used || node.item < 0) return true;
        const unsigned ways = part_of(problem, node.item).lies[static_cast<std::size_t>(sheet)];
        return (ways & (node.turned ? lies_turned : lies_straight)) != 0;
    });
}

int cheaper_kind(const Problem& problem, const Layout& layout,
                 const std::vector<std::int64_t>& used) {
    int best = -1;
    std::int64_t price = problem.sheets[static_cast<std::size_t>(layout.sheet())].price;
    for (std::size_t to = 0; to < problem.sheets.size(); ++to) {
        const SheetKind& kind = problem.sheets[to];
        if (kind.price >= price || used[to] >= kind.limit ||
            !can_move(problem, layout, static_cast<int>(to)))
            continue;
        best = static_cast<int>(to);
        price = kind.price;
    }
    return best;
}

void move_to_cheaper_sheets(const Problem& problem, Packing& packing) {
    if (problem.sheets.size() < 2) return;
    std::vector<std::int64_t> used = packing.sheets_used(problem);
    for (Layout& layout : packing.sheets) {
        const int to = cheaper_kind(problem, layout, used);
        if (to < 0) continue;
        --used[static_cast<std::size_t>(layout.sheet())];
        ++used[static_cast<std::size_t>(to)];
        layout.move_to(to, problem.sheets[static_cast<std::size_t>(to)].size);
    }
}

bool better(const Problem& problem, const Packing& a, const Packing& b) {
    const auto key = [&](const Packing& packing) {
        return std::tuple(packing.unplaced_area(problem), packing.price(problem),
                          -packing.largest_offcut());
    };
    return key(a) < key(b);
}

} // namespace aumbry::sheet_goods
