#include "solid_stock/module/ways.hpp"

#include "solid_stock/engine/boards.hpp"
#include "solid_stock/engine/lumber.hpp"
#include "solid_stock/engine/ripping.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/money.hpp"
#include "aumbry/plugin.hpp"
#include "aumbry/quantity.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

namespace aumbry::solid_stock {

using contract::Offer;
using contract::Severity;

namespace {

constexpr std::size_t most_ways = 12;

/// An offer with its size.
struct Board {
    const Offer* offer = nullptr;
    std::optional<CrossSection> section;
    GridLength length = 0; ///< 0: random
    bool rough = false;
};

std::string length_text(GridLength length, const std::string& unit) {
    return aumbry::length_text(to_mm(length), unit);
}
std::string section_text(const CrossSection& section, const std::string& unit) {
    return length_text(section.thickness, unit) + " x " + length_text(section.width, unit);
}

/// Thickness and width for reckoning board feet: nominal when the offer has a nominal size.
CrossSection measured_section(const Board& board) {
    const std::string nominal = text(board.offer->attributes, "nominal");
    if (nominal.empty()) return *board.section;
    const NominalSize size = nominal_size(nominal);
    return {to_grid(25.4 / 4) * size.thickness_quarters, to_grid(25.4 / 4) * size.width_quarters};
}

/// What one board measures in the offer's price unit; 0 when it is priced by the piece.
double measure_of(const Board& board) {
    const std::string& unit = board.offer->price_unit;
    const double metres = to_mm(board.length) / 1000;
    if (unit == "m") return round_to(metres, 4);
    if (unit == "ft") return round_to(metres / 0.3048, 4);
    if (unit == "m3")
        return round_to(
            metres * to_mm(board.section->thickness) * to_mm(board.section->width) * 1e-6, 6);
    if (unit == "bdft") {
        const CrossSection section = measured_section(board);
        return round_to(board_feet(section.thickness, section.width, board.length), 4);
    }
    return 0;
}

/// Guidance for the search: hundredths of the listed price of one board.
std::int64_t cost_of(const Board& board) {
    if (board.offer->price.empty()) return 0;
    const double measure = measure_of(board);
    const Decimal price = Decimal::parse(board.offer->price);
    const Decimal of_one =
        measure > 0 ? price.multiplied_by(Decimal::from_double(measure, 4), 4) : price;
    return of_one.multiplied_by(Decimal(100), 0).unscaled();
}

class Planner {
  public:
    Planner(const std::string& material, const std::vector<LinePart>& parts,
            const contract::TakeOffRequest& request)
        : material_(material), parts_(parts), request_(request),
          unit_(request.settings.length_unit) {
        for (const Offer& offer : request.offers) {
            Board board;
            board.offer = &offer;
            try {
                board.section = section_of(offer.attributes);
            } catch (const FaultError& error) {
                common_.push_back(
                    {Severity::caution, "bad-nominal", "",
                     offer.id + ": " + error.faults().front().sentence() + "; it is left out."});
                continue;
            }
            board.length = to_grid(number(offer.attributes, "length", 0));
            board.rough = text(offer.attributes, "form", "dressed") == "rough";
            boards_.push_back(board);
        }
        kerf_ = to_grid(number(request.settings.workshop, "kerf", 3.2));
        trim_ = to_grid(number(request.settings.workshop, "end_trim", 20));
    }

    std::vector<DemandPlan> run() {
        // Parts of one section go together; those that only rough boards by volume give go into one
        // demand.
        std::vector<std::vector<const LinePart*>> by_section;
        for (const LinePart& part : parts_) {
            const auto same =
                std::find_if(by_section.begin(), by_section.end(), [&](const auto& list) {
                    return list.front()->section == part.section &&
                           from(*list.front()) == from(part);
                });
            if (same != by_section.end())
                same->push_back(&part);
            else
                by_section.push_back({&part});
        }
        std::vector<const LinePart*> by_volume;
        std::vector<DemandPlan> plans;
        for (const auto& list : by_section) {
            DemandPlan plan = begin(material_ + "_" + section_id(list.front()->section), list);
            plan.demand.title = material_ + " " + section_text(list.front()->section, unit_);
            lengths(list, plan);
            known_boards(list, plan);
            if (plan.demand.ways.empty()) {
                by_volume.insert(by_volume.end(), list.begin(), list.end());
                missed_.insert(missed_.end(), plan.findings.begin(), plan.findings.end());
                continue;
            }
            volumes(list, plan);
            plans.push_back(std::move(plan));
        }
        if (!by_volume.empty()) {
            DemandPlan plan = begin(material_ + "_rough", by_volume);
            plan.demand.title = material_ + ", rough boards";
            volumes(by_volume, plan);
            if (plan.demand.ways.empty()) {
                plan.findings.insert(plan.findings.end(), missed_.begin(), missed_.end());
                if (plan.findings.empty()) {
                    plan.findings.push_back(
                        {Severity::problem, "no-offer", by_volume.front()->line->id,
                         "No supplier offers wood for " + display_name(*by_volume.front()->line) +
                             " (" + section_text(by_volume.front()->section, unit_) + ", " +
                             text(*by_volume.front()->line, "material.species", "") +
                             "): add it to a price list or own it."});
                }
            }
            plans.push_back(std::move(plan));
        }
        for (DemandPlan& plan : plans) order(plan);
        if (!plans.empty())
            plans.front().findings.insert(plans.front().findings.end(), common_.begin(),
                                          common_.end());
        return plans;
    }

  private:
    static std::string from(const LinePart& part) { return text(*part.line, "from", "any"); }
    static std::string section_id(const CrossSection& section) {
        std::string id = format_trimmed(to_mm(section.thickness), 1) + "x" +
                         format_trimmed(to_mm(section.width), 1);
        std::replace(id.begin(), id.end(), '.', '_');
        return id;
    }

    [[nodiscard]] DemandPlan begin(const std::string& id,
                                   const std::vector<const LinePart*>& list) const {
        DemandPlan plan;
        plan.demand.id = id;
        plan.demand.plan_type = "board";
        for (const LinePart* part : list) {
            plan.demand.shares.push_back(
                {part->line->id, round_to(number(*part->line, "derived.volume") *
                                              static_cast<double>(part->count) * 1000,
                                          6)});
        }
        return plan;
    }

    /// Every supplier in turn with what is owned; what is owned alone first.
    [[nodiscard]] std::vector<std::string>
    suppliers(const std::vector<const Board*>& boards) const {
        std::set<std::string> names;
        for (const Board* board : boards) names.insert(board->offer->supplier); // "" is owned
        return {names.begin(), names.end()};
    }

    [[nodiscard]] GridLength bad_ends(const Offer& offer) const {
        const double stated = number(offer.attributes, "bad_ends", -1);
        return stated >= 0 ? to_grid(stated) : trim_;
    }

    [[nodiscard]] std::int64_t effort() const { return effort_steps(request_.settings.effort); }

    /// What the engine plans, when it covers every piece. What it refuses is told with the plan.
    template <class Make>
    [[nodiscard]] static auto whole_plan(const Make& make, const std::vector<const LinePart*>& list,
                                         DemandPlan& plan) -> std::optional<decltype(make())> {
        try {
            auto made = make();
            const bool whole = std::none_of(made.unmet.begin(), made.unmet.end(),
                                            [](std::int64_t pieces) { return pieces > 0; });
            return whole ? std::optional(std::move(made)) : std::nullopt;
        } catch (const FaultError& error) {
            for (const Fault& fault : error.faults())
                plan.findings.push_back({Severity::problem, fault.code, list.front()->line->id,
                                         fault.sentence() + "."});
            return std::nullopt;
        }
    }

    /// Lengths of the same section: cut to length only.
    void lengths(const std::vector<const LinePart*>& list, DemandPlan& plan) {
        std::vector<const Board*> fitting;
        for (const Board& board : boards_) {
            const bool wanted = board.offer->owned || from(*list.front()) != "rough";
            if (wanted && !board.rough && board.section &&
                *board.section == list.front()->section && board.length > 0)
                fitting.push_back(&board);
        }
        for (const std::string& supplier : suppliers(fitting)) {
            std::vector<const Board*> chosen;
            BoardOrder order;
            order.kerf = kerf_;
            for (const Board* board : fitting) {
                if (board->offer->supplier != supplier && !board->offer->owned) continue;
                chosen.push_back(board);
                order.stock.push_back({board->offer->id, board->length, cost_of(*board),
                                       board->offer->limit.value_or(-1), bad_ends(*board->offer),
                                       bad_ends(*board->offer), board->offer->owned});
            }
            for (const LinePart* part : list)
                order.parts.push_back({display_name(*part->line), part->length, part->count});
            const auto made = whole_plan([&] { return plan_boards(order, effort()); }, list, plan);
            if (made) add_way(plan, supplier, list, chosen, *made);
        }
    }

    void add_way(DemandPlan& plan, const std::string& supplier,
                 const std::vector<const LinePart*>& list, const std::vector<const Board*>& chosen,
                 const BoardPlan& made) {
        contract::Way way;
        way.id = supplier.empty() ? "lengths_owned" : "lengths_" + supplier;
        way.title = supplier.empty() ? "lengths from your own stock" : "lengths from " + supplier;
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
                told.pieces.push_back({part.line->id, mm(piece.position), mm(part.length)});
            }
            told.offcut = mm(board.offcut);
            way.plans.boards.push_back(std::move(told));
        }
        add_uses(way, counts, chosen);
        way.used = made.used;
        way.lower_bound = made.used_bound;
        way.proven = made.proven;
        way.yield = bought > 0 ? round_to(used / bought, 4) : 0;
        way.waste = round_to((bought - used) / 1000, 4);
        plan.demand.ways.push_back(std::move(way));
    }

    static double mm(GridLength length) { return round_to(to_mm(length), 4); }

    /// The plan of a board before anything is cut from it.
    contract::BoardPlan plan_of(const Board& board, std::int64_t copies) const {
        contract::BoardPlan plan;
        plan.material = material_;
        plan.supplier = board.offer->supplier;
        plan.sku = board.offer->sku;
        plan.offer = board.offer->id;
        plan.board = {mm(board.length), mm(board.section->width), mm(board.section->thickness)};
        plan.kerf = mm(kerf_);
        plan.end_trim = mm(bad_ends(*board.offer));
        plan.copies = copies;
        return plan;
    }

    static void add_uses(contract::Way& way, const std::map<std::size_t, std::int64_t>& counts,
                         const std::vector<const Board*>& chosen) {
        for (const auto& [stock, count] : counts)
            way.uses.push_back({chosen[stock]->offer->id, count, measure_of(*chosen[stock]), 0});
    }

    /// Boards of known length and width, rough or owned, thick enough: crosscut and ripped.
    void known_boards(const std::vector<const LinePart*>& list, DemandPlan& plan) {
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
        for (const std::string& supplier : suppliers(fitting)) {
            RipOrder order;
            order.kerf = kerf_;
            order.order = text(request_.settings.module, "order", "crosscut first") == "rip first"
                              ? CutOrder::rip_first
                              : CutOrder::crosscut_first;
            order.length_allowance =
                to_grid(number(request_.settings.module, "length_allowance", 50));
            order.width_allowance = to_grid(number(request_.settings.module, "width_allowance", 6));
            std::vector<const Board*> chosen;
            for (const Board* board : fitting) {
                if (board->offer->supplier != supplier && !board->offer->owned) continue;
                chosen.push_back(board);
                const GridLength ends = bad_ends(*board->offer);
                order.stock.push_back({board->offer->id, board->length, board->section->width,
                                       cost_of(*board), board->offer->limit.value_or(-1), ends,
                                       ends, 0, board->offer->owned});
            }
            for (const LinePart* part : list)
                order.parts.push_back(
                    {display_name(*part->line), part->length, part->section.width, part->count});
            const auto made = whole_plan([&] { return plan_ripping(order, effort()); }, list, plan);
            if (made) add_ripped(plan, supplier, list, chosen, *made);
        }
    }

    void add_ripped(DemandPlan& plan, const std::string& supplier,
                    const std::vector<const LinePart*>& list,
                    const std::vector<const Board*>& chosen, const RipPlan& made) {
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
            contract::BoardPlan told = plan_of(of, board.copies);
            for (const auto& cut : board.sections) {
                for (const RoughPiece& piece : cut.pieces) {
                    const LinePart& part = *list[piece.part];
                    used += to_mm(part.length) * to_mm(part.section.width) *
                            to_mm(part.section.thickness) * copies;
                    told.placements.push_back({.line = part.line->id,
                                               .x = mm(piece.x),
                                               .y = mm(piece.y),
                                               .length = mm(piece.length),
                                               .width = mm(piece.width)});
                }
            }
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
                plan.preparation = std::max(
                    plan.preparation, number(chosen[stock]->offer->attributes, "preparation", 0) *
                                          static_cast<double>(count));
        }
        plan.demand.ways.push_back(std::move(way));
    }

    /// Rough boards of random width and length, by board foot or cubic metre.
    void volumes(const std::vector<const LinePart*>& list, DemandPlan& plan) {
        std::map<std::string, std::vector<const Board*>> by_supplier;
        for (const Board& board : boards_) {
            const bool by_volume =
                board.offer->price_unit == "bdft" || board.offer->price_unit == "m3";
            if (board.rough && by_volume && board.length == 0 &&
                number(board.offer->attributes, "thickness", 0) > 0)
                by_supplier[board.offer->supplier].push_back(&board);
        }
        if (std::any_of(list.begin(), list.end(),
                        [](const LinePart* part) { return from(*part) == "dressed"; }))
            return;
        for (const auto& [supplier, boards] : by_supplier) volume_way(list, supplier, boards, plan);
    }

    void volume_way(const std::vector<const LinePart*>& list, const std::string& supplier,
                    const std::vector<const Board*>& boards, DemandPlan& plan) {
        Allowances allowances;
        allowances.length = to_grid(number(request_.settings.module, "length_allowance", 50));
        allowances.width = to_grid(number(request_.settings.module, "width_allowance", 6)) + kerf_;
        allowances.thickness = to_grid(number(request_.settings.module, "planing", 5));
        std::vector<GridLength> thicknesses;
        for (const Board* board : boards)
            thicknesses.push_back(to_grid(number(board->offer->attributes, "thickness", 0)));
        std::vector<LumberPart> lumber;
        for (const LinePart* part : list)
            lumber.push_back({display_name(*part->line), part->length, part->section.width,
                              part->section.thickness, part->count});

        Grade grade;
        std::string yield_source = "grade yield by NHLA, less for parts longer than its minimum "
                                   "cuttings (common practice)";
        const std::string grade_name = text(boards.front()->offer->attributes, "grade");
        try {
            grade = grade_named(grade_name);
        } catch (const FaultError&) {
            // A grade of another rule: the workshop's usual yield, whatever the size of the part.
            grade.name = grade_name;
            grade.yield = number(request_.settings.module, "usual_yield", 75) / 100;
            const GridLength any = to_grid(1e6);
            grade.cuttings = {{any, any}};
            yield_source = "usual yield of the workshop (common practice)";
        }
        std::vector<RoughNeed> needs;
        try {
            needs = rough_needs(lumber, grade, allowances, thicknesses);
        } catch (const FaultError& error) {
            // Worth a caution only when nothing else serves.
            for (const Fault& fault : error.faults())
                plan.findings.push_back(
                    {plan.demand.ways.empty() ? Severity::caution : Severity::note, fault.code,
                     list.front()->line->id, supplier + ": " + fault.sentence() + "."});
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
        working.result = unit_ == "in"
                             ? format_trimmed(total, 2) + " board feet"
                             : format_trimmed(total * cubic_metres_per_board_foot, 4) + " m3";
        way.yield = bought > 0 ? round_to(net / bought, 4) : 0;
        way.waste = round_to(bought - net, 6);
        plan.workings.push_back(std::move(working));
        plan.demand.ways.push_back(std::move(way));
    }

    /// Cheapest by listed price first; the core takes no more than twelve.
    void order(DemandPlan& plan) const {
        const auto cost = [&](const contract::Way& way) {
            Decimal sum;
            for (const contract::Use& use : way.uses) {
                const auto offer = std::find_if(request_.offers.begin(), request_.offers.end(),
                                                [&](const Offer& o) { return o.id == use.offer; });
                if (offer->price.empty()) continue;
                const Decimal of_one =
                    use.measure > 0 ? Decimal::parse(offer->price)
                                          .multiplied_by(Decimal::from_double(use.measure, 6), 6)
                                    : Decimal::parse(offer->price);
                sum = sum + of_one * Decimal(use.count);
            }
            return sum;
        };
        std::stable_sort(
            plan.demand.ways.begin(), plan.demand.ways.end(),
            [&](const contract::Way& a, const contract::Way& b) { return cost(a) < cost(b); });
        if (plan.demand.ways.size() > most_ways) plan.demand.ways.resize(most_ways);
        // What one way could not do is no fault when another can.
        if (!plan.demand.ways.empty())
            std::erase_if(plan.findings, [](const contract::Finding& finding) {
                return finding.severity == Severity::problem;
            });
    }

    const std::string& material_;
    const std::vector<LinePart>& parts_;
    const contract::TakeOffRequest& request_;
    const std::string& unit_;
    std::vector<Board> boards_;
    std::vector<contract::Finding> common_;
    std::vector<contract::Finding> missed_;
    GridLength kerf_ = 0;
    GridLength trim_ = 0;
};

} // namespace

std::vector<DemandPlan> plan_demands(const std::string& material,
                                     const std::vector<LinePart>& parts,
                                     const contract::TakeOffRequest& request) {
    return Planner(material, parts, request).run();
}

} // namespace aumbry::solid_stock
