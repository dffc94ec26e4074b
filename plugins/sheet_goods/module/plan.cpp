#include "sheet_goods/module/plan.hpp"

#include "sheet_goods/engine/cost_bound.hpp"
#include "sheet_goods/engine/divided.hpp"
#include "sheet_goods/engine/problem.hpp"
#include "sheet_goods/engine/settings.hpp"
#include "sheet_goods/module/bench.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/grid.hpp"
#include "aumbry/money.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <set>
#include <utility>

namespace aumbry::sheet_goods {

namespace {

/// Of a sheet, that the search chooses among.
constexpr std::size_t most_divisions = 24;
/// Of all plans together that are tried for fewer settings.
constexpr std::int64_t parts_tried = 9'000;

Format format_of(const Stock& sheet, const Shop& shop) {
    Format format;
    format.name = sheet.offer->id;
    format.length = to_grid(sheet.length);
    format.width = to_grid(sheet.width);
    format.cost = sheet.cost;
    format.limit = sheet.limit;
    const GridLength off = to_grid(clean_up_of(sheet, shop));
    format.clean_up = {off, off, off, off};
    format.grain = sheet.grain;
    return format;
}

Part part_of(const CutPart& part) {
    return {part.name, to_grid(part.size.length), to_grid(part.size.width), part.count, part.turn};
}

/// What may be handed over of a sheet that its dealer divides. A blank for a part that is itself
/// longer or heavier than the workshop likes may be as large as that part needs.
HandingOver handing_over(const CuttingPlan& plan, const Stock& sheet, const Terms& terms) {
    const double beside =
        2 * std::max({clean_up_of(sheet, terms.shop), blank_allowance(*sheet.cutting, terms.shop),
                      sheet.cutting->accuracy + to_cut_off}) +
        dealer_step(terms.shop);
    double longest = 0;
    double largest = 0;
    for (const CutPart& part : plan.parts) {
        longest = std::max({longest, part.size.length + beside, part.size.width + beside});
        largest = std::max(largest, (part.size.length + beside) * (part.size.width + beside));
    }
    HandingOver over;
    if (too_large_to_fetch(sheet, terms.shop)) {
        const auto [length, width] = terms.shop.largest_carried();
        over.vehicle = {to_grid(length), to_grid(width)};
    }
    if (terms.shop.longest_rip) over.longest = to_grid(std::max(*terms.shop.longest_rip, longest));
    if (terms.shop.heaviest_blank && terms.mass_per_area > 0)
        over.largest = std::max(*terms.shop.heaviest_blank / terms.mass_per_area * 1e6, largest) *
                       steps_per_mm * steps_per_mm;
    over.least_strip = to_grid(sheet.cutting->least_strip);
    over.max_levels = sheet.cutting->max_levels;
    return over;
}

/// For each sheet of a plan.
using Divisions = std::vector<std::span<const Division>>;

CuttingJob job_of(const CuttingPlan& plan, const Terms& terms, Effort effort,
                  const Divisions& divisions) {
    CuttingJob job;
    for (const Stock* sheet : plan.stock) job.formats.push_back(format_of(*sheet, terms.shop));
    for (const CutPart& part : plan.parts) job.parts.push_back(part_of(part));
    job.kerf = to_grid(plan.kerf);
    job.effort = effort;
    job.stop = terms.stop;
    for (std::size_t i = 0; i < plan.stock.size(); ++i) {
        // Nobody could take it away, or bring it.
        if (divisions[i].empty() && dealer_divides(*plan.stock[i], terms) &&
            plan.stock[i]->offer->carriage == contract::Carriage::vehicle)
            job.formats[i].limit = 0;
    }
    return job;
}

Divisions divisions_for(const CuttingPlan& plan, const Terms& terms, Divider& divider) {
    Divisions divisions;
    for (std::size_t i = 0; i < plan.stock.size(); ++i)
        divisions.push_back(divider.divisions(plan, i, terms));
    return divisions;
}

/// The cuts of its sheets, and the fence settings that the workshop makes them at.
struct AtTheSaw {
    std::vector<std::vector<MadeCut>> cuts;
    Settings settings;
};

AtTheSaw at_the_saw(const CuttingPlan& plan) {
    AtTheSaw saw;
    for (const BenchSheet& sheet : plan.bench) saw.cuts.push_back(sheet.made.cuts);
    saw.settings = sort_by_setting(saw.cuts);
    return saw;
}

/// Positions in the order in which they are set, and those that are set more than once.
struct SetPositions {
    std::vector<Steps> in_order, again;
};

SetPositions positions_of(const AtTheSaw& saw) {
    std::map<int, std::pair<CutKind, Steps>> set_at;
    for (std::size_t sheet = 0; sheet < saw.cuts.size(); ++sheet)
        for (std::size_t i = 0; i < saw.cuts[sheet].size(); ++i)
            if (saw.settings[sheet][i] > 0)
                set_at.emplace(saw.settings[sheet][i],
                               std::pair(saw.cuts[sheet][i].kind, saw.cuts[sheet][i].position));
    SetPositions positions;
    std::set<std::pair<CutKind, Steps>> seen;
    for (const auto& [number, setting] : set_at) {
        if (!seen.insert(setting).second) positions.again.push_back(setting.second);
        if (std::find(positions.in_order.begin(), positions.in_order.end(), setting.second) ==
            positions.in_order.end())
            positions.in_order.push_back(setting.second);
    }
    return positions;
}

/// How much more than their sheets the parts want.
Steps shortness(const CuttingPlan& plan) {
    Steps short_by = 0;
    for (const BenchSheet& sheet : plan.bench)
        for (const Steps axis : sheet.made.short_by) short_by += std::max<Steps>(0, axis);
    return short_by;
}

/// The same plan, its strips cut in an order in which the fence is set less often.
CuttingPlan in_a_better_order(CuttingPlan plan, const Terms& terms) {
    AtTheSaw saw = at_the_saw(plan);
    for (bool any = true; any;) {
        any = false;
        const SetPositions positions = positions_of(saw);
        std::vector<std::vector<Steps>> orders{positions.in_order};
        for (const Steps again : positions.again) {
            orders.push_back(positions.in_order);
            std::stable_partition(orders.back().begin(), orders.back().end(),
                                  [&](Steps position) { return position == again; });
        }
        if (positions.again.empty()) break;
        for (std::vector<Steps>& order : orders) {
            CuttingPlan other = plan;
            other.earlier = std::move(order);
            other = on_stock(std::move(other), plan.stock, terms);
            AtTheSaw then = at_the_saw(other);
            if (setting_count(then.settings) >= setting_count(saw.settings) ||
                shortness(other) > shortness(plan))
                continue;
            plan = std::move(other);
            saw = std::move(then);
            any = true;
            break;
        }
    }
    return plan;
}

/// Weighs plans on the same sheets: what they cost by list, then fence settings, then cuts.
class Scale {
  public:
    Scale(CuttingPlan plan, const Terms& terms) : tried_(std::move(plan)), terms_(terms) {}

    /// Of a plan that weighs more than the lightest so far, at least that much.
    std::int64_t weigh(const Plan& plan) {
        tried_.plan = plan;
        put_on_the_bench();
        std::vector<std::vector<MadeCut>> cuts;
        std::int64_t count = 0;
        for (std::size_t i = 0; i < tried_.bench.size(); ++i) {
            cuts.push_back(tried_.bench[i].made.cuts);
            count += static_cast<std::int64_t>(cuts.back().size()) * plan.sheets[i].copies;
        }
        constexpr std::int64_t room = 1'000'000;          // of cuts; of settings a thousandth
        constexpr std::int64_t most_cost = 4'000'000'000; // beyond, all plans cost the same here
        const std::int64_t cost = std::min(tried_.listed_cost(), most_cost) * 1000;
        const std::int64_t most = std::clamp<std::int64_t>(lightest_ / room - cost, 0, 1'000'000);
        const std::int64_t settings = settings_of(cuts, static_cast<int>(most));
        const std::int64_t weighed = (cost + settings) * room + std::min(count, room - 1);
        lightest_ = std::min(lightest_, weighed);
        return weighed;
    }

  private:
    /// Most sheets stay as they were.
    void put_on_the_bench() {
        std::vector<BenchSheet> bench;
        for (const SheetPlan& sheet : tried_.plan.sheets) {
            const auto known = std::find(sheets_.begin(), sheets_.end(), sheet);
            bench.push_back(
                known != sheets_.end()
                    ? tried_.bench[static_cast<std::size_t>(known - sheets_.begin())]
                    : cut_at_the_bench(tried_, sheet,
                                       *tried_.stock[static_cast<std::size_t>(sheet.format)],
                                       terms_.shop));
        }
        tried_.bench = std::move(bench);
        sheets_ = tried_.plan.sheets;
    }

    CuttingPlan tried_;
    const Terms& terms_;
    std::vector<SheetPlan> sheets_; ///< of tried_.bench
    std::int64_t lightest_ = std::numeric_limits<std::int64_t>::max();
};

/// Whether every part lies on one of the formats.
bool has_room(const CuttingJob& job) {
    return std::all_of(job.parts.begin(), job.parts.end(), [&](const Part& part) {
        return std::any_of(job.formats.begin(), job.formats.end(), [&](const Format& format) {
            return format.limit.value_or(1) > 0 && can_lie(part, format);
        });
    });
}

CostBoundDetail bound_detail(const Terms& terms) {
    if (effort_named(terms.shop.effort) != Effort::thorough) return {};
    return {.cells = 128, .idle = 24, .steps = 400'000'000};
}

} // namespace

Effort effort_named(const std::string& name) {
    if (name == "draft") return Effort::draft;
    return name == "thorough" ? Effort::thorough : Effort::normal;
}

bool dealer_divides(const Stock& sheet, const Terms& terms) {
    if (sheet.cutting == nullptr) return false;
    if (too_large_to_fetch(sheet, terms.shop)) return true;
    if (terms.shop.longest_rip && std::max(sheet.length, sheet.width) > *terms.shop.longest_rip)
        return true;
    return terms.shop.heaviest_blank &&
           sheet.area() * terms.mass_per_area > *terms.shop.heaviest_blank;
}

double plan_kerf(const Shop& shop) {
    return round_to(std::max(0.0, shop.kerf) + to_cut_off, 4);
}

double clean_up_of(const Stock& sheet, const Shop& shop) {
    return sheet.clean_up > 0 ? std::max(sheet.clean_up, shop.kerf) : 0;
}

double blank_allowance(const contract::CuttingService& cutting, const Shop& shop) {
    return shop.dealer_edge > 0 ? std::max({shop.dealer_edge, cutting.accuracy, shop.kerf}) : 0;
}

double dealer_step(const Shop& shop) {
    return shop.unit == "in" ? 25.4 / 8 : 1;
}

std::string cutting_key(const Stock& sheet, const Terms& terms) {
    return format_trimmed(sheet.length, 4) + 'x' + format_trimmed(sheet.width, 4) + '/' +
           format_trimmed(sheet.clean_up, 4) + '/' + std::to_string(static_cast<int>(sheet.grain)) +
           '/' + (sheet.limit ? std::to_string(*sheet.limit) : "-") + '/' +
           (too_large_to_fetch(sheet, terms.shop) ? "f" : "") +
           (dealer_divides(sheet, terms)
                ? "c" + format_trimmed(sheet.cutting->kerf, 4) + '/' +
                      format_trimmed(sheet.cutting->accuracy, 4) + '/' +
                      format_trimmed(sheet.cutting->least_strip, 4) + '/' +
                      std::to_string(sheet.cutting->max_levels) + '/' +
                      format_trimmed(blank_allowance(*sheet.cutting, terms.shop), 4)
                : std::string("-"));
}

std::span<const Division> Divider::divisions(const CuttingPlan& plan, std::size_t sheet,
                                             const Terms& terms) {
    const Stock& stock = *plan.stock[sheet];
    if (!dealer_divides(stock, terms)) return {};
    const auto [known, added] = known_.try_emplace(cutting_key(stock, terms));
    if (!added) return known->second.divisions;
    std::vector<Steps> sides;
    CuttingJob job;
    job.formats = {format_of(stock, terms.shop)};
    job.kerf = to_grid(plan.kerf);
    job.stop = terms.stop;
    for (const CutPart& part : plan.parts) {
        job.parts.push_back(part_of(part));
        sides.insert(sides.end(), {job.parts.back().length, job.parts.back().width});
    }
    HandingOver over = handing_over(plan, stock, terms);
    const std::array<Steps, 2> raw{to_grid(stock.length), to_grid(stock.width)};
    const SawsOfSheet saws = saws_of(stock, terms.shop);
    std::vector<Division> found = divisions_of(raw, saws, over, sides);
    if (found.empty()) {
        over.least_strip = 0; // to be agreed upon; the caller says so
        found = divisions_of(raw, saws, over, sides);
    }
    if (!found.empty()) // those of fewest cuts come first
        known->second.fewest_cuts = static_cast<std::int64_t>(found.front().cuts.size());
    known->second.divisions = most_holding(job, found, most_divisions);
    return known->second.divisions;
}

double least_cost(const std::vector<Panel>& panels, const std::vector<Stock>& stock,
                  const Terms& terms, std::int64_t enough) {
    CuttingPlan plan;
    std::vector<contract::Finding> said; // the caller has said it already
    plan.kerf = plan_kerf(terms.shop);
    plan.parts = cut_parts(panels, plan.kerf, said);
    for (const Stock& sheet : stock) plan.stock.push_back(&sheet);
    CuttingJob job = job_of(plan, terms, Effort::draft, Divisions(stock.size()));
    const bool quickly = effort_named(terms.shop.effort) == Effort::draft;
    Divider divider;
    for (std::size_t i = 0; i < stock.size(); ++i) {
        job.formats[i].cost = stock[i].least_cost;
        job.formats[i].limit = stock[i].limit;
        if (quickly) continue;
        const std::span<const Division> divided = divider.divisions(plan, i, terms);
        if (divided.empty()) continue;
        const std::int64_t paid = std::max<std::int64_t>(0, divider.fewest_cuts(stock[i], terms) -
                                                                stock[i].cutting->free_cuts);
        job.formats[i].cost += paid * static_cast<std::int64_t>(std::floor(
                                          round_to(cost_of_cut(*stock[i].cutting) * 100, 4)));
    }
    const Problem problem = prepare(job);
    std::int64_t room = 0;
    std::int64_t needed = 0;
    for (const SheetKind& sheet : problem.sheets) room += sheet.area * sheet.limit;
    for (const PartKind& part : problem.parts) needed += part.area * part.count;
    if (room < needed) return static_cast<double>(enough) / 100;
    Bound bound = area_bound(job, problem);
    std::int64_t steps = 0;
    if (!quickly)
        bound.raise(cost_bound(job, problem, bound.cost, enough, bound_detail(terms), steps));
    return static_cast<double>(bound.cost) / 100;
}

std::int64_t Divider::fewest_cuts(const Stock& stock, const Terms& terms) const {
    const auto known = known_.find(cutting_key(stock, terms));
    return known == known_.end() ? 0 : known->second.fewest_cuts;
}

std::optional<CuttingPlan> plan_cutting(const std::vector<Panel>& panels,
                                        const std::vector<const Stock*>& stock, const Terms& terms,
                                        Divider& divider, Effort effort, const CuttingPlan* start) {
    CuttingPlan made;
    made.stock = stock;
    made.kerf = plan_kerf(terms.shop);
    std::vector<contract::Finding> said; // the caller has said it already
    made.parts = cut_parts(panels, made.kerf, said);
    const Divisions divisions = divisions_for(made, terms, divider);
    CuttingJob job = job_of(made, terms, effort, divisions);
    if (!has_room(job)) return std::nullopt;
    std::int64_t parts = 1;
    for (const CutPart& part : made.parts) parts += part.count;
    Easing easing;
    if (effort != Effort::draft) easing.tries = static_cast<int>(parts_tried / parts);
    Scale scale(made, terms);
    easing.burden = [&](const Plan& plan) { return scale.weigh(plan); };
    if (std::any_of(divisions.begin(), divisions.end(),
                    [](std::span<const Division> ways) { return !ways.empty(); })) {
        made.plan = cut_divided(job, divisions, easing);
    } else {
        if (start != nullptr) job.warm_start = start->plan;
        made.plan = cut(job);
        if (made.plan.unplaced.empty() && easing.tries > 0) {
            Plan other = cut_again(job, divisions, made.plan, 1, easing);
            if (other.unplaced.empty() && easing.burden(other) < easing.burden(made.plan))
                made.plan = std::move(other);
        }
    }
    if (!made.plan.unplaced.empty()) return std::nullopt;
    made = on_stock(std::move(made), stock, terms);
    if (effort != Effort::draft) made = in_a_better_order(std::move(made), terms);
    return made;
}

CuttingPlan on_stock(CuttingPlan plan, const std::vector<const Stock*>& stock, const Terms& terms) {
    plan.stock = stock;
    plan.bench.clear();
    for (const SheetPlan& sheet : plan.plan.sheets) {
        const Stock& cut_from = *stock[static_cast<std::size_t>(sheet.format)];
        plan.bench.push_back(cut_at_the_bench(plan, sheet, cut_from, terms.shop));
    }
    return plan;
}

bool CuttingPlan::fits_vehicle(std::size_t sheet, const Terms& terms) const {
    const Stock& from = *stock[static_cast<std::size_t>(plan.sheets[sheet].format)];
    if (!from.fetched || !terms.shop.vehicle) return true;
    const MadeSheet& made = bench[sheet].made;
    if (made.cuts.empty() || !made.cuts.front().dealer)
        return terms.shop.carries(from.length, from.width);
    std::vector<bool> there(made.blanks.size(), false);
    for (const MadeCut& cut : made.cuts) {
        if (!cut.dealer) break;
        there[static_cast<std::size_t>(cut.blank)] = false;
        for (const int blank : {cut.first, cut.second})
            if (blank >= 0) there[static_cast<std::size_t>(blank)] = true;
    }
    for (std::size_t i = 0; i < there.size(); ++i) {
        const Blank& blank = made.blanks[i];
        if (there[i] && !terms.shop.carries(to_mm(blank.length), to_mm(blank.width))) return false;
    }
    return true;
}

std::int64_t CuttingPlan::sheets_of(const Stock& sheet) const {
    std::int64_t count = 0;
    for (const SheetPlan& cut_alike : plan.sheets) {
        if (stock[static_cast<std::size_t>(cut_alike.format)] == &sheet) count += cut_alike.copies;
    }
    return count;
}

std::int64_t CuttingPlan::count_of(const Stock& sheet) const {
    return (sheets_of(sheet) + sheet.pack - 1) / sheet.pack;
}

std::int64_t CuttingPlan::dealer_cuts(const std::string& supplier) const {
    std::int64_t count = 0;
    for (std::size_t i = 0; i < plan.sheets.size(); ++i) {
        const Stock& sheet = *stock[static_cast<std::size_t>(plan.sheets[i].format)];
        if (!sheet.owned() && sheet.offer->supplier == supplier)
            count += std::count_if(bench[i].made.cuts.begin(), bench[i].made.cuts.end(),
                                   [](const MadeCut& cut) { return cut.dealer; }) *
                     plan.sheets[i].copies;
    }
    return count;
}

std::int64_t CuttingPlan::paid_cuts(const std::string& supplier) const {
    std::int64_t free = 0;
    for (const Stock* sheet : stock) {
        if (sheet->cutting != nullptr && sheet->offer->supplier == supplier)
            free += sheet->cutting->free_cuts * sheets_of(*sheet);
    }
    return std::max<std::int64_t>(0, dealer_cuts(supplier) - free);
}

std::int64_t CuttingPlan::sheets_cost() const {
    std::int64_t cost = 0;
    for (const Stock* sheet : stock) cost += sheet->cost * sheet->pack * count_of(*sheet);
    return cost;
}

std::int64_t CuttingPlan::listed_cost() const {
    std::int64_t cost = sheets_cost();
    std::vector<std::string> seen;
    for (const Stock* sheet : stock) {
        if (sheet->cutting == nullptr ||
            std::find(seen.begin(), seen.end(), sheet->offer->supplier) != seen.end())
            continue;
        seen.push_back(sheet->offer->supplier);
        const double price = cost_of_cut(*sheet->cutting);
        cost += static_cast<std::int64_t>(std::clamp(round_to(price * 100, 0), 0.0, 1e9)) *
                paid_cuts(sheet->offer->supplier);
    }
    return cost;
}

double CuttingPlan::sheet_area() const {
    double area = 0;
    for (const SheetPlan& sheet : plan.sheets)
        area += stock[static_cast<std::size_t>(sheet.format)]->area() *
                static_cast<double>(sheet.copies);
    return area;
}

double CuttingPlan::part_area() const {
    double area = 0;
    for (const CutPart& part : parts) area += part.area() * static_cast<double>(part.count);
    return area;
}

std::vector<std::string> CuttingPlan::narrow_strips() const {
    std::vector<std::string> suppliers;
    for (std::size_t i = 0; i < plan.sheets.size(); ++i) {
        const Stock& sheet = *stock[static_cast<std::size_t>(plan.sheets[i].format)];
        if (sheet.cutting == nullptr) continue;
        for (const MadeCut& made : bench[i].made.cuts) {
            if (!made.dealer) continue;
            for (const int blank : {made.first, made.second}) {
                if (blank < 0) continue;
                const Blank& strip = bench[i].made.blanks[static_cast<std::size_t>(blank)];
                if (strip.offcut) continue; // what falls off is nobody's strip
                if (to_mm(made.axis == Axis::length ? strip.length : strip.width) >=
                    sheet.cutting->least_strip)
                    continue;
                if (std::find(suppliers.begin(), suppliers.end(), sheet.offer->supplier) ==
                    suppliers.end())
                    suppliers.push_back(sheet.offer->supplier);
            }
        }
    }
    return suppliers;
}

} // namespace aumbry::sheet_goods
