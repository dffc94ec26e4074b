#include "sheet_goods/engine/constructive.hpp"

#include <algorithm>
#include <limits>
#include <tuple>
#include <utility>

namespace aumbry::sheet_goods {

namespace {

// Nodes looked at for one part, at most about this many.
constexpr std::size_t nodes_looked_at = 4000;
// Orders of more parts than this are laid out once only.
constexpr std::size_t large_order = 1500;

std::int64_t sort_key(const PartKind& part, Sequence sequence) {
    switch (sequence) {
    case Sequence::by_area:
        return part.area;
    case Sequence::by_longer_side:
        return std::max(part.size[0], part.size[1]);
    case Sequence::by_length:
        return part.size[0];
    case Sequence::by_width:
        return part.size[1];
    }
    return part.area;
}

/// Large orders in batches, each with its share of large and small parts: sheets begun with large
/// parts are still open when the small ones come.
std::vector<int> in_batches(const std::vector<int>& items, std::size_t batch) {
    const std::size_t batches = (items.size() + batch - 1) / batch;
    std::vector<int> ordered;
    ordered.reserve(items.size());
    for (std::size_t first = 0; first < batches; ++first)
        for (std::size_t i = first; i < items.size(); i += batches) ordered.push_back(items[i]);
    return ordered;
}

} // namespace

std::vector<int> in_sequence(const Problem& problem, Sequence sequence) {
    std::vector<int> items(problem.items.size());
    for (std::size_t i = 0; i < items.size(); ++i) items[i] = static_cast<int>(i);
    std::stable_sort(items.begin(), items.end(), [&](int a, int b) {
        const int kind_a = problem.items[static_cast<std::size_t>(a)];
        const int kind_b = problem.items[static_cast<std::size_t>(b)];
        const PartKind& part_a = problem.parts[static_cast<std::size_t>(kind_a)];
        const PartKind& part_b = problem.parts[static_cast<std::size_t>(kind_b)];
        return std::tuple(-sort_key(part_a, sequence), -part_a.area, kind_a) <
               std::tuple(-sort_key(part_b, sequence), -part_b.area, kind_b);
    });
    return items;
}

int kind_to_begin(const Problem& problem, const std::vector<std::int64_t>& used,
                  const PartKind& part, Begin begin, std::int64_t most_price) {
    int best = -1;
    const auto before = [&](const SheetKind& a, const SheetKind& b) {
        switch (begin) {
        case Begin::cheapest:
            return std::pair(a.price, -a.area) < std::pair(b.price, -b.area);
        case Begin::largest:
            return std::pair(-a.area, a.price) < std::pair(-b.area, b.price);
        case Begin::best_value:
            break;
        }
        const double value_a = static_cast<double>(a.price) / static_cast<double>(a.area);
        const double value_b = static_cast<double>(b.price) / static_cast<double>(b.area);
        return std::pair(value_a, -a.area) < std::pair(value_b, -b.area);
    };
    for (std::size_t kind = 0; kind < problem.sheets.size(); ++kind) {
        const SheetKind& sheet = problem.sheets[kind];
        if (part.lies[kind] == 0 || used[kind] >= sheet.limit || sheet.price > most_price) continue;
        if (best < 0 || before(sheet, problem.sheets[static_cast<std::size_t>(best)]))
            best = static_cast<int>(kind);
    }
    return best;
}

void place_rest(const Problem& problem, Packing& packing, Begin begin, std::int64_t& steps) {
    const std::vector<int> items = std::move(packing.unplaced);
    packing.unplaced.clear();
    std::vector<std::int64_t> used = packing.sheets_used(problem);
    std::size_t first_open = 0;
    std::size_t open_nodes = 0;
    int no_room_for = -1;
    std::int64_t counted = steps;
    for (const int item : items) {
        problem.stop.step(steps - counted);
        counted = steps;
        const int kind = problem.items[static_cast<std::size_t>(item)];
        const PartKind& part = problem.parts[static_cast<std::size_t>(kind)];
        Insertion best;
        std::size_t best_sheet = 0;
        // A part alike that found no room a moment ago: only the newest sheet has changed since.
        const std::size_t from = kind == no_room_for ? packing.sheets.size() - 1 : first_open;
        for (std::size_t s = from; s < packing.sheets.size(); ++s) {
            bool here = false;
            packing.sheets[s].find_place(part, best, here, steps);
            if (here) best_sheet = s;
        }
        if (best.possible) {
            packing.sheets[best_sheet].insert(part, item, best);
            open_nodes += 2;
        } else {
            const int sheet =
                kind_to_begin(problem, used, part, begin, std::numeric_limits<std::int64_t>::max());
            if (sheet < 0) {
                packing.unplaced.push_back(item);
                continue;
            }
            ++used[static_cast<std::size_t>(sheet)];
            packing.sheets.emplace_back(sheet,
                                        problem.sheets[static_cast<std::size_t>(sheet)].size);
            Insertion first;
            bool here = false;
            packing.sheets.back().find_place(part, first, here, steps);
            packing.sheets.back().insert(part, item, first);
            open_nodes += 2;
            no_room_for = kind;
        }
        while (open_nodes > nodes_looked_at && first_open + 1 < packing.sheets.size())
            open_nodes -= std::min(open_nodes, packing.sheets[first_open++].nodes().size());
    }
    move_to_cheaper_sheets(problem, packing);
}

Packing construct_best(const Problem& problem, std::int64_t& steps) {
    std::vector<Sequence> sequences{Sequence::by_area, Sequence::by_longer_side,
                                    Sequence::by_length, Sequence::by_width};
    std::vector<Begin> ways{Begin::best_value};
    if (problem.sheets.size() > 1) ways = {Begin::best_value, Begin::cheapest, Begin::largest};
    if (problem.items.size() > large_order) sequences = {Sequence::by_area};
    Packing best;
    bool any = false;
    for (const Sequence sequence : sequences) {
        const std::vector<int> items = in_batches(in_sequence(problem, sequence), large_order);
        for (const Begin begin : ways) {
            Packing packing{{}, items};
            place_rest(problem, packing, begin, steps);
            if (!any || better(problem, packing, best)) best = std::move(packing);
            any = true;
        }
    }
    return best;
}

} // namespace aumbry::sheet_goods
