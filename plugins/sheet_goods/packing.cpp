#include "packing.hpp"

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
    const Size& room = problem.sheets[static_cast<std::size_t>(sheet)].size;
    const Size needed = layout.needed();
    if (needed[0] > room[0] || needed[1] > room[1]) return false;
    return std::all_of(layout.nodes().begin(), layout.nodes().end(), [&](const LayoutNode& node) {
        if (!node.used || node.item < 0) return true;
        const unsigned ways = part_of(problem, node.item).lies[static_cast<std::size_t>(sheet)];
        return (ways & (node.turned ? lies_turned : lies_straight)) != 0;
    });
}

void move_to_cheaper_sheets(const Problem& problem, Packing& packing) {
    if (problem.sheets.size() < 2) return;
    std::vector<std::int64_t> used = packing.sheets_used(problem);
    for (Layout& layout : packing.sheets) {
        int best = layout.sheet();
        for (int to = 0; to < static_cast<int>(problem.sheets.size()); ++to) {
            const SheetKind& kind = problem.sheets[static_cast<std::size_t>(to)];
            if (kind.price >= problem.sheets[static_cast<std::size_t>(best)].price) continue;
            if (used[static_cast<std::size_t>(to)] < kind.limit && can_move(problem, layout, to))
                best = to;
        }
        if (best == layout.sheet()) continue;
        --used[static_cast<std::size_t>(layout.sheet())];
        ++used[static_cast<std::size_t>(best)];
        layout.move_to(best, problem.sheets[static_cast<std::size_t>(best)].size);
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
