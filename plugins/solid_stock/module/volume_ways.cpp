// Rough boards of random width and length, by board foot or cubic metre: whole boards, of which the
// yard is told how wide and long they must be.
#include "solid_stock/module/planner.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/plugin.hpp"
#include "aumbry/rounding.hpp"

#include <cmath>
#include <set>

namespace aumbry::solid_stock {

namespace {

/// The grade of the boards on offer, with the yield that it promises and its least board.
struct GradeYield {
    Grade grade;
    std::string source;
};

GradeYield grade_of(const Board& board, const contract::TakeOffRequest& request) {
    const std::string name = text(board.offer->attributes, "grade");
    try {
        return {grade_named(name), "grade yield and least board by NHLA, less yield for parts "
                                   "longer than its minimum cuttings (common practice)"};
    } catch (const FaultError&) {
        // A grade of another rule: the workshop's usual yield, whatever the size of the part.
        const Json& own = request.settings.module;
        const GridLength any = to_grid(1e6);
        Grade usual;
        usual.name = name;
        usual.yield = number(own, "usual_yield", 75) / 100;
        usual.cuttings = {{any, any}};
        usual.least_board_width = to_grid(number(own, "usual_least_width", 100));
        usual.least_board_length = to_grid(number(own, "usual_least_length", 2000));
        return {usual, "usual yield and least board of the workshop (common practice)"};
    }
}

GridLength thickness_of(const Board& board) {
    return to_grid(number(board.offer->attributes, "thickness", 0));
}

/// m3
double volume_of(GridLength thickness, const AskedSize& size) {
    return to_mm(size.length) * to_mm(size.width) * to_mm(thickness) * 1e-9;
}

/// What a board measures as the yard charges it: whole square feet of surface for board feet.
double charged(const Board& board, GridLength thickness, const AskedSize& size) {
    return board.offer->price_unit == "bdft"
               ? tallied_board_feet(thickness, size.width, size.length)
               : volume_of(thickness, size);
}

/// A length as a yard says it: feet where they are whole.
std::string yard_text(GridLength length, const std::string& unit) {
    const GridLength foot = 12 * steps_per_inch;
    if (unit == "in" && length % foot == 0) return std::to_string(length / foot) + " ft";
    return length_text(length, unit);
}

/// "2 boards, each at least 150 mm wide and 2400 mm long"
std::string asked_text(std::int64_t count, const AskedSize& size, const std::string& unit) {
    return std::to_string(count) + (count == 1 ? " board" : " boards, each") + " at least " +
           length_text(size.width, unit) + " wide and " + yard_text(size.length, unit) + " long";
}

} // namespace

std::vector<RoughNeed> Planner::rough_needs_of(const std::vector<LumberPart>& lumber,
                                               const Grade& grade,
                                               const std::vector<const Board*>& boards) const {
    Allowances allowances;
    allowances.length = to_grid(number(request_.settings.module, "length_allowance", 50));
    allowances.width = to_grid(number(request_.settings.module, "width_allowance", 6)) + kerf_;
    allowances.thickness = to_grid(number(request_.settings.module, "planing", 5));
    std::vector<GridLength> thicknesses;
    for (const Board* board : boards) thicknesses.push_back(thickness_of(*board));
    return rough_needs(lumber, grade, allowances, thicknesses);
}

std::map<std::string, std::vector<const Board*>> Planner::random_boards() const {
    std::map<std::string, std::vector<const Board*>> by_supplier;
    for (const Board& board : boards_) {
        const bool by_volume = board.offer->price_unit == "bdft" || board.offer->price_unit == "m3";
        if (board.rough && by_volume && board.length == 0 && thickness_of(board) > 0)
            by_supplier[board.offer->supplier].push_back(&board);
    }
    return by_supplier;
}

std::vector<std::vector<const LinePart*>>
Planner::by_rough_thickness(const std::vector<const LinePart*>& list) const {
    const GridLength planing = to_grid(number(request_.settings.module, "planing", 5));
    const auto by_supplier = random_boards();
    // The thickness that each supplier would take for a part; 0 where he has none.
    const auto taken = [&](const LinePart& part) {
        std::vector<GridLength> of;
        for (const auto& [supplier, boards] : by_supplier) {
            GridLength best = 0;
            for (const Board* board : boards) {
                const GridLength rough = thickness_of(*board);
                if (rough >= part.section.thickness + planing && (best == 0 || rough < best))
                    best = rough;
            }
            of.push_back(best);
        }
        return of;
    };
    struct Group {
        std::vector<const LinePart*> parts;
        std::set<std::pair<std::size_t, GridLength>> boards; ///< supplier, thickness
        GridLength finished = 0;
    };
    std::vector<Group> groups;
    for (const LinePart* part : list) {
        Group joined{{}, {}, part->section.thickness};
        const std::vector<GridLength> of = taken(*part);
        for (std::size_t s = 0; s < of.size(); ++s)
            if (of[s] > 0) joined.boards.emplace(s, of[s]);
        std::vector<Group> others;
        for (Group& group : groups) {
            const bool shares =
                (group.boards.empty() && joined.boards.empty() &&
                 group.finished == joined.finished) ||
                std::any_of(group.boards.begin(), group.boards.end(),
                            [&](const auto& board) { return joined.boards.contains(board); });
            if (!shares) {
                others.push_back(std::move(group));
                continue;
            }
            joined.parts.insert(joined.parts.end(), group.parts.begin(), group.parts.end());
            joined.boards.insert(group.boards.begin(), group.boards.end());
        }
        joined.parts.push_back(part);
        others.push_back(std::move(joined));
        groups = std::move(others);
    }
    std::vector<std::vector<const LinePart*>> lists;
    lists.reserve(groups.size());
    for (Group& group : groups) lists.push_back(std::move(group.parts));
    return lists;
}

void Planner::volumes(const std::vector<const LinePart*>& list, DemandPlan& plan) {
    if (std::any_of(list.begin(), list.end(),
                    [](const LinePart* part) { return from(*part) == "dressed"; }))
        return;
    for (const auto& [supplier, boards] : random_boards()) volume_way(list, supplier, boards, plan);
}

void Planner::volume_way(const std::vector<const LinePart*>& list, const std::string& supplier,
                         const std::vector<const Board*>& boards, DemandPlan& plan) {
    std::vector<LumberPart> lumber;
    for (const LinePart* part : list)
        lumber.push_back({display_name(*part->line), part->length, part->section.width,
                          part->section.thickness, part->count});

    const auto [grade, yield_source] = grade_of(*boards.front(), request_);
    std::vector<RoughNeed> needs;
    try {
        needs = rough_needs_of(lumber, grade, boards);
    } catch (const FaultError& error) {
        // Worth a caution only when nothing else serves.
        for (const Fault& fault : error.faults())
            plan.findings.push_back({plan.demand.ways.empty() ? Severity::caution : Severity::note,
                                     fault.code, list.front()->line->id,
                                     supplier + ": " + fault.sentence() + "."});
        return;
    }
    contract::Working working;
    working.ref = plan.demand.id + ".rough_" + supplier;
    working.title = "rough boards from " + supplier + " for " + plan.demand.title;
    working.formula = "(length + allowance) x (width + allowance) x rough thickness x count / "
                      "yield, in whole boards that hold the parts";
    working.source = yield_source;
    double net = 0;
    std::map<GridLength, RandomWood> woods;
    std::map<GridLength, std::pair<double, double>> rough; // with allowances; to buy, m3
    for (const RoughNeed& need : needs) {
        RandomWood& wood = woods[need.rough_thickness];
        wood.thickness = need.rough_thickness;
        wood.parts.push_back(list[need.part]);
        rough[need.rough_thickness].first += need.rough_cubic_metres;
        rough[need.rough_thickness].second += need.cubic_metres;
        net += need.net_cubic_metres;
        working.inputs.push_back({lumber[need.part].name,
                                  format_trimmed(need.board_feet, 2) +
                                      " board feet at a yield of " +
                                      format_trimmed(need.yield * 100, 1) + " %, from " +
                                      length_text(need.rough_thickness, unit_),
                                  "line." + list[need.part]->line->id});
    }
    for (auto& [thickness, wood] : woods) {
        wood.board =
            *std::find_if(boards.begin(), boards.end(), [&, wanted = thickness](const Board* b) {
                return thickness_of(*b) == wanted;
            });
        const Json& attributes = wood.board->offer->attributes;
        wood.yield = rough[thickness].first / rough[thickness].second;
        const double width = number(attributes, "least_width", 0);
        const double length = number(attributes, "least_length", 0);
        wood.least_width = width > 0 ? to_grid(width) : grade.least_board_width;
        wood.least_length = length > 0 ? to_grid(length) : grade.least_board_length;
    }
    const std::size_t before = plan.demand.ways.size();
    std::vector<contract::Input> asked;
    double volume = 0;
    add_carried(supplier, true, plan, [&](GridLength extra) -> std::optional<contract::Way> {
        RoughBill bill;
        bill.way.id = "rough_" + supplier;
        bill.way.title = "rough boards from " + supplier;
        for (const auto& [thickness, wood] : woods)
            if (!ask_for(wood, extra, bill, plan)) return std::nullopt;
        bill.way.used = bill.boards;
        bill.way.lower_bound = bill.bound;
        bill.way.proven = bill.proven;
        if (extra == 0) bound(plan, bill.least_cost);
        bill.way.yield = round_to(net / bill.volume, 4);
        bill.way.waste = round_to(bill.volume - net, 6);
        asked = std::move(bill.asked);
        volume = bill.volume;
        return std::move(bill.way);
    });
    if (plan.demand.ways.size() == before) return;
    working.inputs.insert(working.inputs.end(), asked.begin(), asked.end());
    working.result = unit_ == "in"
                         ? format_trimmed(volume / cubic_metres_per_board_foot, 2) + " board feet"
                         : format_trimmed(volume, 4) + " m3";
    plan.workings.push_back(std::move(working));
}

bool Planner::ask_for(const RandomWood& wood, GridLength extra, RoughBill& bill,
                      DemandPlan& plan) const {
    const Offer& offer = *wood.board->offer;
    RipOrder order = rip_order();
    order.kerf += extra;
    for (const LinePart* part : wood.parts)
        order.parts.push_back(
            {display_name(*part->line), part->length, part->section.width, part->count});
    RandomBoards random;
    random.least_width = wood.least_width;
    random.least_length = wood.least_length;
    random.yield = wood.yield;
    random.end_trim = bad_ends(offer);
    if (vehicle_ && !delivered_ && offer.carriage != contract::Carriage::delivered)
        random.longest = longest_carried(to_mm(random.least_width), to_mm(wood.thickness));
    random.width_step = unit_ == "in" ? steps_per_inch : to_grid(10);
    random.length_step = unit_ == "in" ? 12 * steps_per_inch : to_grid(100);
    std::vector<AskedSize> sizes; // by stock
    for (const AskedSize& size : sizes_to_ask(order, random)) {
        for (WideStock& stock : stock_of(size, random)) {
            stock.name = offer.id;
            stock.cost = static_cast<std::int64_t>(
                round_to(charged(*wood.board, wood.thickness, size) * 1e6, 0));
            order.stock.push_back(stock);
            sizes.push_back(size);
        }
    }
    const auto made =
        whole_plan([&] { return plan_ripping(order, effort(), stop_); }, wood.parts, plan);
    if (!made) return false;
    std::map<std::pair<GridLength, GridLength>, std::int64_t> asked; // width, length
    double measure = 0;
    for (const RippedBoard& board : made->boards) {
        const AskedSize& size = sizes[board.stock];
        contract::BoardPlan told = plan_of(*wood.board, board.copies);
        told.board = {told_mm(size.length), told_mm(size.width), told_mm(wood.thickness)};
        told.at_least = true;
        add_placements(board, wood.parts, told);
        // What goes off an edge goes off the far one: which it is, the board shows.
        for (contract::Placement& part : told.placements)
            part.y = told_mm(to_grid(part.y) - order.stock[board.stock].trim_edge);
        bill.way.plans.boards.push_back(std::move(told));
        asked[{size.width, size.length}] += board.copies;
        measure += charged(*wood.board, wood.thickness, size) * static_cast<double>(board.copies);
        bill.volume += volume_of(wood.thickness, size) * static_cast<double>(board.copies);
    }
    contract::Use use;
    use.offer = offer.id;
    for (const LinePart* part : wood.parts) use.lines.push_back(part->line->id);
    for (const auto& [size, count] : asked) {
        const std::string words = asked_text(count, {size.second, size.first}, unit_);
        use.wanted += (use.wanted.empty() ? "" : "; ") + words;
        bill.asked.push_back({"asked for of " + offer.description, words, ""});
    }
    const double density = density_of_offer(offer);
    if (offer.price_unit == "bdft") {
        // Yards sell whole board feet.
        use.count = static_cast<std::int64_t>(std::ceil(round_to(measure, 6)));
        use.measure = 1;
        use.mass = round_to(density * cubic_metres_per_board_foot, 4);
    } else {
        use.count = 1;
        use.measure = std::ceil(round_to(measure * 1000, 6)) / 1000;
        use.mass = round_to(density * use.measure, 4);
    }
    bill.way.uses.push_back(std::move(use));
    bill.boards += made->used;
    const double least = static_cast<double>(made->cost_bound) / 1e6;
    bill.least_cost +=
        cost_of_unit(offer) * (offer.price_unit == "bdft" ? std::ceil(round_to(least, 6)) : least);
    ++bill.bound; // how large a board a yard has, nobody knows
    bill.proven = bill.proven && made->proven;
    return true;
}

} // namespace aumbry::solid_stock
