// Lengths of the section wanted: cut to length only.
#include "solid_stock/module/planner.hpp"

#include "aumbry/plugin.hpp"
#include "aumbry/rounding.hpp"

namespace aumbry::solid_stock {

void Planner::lengths(const std::vector<const LinePart*>& list, DemandPlan& plan) {
    std::vector<const Board*> fitting;
    for (const Board& board : boards_) {
        const bool wanted = board.offer->owned || from(*list.front()) != "rough";
        if (wanted && !board.rough && board.section && *board.section == list.front()->section &&
            board.length > 0)
            fitting.push_back(&board);
    }
    std::vector<std::string> sold_by = suppliers(fitting);
    for (const std::string& supplier : sold_by) {
        const std::vector<const Board*> chosen = of(fitting, supplier);
        BoardOrder order = length_order(list, chosen);
        add_carried(supplier, false, plan, [&](GridLength extra) {
            order.kerf = kerf_ + extra;
            const auto made =
                whole_plan([&] { return plan_boards(order, effort(), stop_); }, list, plan);
            if (made && extra == 0) bound(plan, static_cast<double>(made->cost_bound) / 100);
            return made ? std::optional(length_way(supplier, list, chosen, *made)) : std::nullopt;
        });
    }
    std::erase(sold_by, "");
    if (sold_by.size() < 2) return;
    const std::vector<const Board*> chosen = of(fitting, std::nullopt);
    const auto made = whole_plan(
        [&] { return plan_boards(length_order(list, chosen), effort(), stop_); }, list, plan);
    if (!made) return;
    bound(plan, static_cast<double>(made->cost_bound) / 100);
    add_together(length_way(joined(sold_by), list, chosen, *made), plan);
}

BoardOrder Planner::length_order(const std::vector<const LinePart*>& list,
                                 const std::vector<const Board*>& chosen) const {
    BoardOrder order;
    order.kerf = kerf_;
    for (const Board* board : chosen)
        order.stock.push_back({board->offer->id, board->length, cost_of(*board),
                               board->offer->limit.value_or(-1), bad_ends(*board->offer),
                               bad_ends(*board->offer), board->offer->owned});
    for (const LinePart* part : list)
        order.parts.push_back({display_name(*part->line), part->length, part->count});
    return order;
}

contract::Way Planner::length_way(const std::string& supplier,
                                  const std::vector<const LinePart*>& list,
                                  const std::vector<const Board*>& chosen,
                                  const BoardPlan& made) const {
    contract::Way way;
    way.id = supplier.empty() ? "lengths_owned" : "lengths_" + supplier;
    way.title = supplier.empty() ? "lengths from your own stock" : "lengths from " + supplier;
    const double worth_keeping = number(request_.settings.module, "least_offcut_length", 500);
    std::map<std::size_t, std::int64_t> counts;
    double bought = 0;
    double used = 0;
    for (const CutBoard& board : made.boards) {
        counts[board.stock] += board.copies;
        const Board& of = *chosen[board.stock];
        bought += to_mm(of.length) * static_cast<double>(board.copies);
        contract::BoardPlan told = plan_of(of, board.copies);
        for (const PlacedPiece& piece : board.pieces) {
            const LinePart& part = *list[piece.part];
            used += to_mm(part.length) * static_cast<double>(board.copies);
            told.pieces.push_back({part.line->id, told_mm(piece.position), told_mm(part.length)});
        }
        told.offcut = told_mm(board.offcut);
        told.keep_offcut = *told.offcut >= worth_keeping;
        way.plans.boards.push_back(std::move(told));
    }
    add_uses(way, counts, chosen);
    way.used = made.used;
    way.lower_bound = made.used_bound;
    way.proven = made.proven;
    way.yield = bought > 0 ? round_to(used / bought, 4) : 0;
    way.waste = round_to((bought - used) / 1000, 4);
    return way;
}

} // namespace aumbry::solid_stock
