#include "solid_stock/module/ways.hpp"

#include "solid_stock/module/planner.hpp"

#include "aumbry/money.hpp"
#include "aumbry/plugin.hpp"
#include "aumbry/quantity.hpp"
#include "aumbry/rounding.hpp"

#include <set>

namespace aumbry::solid_stock {

namespace {

constexpr std::size_t max_ways = 12;

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

} // namespace

std::string joined(const std::vector<std::string>& suppliers) {
    std::string names;
    for (const std::string& name : suppliers) names += (names.empty() ? "" : "+") + name;
    return names;
}
std::string length_text(GridLength length, const std::string& unit) {
    return aumbry::length_text(to_mm(length), unit);
}
double told_mm(GridLength length) {
    return round_to(to_mm(length), 4);
}

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

double mass_of(const Board& board, double density) {
    return round_to(to_mm(board.length) * to_mm(board.section->thickness) *
                        to_mm(board.section->width) * 1e-9 * density,
                    4);
}

double cost_of_unit(const Offer& offer) {
    if (offer.cost) return *offer.cost;
    return offer.price.empty() ? 0 : Decimal::parse(offer.price).to_double();
}

std::int64_t cost_of(const Board& board) {
    const double measure = measure_of(board);
    const double cost = cost_of_unit(*board.offer) * (measure > 0 ? measure : 1);
    return static_cast<std::int64_t>(std::floor(round_to(std::clamp(cost, 0.0, 1e9) * 100, 4)));
}

Planner::Planner(const std::string& material, const std::vector<LinePart>& parts,
                 const contract::TakeOffRequest& request, const Stop& stop)
    : material_(material), parts_(parts), request_(request), unit_(request.settings.length_unit),
      stop_(stop) {
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
    vehicle_ = vehicle_of(request.settings.vehicle);
    std::optional<contract::Carriage> stated;
    for (const LinePart& part : parts) {
        const auto& material = part.line->material;
        if (material && material->carriage && stated != contract::Carriage::delivered)
            stated = material->carriage;
    }
    delivered_ = stated ? *stated == contract::Carriage::delivered
                        : text(request.settings.module, "carriage", "vehicle") == "delivered";
}

std::vector<DemandPlan> Planner::run() {
    // Parts of one section go together; those that only rough boards by volume give go into one
    // demand.
    std::vector<std::vector<const LinePart*>> by_section;
    for (const LinePart& part : parts_) {
        const auto same = std::find_if(by_section.begin(), by_section.end(), [&](const auto& list) {
            return list.front()->section == part.section && from(*list.front()) == from(part);
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
    for (const auto& alike : by_rough_thickness(by_volume)) {
        std::set<GridLength> finished;
        for (const LinePart* part : alike) finished.insert(part->section.thickness);
        DemandPlan plan = begin(material_ + "_rough_" + size_id(*finished.begin()), alike);
        std::string sizes;
        for (const GridLength size : finished)
            sizes += (sizes.empty() ? "" : ", ") + length_text(size, unit_);
        plan.demand.title = material_ + ", rough boards for " + sizes;
        volumes(alike, plan);
        if (plan.demand.ways.empty()) {
            for (const contract::Finding& finding : missed_) {
                if (std::any_of(alike.begin(), alike.end(), [&](const LinePart* part) {
                        return part->line->id == finding.line;
                    }))
                    plan.findings.push_back(finding);
            }
            if (plan.findings.empty()) {
                plan.findings.push_back({Severity::problem, "no-offer", alike.front()->line->id,
                                         "No supplier offers wood for " +
                                             display_name(*alike.front()->line) + " (" +
                                             section_text(alike.front()->section, unit_) + ", " +
                                             text(*alike.front()->line, "material.species", "") +
                                             "): add it to a price list or own it."});
            }
        }
        plans.push_back(std::move(plan));
    }
    for (DemandPlan& plan : plans) order(plan);
    if (!plans.empty())
        plans.front().findings.insert(plans.front().findings.end(), common_.begin(), common_.end());
    return plans;
}

DemandPlan Planner::again(const std::string& id) {
    std::vector<const LinePart*> list;
    for (const LinePart& part : parts_) list.push_back(&part);
    DemandPlan plan = begin(id, list);
    if (id == material_ + "_" + section_id(list.front()->section)) {
        lengths(list, plan);
        known_boards(list, plan);
    }
    volumes(list, plan);
    order(plan);
    return plan;
}

std::string Planner::size_id(GridLength size) {
    std::string id = format_trimmed(to_mm(size), 1);
    std::replace(id.begin(), id.end(), '.', '_');
    return id;
}

std::string Planner::section_id(const CrossSection& section) {
    return size_id(section.thickness) + "x" + size_id(section.width);
}

DemandPlan Planner::begin(const std::string& id, const std::vector<const LinePart*>& list) const {
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

std::vector<std::string> Planner::suppliers(const std::vector<const Board*>& boards) const {
    std::set<std::string> names;
    for (const Board* board : boards) names.insert(board->offer->supplier); // "" is owned
    return {names.begin(), names.end()};
}

std::vector<const Board*> Planner::of(const std::vector<const Board*>& boards,
                                      const std::optional<std::string>& supplier) {
    std::vector<const Board*> chosen;
    for (const Board* board : boards)
        if (!supplier || board->offer->supplier == *supplier || board->offer->owned)
            chosen.push_back(board);
    return chosen;
}

GridLength Planner::bad_ends(const Offer& offer) const {
    const double stated = number(offer.attributes, "bad_ends", -1);
    return stated >= 0 ? to_grid(stated) : trim_;
}

contract::BoardPlan Planner::plan_of(const Board& board, std::int64_t copies) const {
    contract::BoardPlan plan;
    plan.material = material_;
    plan.supplier = board.offer->supplier;
    plan.sku = board.offer->sku;
    plan.offer = board.offer->id;
    if (board.section)
        plan.board = {told_mm(board.length), told_mm(board.section->width),
                      told_mm(board.section->thickness)};
    plan.kerf = told_mm(kerf_);
    plan.end_trim = told_mm(bad_ends(*board.offer));
    plan.copies = copies;
    return plan;
}

void Planner::add_uses(contract::Way& way, const std::map<std::size_t, std::int64_t>& counts,
                       const std::vector<const Board*>& chosen) const {
    for (const auto& [stock, count] : counts) {
        const Board& board = *chosen[stock];
        contract::Use& use = way.uses.emplace_back();
        use.offer = board.offer->id;
        use.count = count;
        use.measure = measure_of(board);
        if (!board.offer->owned) use.mass = mass_of(board, density_of_offer(*board.offer));
    }
}

void Planner::order(DemandPlan& plan) const {
    const auto cost = [&](const contract::Way& way) {
        double sum = 0;
        for (const contract::Use& use : way.uses) {
            const auto offer = std::find_if(request_.offers.begin(), request_.offers.end(),
                                            [&](const Offer& o) { return o.id == use.offer; });
            sum += cost_of_unit(*offer) * (use.measure > 0 ? use.measure : 1) *
                   static_cast<double>(use.count);
        }
        return round_to(sum, 4);
    };
    std::stable_sort(
        plan.demand.ways.begin(), plan.demand.ways.end(),
        [&](const contract::Way& a, const contract::Way& b) { return cost(a) < cost(b); });
    if (plan.demand.ways.size() > max_ways) plan.demand.ways.resize(max_ways);
    // What one way could not do is no fault when another can.
    if (!plan.demand.ways.empty())
        std::erase_if(plan.findings, [](const contract::Finding& finding) {
            return finding.severity == Severity::problem;
        });
}

std::vector<DemandPlan> plan_demands(const std::string& material,
                                     const std::vector<LinePart>& parts,
                                     const contract::TakeOffRequest& request, const Stop& stop) {
    return Planner(material, parts, request, stop).run();
}

std::optional<LinePart> part_of(const contract::Line& line) {
    if (!line.derived.contains("volume")) return std::nullopt; // said in derive
    const CrossSection section{to_grid(number(line, "derived.thickness")),
                               to_grid(number(line, "derived.width"))};
    return LinePart{&line, section, to_grid(number(line, "derived.length")), line.count};
}

std::string material_name(const contract::TakeOffRequest& request) {
    return request.lines.front().material ? request.lines.front().material->id : "solid";
}

contract::PlanReply plan_parts(const contract::PlanRequest& request, const Stop& stop) {
    contract::PlanReply reply;
    std::vector<LinePart> parts;
    for (const contract::Line& line : request.group.lines) {
        const auto part = part_of(line);
        if (!part) return reply;
        parts.push_back(*part);
    }
    if (parts.empty()) return reply;
    DemandPlan plan =
        Planner(material_name(request.group), parts, request.group, stop).again(request.demand);
    reply.ways = std::move(plan.demand.ways);
    reply.lower_bound = round_to(plan.least_cost.value_or(reply.ways.empty() ? no_way : 0), 4);
    if (request.only_bound) reply.ways.clear();
    return reply;
}

} // namespace aumbry::solid_stock
