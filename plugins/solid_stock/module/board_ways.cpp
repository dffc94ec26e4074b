// Boards of known length and width, rough or owned: crosscut and ripped.
#include "solid_stock/module/planner.hpp"

#include "aumbry/plugin.hpp"
#include "aumbry/rounding.hpp"

namespace aumbry::solid_stock {

RipOrder Planner::rip_order() const {
    RipOrder order;
    order.kerf = kerf_;
    order.order = text(request_.settings.module, "order", "crosscut first") == "rip first"
                      ? CutOrder::rip_first
                      : CutOrder::crosscut_first;
    order.length_allowance = to_grid(number(request_.settings.module, "length_allowance", 50));
    order.width_allowance = to_grid(number(request_.settings.module, "width_allowance", 6));
    return order;
}

void Planner::known_boards(const std::vector<const LinePart*>& list, DemandPlan& plan) {
    const GridLength planing = to_grid(number(request_.settings.module, "planing", 5));
    const CrossSection& section = list.front()->section;
    std::vector<const Board*> fitting;
    for (const Board& board : boards_) {
        if (!board.section || board.length <= 0) continue;
        if (board.rough && from(*list.front()) == "dressed" && !board.offer->owned) continue;
        if (!board.rough && !board.offer->owned) continue;
        if (!board.rough && *board.section == section) continue; // a length
        if (board.section->thickness < section.thickness + (board.rough ? planing : 0) ||
            board.section->width < section.width)
            continue;
        fitting.push_back(&board);
    }
    std::vector<std::string> sold_by = suppliers(fitting);
    for (const std::string& supplier : sold_by) {
        const std::vector<const Board*> chosen = of(fitting, supplier);
        RipOrder order = rip_order(list, chosen);
        add_carried(supplier, true, plan, [&](GridLength extra) {
            order.kerf = kerf_ + extra;
            const auto made =
                whole_plan([&] { return plan_ripping(order, effort(), stop_); }, list, plan);
            if (made && extra == 0) bound(plan, static_cast<double>(made->cost_bound) / 100);
            return made ? std::optional(ripped_way(supplier, list, chosen, *made, plan))
                        : std::nullopt;
        });
    }
    std::erase(sold_by, "");
    if (sold_by.size() < 2) return;
    const std::vector<const Board*> chosen = of(fitting, std::nullopt);
    const auto made = whole_plan(
        [&] { return plan_ripping(rip_order(list, chosen), effort(), stop_); }, list, plan);
    if (!made) return;
    bound(plan, static_cast<double>(made->cost_bound) / 100);
    add_together(ripped_way(joined(sold_by), list, chosen, *made, plan), plan);
}

RipOrder Planner::rip_order(const std::vector<const LinePart*>& list,
                            const std::vector<const Board*>& chosen) const {
    RipOrder order = rip_order();
    for (const Board* board : chosen) {
        const GridLength ends = bad_ends(*board->offer);
        order.stock.push_back({board->offer->id, board->length, board->section->width,
                               cost_of(*board), board->offer->limit.value_or(-1), ends, ends, 0,
                               board->offer->owned});
    }
    for (const LinePart* part : list)
        order.parts.push_back(
            {display_name(*part->line), part->length, part->section.width, part->count});
    return order;
}

void Planner::add_placements(const RippedBoard& board, const std::vector<const LinePart*>& list,
                             contract::BoardPlan& told) const {
    for (const auto& cut : board.sections) {
        for (const RoughPiece& piece : cut.pieces) {
            const LinePart& part = *list[piece.part];
            contract::Placement& placed = told.placements.emplace_back();
            placed.line = part.line->id;
            placed.x = told_mm(piece.x);
            placed.y = told_mm(piece.y);
            placed.length = told_mm(piece.length);
            placed.width = told_mm(piece.width);
            placed.finished = contract::Size{told_mm(part.length), told_mm(part.section.width)};
        }
    }
}

contract::Way Planner::ripped_way(const std::string& supplier,
                                  const std::vector<const LinePart*>& list,
                                  const std::vector<const Board*>& chosen, const RipPlan& made,
                                  DemandPlan& plan) const {
    contract::Way way;
    way.id = supplier.empty() ? "boards_owned" : "boards_" + supplier;
    way.title = supplier.empty() ? "boards from your own stock" : "boards from " + supplier;
    std::map<std::size_t, std::int64_t> counts;
    double bought = 0;
    double used = 0;
    for (const RippedBoard& board : made.boards) {
        counts[board.stock] += board.copies;
        const Board& of = *chosen[board.stock];
        const auto copies = static_cast<double>(board.copies);
        bought +=
            to_mm(of.length) * to_mm(of.section->width) * to_mm(of.section->thickness) * copies;
        for (const auto& cut : board.sections) {
            for (const RoughPiece& piece : cut.pieces) {
                const LinePart& part = *list[piece.part];
                used += to_mm(part.length) * to_mm(part.section.width) *
                        to_mm(part.section.thickness) * copies;
            }
        }
        contract::BoardPlan told = plan_of(of, board.copies);
        add_placements(board, list, told);
        way.plans.boards.push_back(std::move(told));
    }
    add_uses(way, counts, chosen);
    way.used = made.used;
    way.lower_bound = made.used_bound;
    way.proven = made.proven;
    way.yield = bought > 0 ? round_to(used / bought, 4) : 0;
    way.waste = round_to((bought - used) * 1e-9, 6);
    for (const auto& [stock, count] : counts) {
        if (chosen[stock]->offer->owned)
            plan.preparation = std::max(plan.preparation,
                                        number(chosen[stock]->offer->attributes, "preparation", 0) *
                                            static_cast<double>(count));
    }
    return way;
}

} // namespace aumbry::solid_stock
