// Rough boards of random width and length, by board foot or cubic metre.
#include "solid_stock/module/planner.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/plugin.hpp"
#include "aumbry/rounding.hpp"

#include <cmath>

namespace aumbry::solid_stock {

namespace {

/// The grade of the boards on offer, with the yield that it promises.
struct GradeYield {
    Grade grade;
    std::string source;
};

GradeYield grade_of(const Board& board, const contract::TakeOffRequest& request) {
    const std::string name = text(board.offer->attributes, "grade");
    try {
        return {grade_named(name), "grade yield by NHLA, less for parts longer than its minimum "
                                   "cuttings (common practice)"};
    } catch (const FaultError&) {
        // A grade of another rule: the workshop's usual yield, whatever the size of the part.
        const GridLength any = to_grid(1e6);
        Grade usual;
        usual.name = name;
        usual.yield = number(request.settings.module, "usual_yield", 75) / 100;
        usual.cuttings = {{any, any}};
        return {usual, "usual yield of the workshop (common practice)"};
    }
}

/// Buys so many board feet of each thickness; how many in all.
double add_volume_uses(const std::map<GridLength, double>& by_thickness,
                       const std::vector<const Board*>& boards, contract::Way& way) {
    double total = 0;
    for (const auto& [thickness, feet] : by_thickness) {
        const auto board =
            std::find_if(boards.begin(), boards.end(), [&, wanted = thickness](const Board* b) {
                return to_grid(number(b->offer->attributes, "thickness", 0)) == wanted;
            });
        const Offer& offer = *(*board)->offer;
        total += feet;
        if (offer.price_unit == "bdft") {
            // Yards sell whole board feet.
            way.uses.push_back(
                {offer.id, static_cast<std::int64_t>(std::ceil(round_to(feet, 6))), 1, 0});
        } else {
            way.uses.push_back(
                {offer.id, 1,
                 std::ceil(round_to(feet * cubic_metres_per_board_foot * 1000, 6)) / 1000, 0});
        }
    }
    return total;
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
    for (const Board* board : boards)
        thicknesses.push_back(to_grid(number(board->offer->attributes, "thickness", 0)));
    return rough_needs(lumber, grade, allowances, thicknesses);
}

void Planner::volumes(const std::vector<const LinePart*>& list, DemandPlan& plan) {
    std::map<std::string, std::vector<const Board*>> by_supplier;
    for (const Board& board : boards_) {
        const bool by_volume = board.offer->price_unit == "bdft" || board.offer->price_unit == "m3";
        if (board.rough && by_volume && board.length == 0 &&
            number(board.offer->attributes, "thickness", 0) > 0)
            by_supplier[board.offer->supplier].push_back(&board);
    }
    if (std::any_of(list.begin(), list.end(),
                    [](const LinePart* part) { return from(*part) == "dressed"; }))
        return;
    for (const auto& [supplier, boards] : by_supplier) volume_way(list, supplier, boards, plan);
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
    contract::Way way;
    way.id = "rough_" + supplier;
    way.title = "rough boards from " + supplier;
    double net = 0;
    double bought = 0;
    contract::Working working;
    working.ref = plan.demand.id + "." + way.id;
    working.title = "rough boards from " + supplier + " for " + plan.demand.title;
    working.formula =
        "(length + allowance) x (width + allowance) x rough thickness x count / yield";
    working.source = yield_source;
    std::map<GridLength, double> by_thickness; // board feet
    for (const RoughNeed& need : needs) {
        by_thickness[need.rough_thickness] += need.board_feet;
        net += need.net_cubic_metres;
        bought += need.cubic_metres;
        working.inputs.push_back({lumber[need.part].name,
                                  format_trimmed(need.board_feet, 2) +
                                      " board feet at a yield of " +
                                      format_trimmed(need.yield * 100, 1) + " %, from " +
                                      length_text(need.rough_thickness, unit_),
                                  "line." + list[need.part]->line->id});
    }
    const double total = add_volume_uses(by_thickness, boards, way);
    working.result = unit_ == "in" ? format_trimmed(total, 2) + " board feet"
                                   : format_trimmed(total * cubic_metres_per_board_foot, 4) + " m3";
    way.yield = bought > 0 ? round_to(net / bought, 4) : 0;
    way.waste = round_to(bought - net, 6);
    plan.workings.push_back(std::move(working));
    plan.demand.ways.push_back(std::move(way));
}

} // namespace aumbry::solid_stock
