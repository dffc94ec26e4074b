#include "sheet_goods/module/plan.hpp"

#include "sheet_goods/module/bench.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/grid.hpp"
#include "aumbry/money.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>
#include <tuple>

namespace aumbry::sheet_goods {

namespace {

/// How often room is kept for the dealer's cuts that a plan turned out to have.
constexpr int most_tries = 4;

/// What one cut of the dealer takes beyond what the plan keeps between neighbours.
Steps extra_of(const Stock& sheet, const Shop& shop) {
    const double allowance = blank_allowance(*sheet.cutting, shop);
    const double taken = sheet.cutting->kerf + sheet.cutting->accuracy + allowance +
                         std::max(allowance, sheet.cutting->accuracy + to_cut_off) + to_cut_off +
                         dealer_step(shop);
    return std::max<Steps>(0, to_grid(taken) - to_grid(plan_kerf(shop)));
}

Format format_of(const Stock& sheet, const std::array<Steps, 2>& reserve, const Terms& terms) {
    Format format;
    format.name = sheet.offer->id;
    format.length = to_grid(sheet.length);
    format.width = to_grid(sheet.width);
    if (dealer_divides(sheet, terms)) {
        format.length -= reserve[0];
        format.width -= reserve[1];
    }
    format.cost = sheet.cost;
    format.limit = sheet.limit;
    const GridLength off = to_grid(clean_up_of(sheet, terms.shop));
    format.clean_up = {off, off, off, off};
    format.grain = sheet.grain;
    format.owned = sheet.owned() || terms.shop.carries(sheet.length, sheet.width);
    return format;
}

Part part_of(const CutPart& part) {
    return {part.name, to_grid(part.size.length), to_grid(part.size.width), part.count, part.turn};
}

/// The vehicle limits the first cuts of a sheet that its dealer cuts, when every part lies in it.
/// Otherwise sheets come by delivery, and the finding about it is the caller's.
std::optional<BlankLimit> blank_limit(const CuttingPlan& plan, const Terms& terms) {
    if (!terms.carried || !terms.shop.vehicle_length || !terms.shop.vehicle_width)
        return std::nullopt;
    double left = 0; // on the blanks, beyond their parts
    for (const Stock* sheet : plan.stock) {
        if (sheet->owned() || terms.shop.carries(sheet->length, sheet->width)) continue;
        if (sheet->cutting == nullptr) return std::nullopt;
        const double allowance = std::max(blank_allowance(*sheet->cutting, terms.shop),
                                          sheet->cutting->accuracy + to_cut_off);
        left =
            std::max(left, 2 * std::max(clean_up_of(*sheet, terms.shop), allowance) +
                               dealer_step(terms.shop) +
                               (plan.tight ? sheet->cutting->kerf + sheet->cutting->accuracy : 0));
    }
    for (const CutPart& part : plan.parts) {
        if (!terms.shop.carries(part.size.length + left, part.size.width + left))
            return std::nullopt;
    }
    return BlankLimit{to_grid(*terms.shop.vehicle_length - left),
                      to_grid(*terms.shop.vehicle_width - left)};
}

double blank_area(const Blank& blank) {
    return to_mm(blank.length) * to_mm(blank.width) / 1e6;
}

/// Whether the workshop cannot make a cut by itself: too long, or the blank too heavy for one.
bool beyond_workshop(const Blank& blank, Axis axis, const Terms& terms) {
    const double length_of_cut = to_mm(axis == Axis::length ? blank.width : blank.length);
    if (terms.shop.longest_rip && length_of_cut > *terms.shop.longest_rip) return true;
    return terms.shop.heaviest_blank &&
           blank_area(blank) * terms.mass_per_area > *terms.shop.heaviest_blank;
}

/// Says who makes each cut. What the dealer cuts he cuts first, so every cut that leads to one of
/// his is his too.
void share_cuts(SheetPlan& sheet, const Stock& stock, const Terms& terms) {
    std::vector<bool> wanted(sheet.blanks.size(),
                             false); // blanks that must exist when the dealer is done
    for (std::size_t i = sheet.cuts.size(); i-- > 0;) {
        Cut& cut = sheet.cuts[i];
        const auto at = [](int blank) { return static_cast<std::size_t>(blank); };
        cut.dealer = stock.cutting != nullptr &&
                     (cut.dealer || beyond_workshop(sheet.blanks[at(cut.blank)], cut.axis, terms) ||
                      (cut.first >= 0 && wanted[at(cut.first)]) ||
                      (cut.second >= 0 && wanted[at(cut.second)]));
        if (cut.dealer) wanted[at(cut.blank)] = true;
    }
}

/// What the parts want beyond their sheets, by axis.
std::array<Steps, 2> short_by(const CuttingPlan& plan) {
    std::array<Steps, 2> most{};
    for (const BenchSheet& sheet : plan.bench)
        for (std::size_t axis = 0; axis < 2; ++axis)
            most[axis] = std::max(most[axis], sheet.made.short_by[axis]);
    return most;
}

CuttingJob job_of(const CuttingPlan& plan, const Terms& terms, Effort effort) {
    CuttingJob job;
    for (const Stock* sheet : plan.stock)
        job.formats.push_back(format_of(*sheet, plan.reserve, terms));
    for (const CutPart& part : plan.parts) job.parts.push_back(part_of(part));
    job.kerf = to_grid(plan.kerf);
    job.blank_limit = blank_limit(plan, terms);
    job.effort = effort;
    job.stop = terms.stop;
    return job;
}

/// Whether every part still lies on one of the formats.
bool has_room(const CuttingJob& job, const CuttingPlan& plan) {
    return std::all_of(plan.parts.begin(), plan.parts.end(), [&](const CutPart& part) {
        for (std::size_t i = 0; i < plan.stock.size(); ++i) {
            Stock less = *plan.stock[i];
            less.length = to_mm(job.formats[i].length);
            less.width = to_mm(job.formats[i].width);
            less.clean_up = to_mm(job.formats[i].clean_up.left);
            if (fits(part, less)) return true;
        }
        return false;
    });
}

void lay_out(CuttingPlan& plan, const std::vector<Panel>& panels) {
    std::vector<contract::Finding> said; // the caller has said it already
    plan.parts = cut_parts(panels, plan.kerf, said);
}

/// Whether what the dealer hands over lies in the vehicle, wherever he cuts at all.
bool is_carried(const CuttingPlan& plan, const Terms& terms) {
    if (!terms.carried) return true;
    for (const BenchSheet& sheet : plan.bench) {
        std::vector<bool> there(sheet.made.blanks.size(), false);
        bool dealer = false;
        for (const MadeCut& cut : sheet.made.cuts) {
            if (!cut.dealer) break;
            dealer = true;
            there[static_cast<std::size_t>(cut.blank)] = false;
            for (const int blank : {cut.first, cut.second})
                if (blank >= 0) there[static_cast<std::size_t>(blank)] = true;
        }
        for (std::size_t i = 0; dealer && i < there.size(); ++i) {
            const Blank& blank = sheet.made.blanks[i];
            if (there[i] && !terms.shop.carries(to_mm(blank.length), to_mm(blank.width)))
                return false;
        }
    }
    return true;
}

/// Plans what is laid out; false when not all parts find room.
bool run(CuttingPlan& plan, const Terms& terms, Effort effort, const CuttingPlan* start) {
    CuttingJob job = job_of(plan, terms, effort);
    if (!has_room(job, plan)) return false;
    if (start != nullptr && start->reserve == plan.reserve) job.warm_start = start->plan;
    plan.plan = cut(job);
    if (!plan.plan.unplaced.empty()) return false;
    plan = on_stock(std::move(plan), std::vector<const Stock*>(plan.stock), terms);
    return true;
}

/// What stands between neighbours when every cut might be a dealer's, mm.
double most_gap(const std::vector<const Stock*>& stock, const Terms& terms) {
    double most = plan_kerf(terms.shop);
    for (const Stock* sheet : stock) {
        if (dealer_divides(*sheet, terms))
            most = std::max(most, plan_kerf(terms.shop) + to_mm(extra_of(*sheet, terms.shop)));
    }
    return most;
}

/// No plan does with less than one on whole sheets, however they are divided. A draft bounds that
/// one; what a longer search would add to the bound is seldom worth its time.
void bound_without_reserve(CuttingPlan& made, const std::vector<Panel>& panels,
                           const Terms& terms) {
    CuttingPlan whole;
    whole.stock = made.stock;
    whole.kerf = plan_kerf(terms.shop);
    lay_out(whole, panels);
    const Plan bound = cut(job_of(whole, terms, Effort::draft));
    made.plan.lower_bound_sheets = bound.lower_bound_sheets;
    made.plan.lower_bound_cost = bound.lower_bound_cost;
    made.plan.bound_method = bound.bound_method;
    made.plan.proven = made.plan.cost <= bound.lower_bound_cost &&
                       made.plan.sheet_count <= bound.lower_bound_sheets;
}

} // namespace

bool dealer_divides(const Stock& sheet, const Terms& terms) {
    if (sheet.cutting == nullptr) return false;
    if (terms.carried && !terms.shop.carries(sheet.length, sheet.width)) return true;
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

std::optional<CuttingPlan> plan_cutting(const std::vector<Panel>& panels,
                                        const std::vector<const Stock*>& stock, const Terms& terms,
                                        Effort effort, const CuttingPlan* start) {
    CuttingPlan first;
    first.stock = stock;
    first.kerf = start != nullptr ? start->kerf : plan_kerf(terms.shop);
    if (start != nullptr) {
        first.reserve = start->reserve;
        first.tight = start->tight;
    }
    lay_out(first, panels);
    for (const CutPart& part : first.parts) {
        if (std::none_of(stock.begin(), stock.end(),
                         [&](const Stock* sheet) { return fits(part, *sheet); }))
            return std::nullopt;
    }
    // Where a dealer divides sheets, a plan tells how many of his cuts follow one another; room is
    // kept for as many. Keeping a little more between all neighbours may take less.
    std::optional<CuttingPlan> best;
    CuttingPlan trial = first;
    // What a draft has found is good enough if a longer search needs more than two.
    for (int tries = start != nullptr ? most_tries - 1 : 0; tries <= most_tries; ++tries) {
        if (!run(trial, terms, effort, start)) break;
        const std::array<Steps, 2> missing = short_by(trial);
        const bool carried = is_carried(trial, terms);
        if (missing == std::array<Steps, 2>{} && carried) {
            best = trial;
            break;
        }
        for (std::size_t axis = 0; axis < 2; ++axis) trial.reserve[axis] += missing[axis];
        trial.tight = trial.tight || !carried;
    }
    const double most = most_gap(stock, terms);
    const bool divided = most > plan_kerf(terms.shop);
    if (start == nullptr && divided && (!best || best->reserve != std::array<Steps, 2>{})) {
        for (const double more : {4.0, most}) {
            trial = first;
            trial.kerf = std::min(first.kerf + more, most);
            trial.tight = more == most;
            lay_out(trial, panels);
            if (!run(trial, terms, effort, nullptr) || short_by(trial) != std::array<Steps, 2>{} ||
                !is_carried(trial, terms))
                continue;
            // A strip that the dealer does not cut has to be agreed upon: better none.
            const auto rank = [](const CuttingPlan& plan) {
                return std::tuple(!plan.narrow_strips().empty(), plan.listed_cost(),
                                  plan.plan.sheet_count);
            };
            if (!best || rank(trial) < rank(*best)) best = trial;
        }
    }
    if (!best) return std::nullopt;
    if (best->kerf != plan_kerf(terms.shop) || best->reserve != std::array<Steps, 2>{})
        bound_without_reserve(*best, panels, terms);
    return best;
}

CuttingPlan on_stock(CuttingPlan plan, const std::vector<const Stock*>& stock, const Terms& terms) {
    plan.stock = stock;
    plan.bench.clear();
    for (SheetPlan& sheet : plan.plan.sheets) {
        const Stock& cut_from = *stock[static_cast<std::size_t>(sheet.format)];
        share_cuts(sheet, cut_from, terms);
        plan.bench.push_back(cut_at_the_bench(plan, sheet, cut_from, terms.shop));
    }
    return plan;
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

std::int64_t CuttingPlan::listed_cost() const {
    std::int64_t cost = 0;
    std::vector<std::string> seen;
    for (const Stock* sheet : stock) {
        cost += sheet->cost * sheet->pack * count_of(*sheet);
        if (sheet->cutting == nullptr ||
            std::find(seen.begin(), seen.end(), sheet->offer->supplier) != seen.end())
            continue;
        seen.push_back(sheet->offer->supplier);
        try {
            const double price = sheet->cutting->price_per_cut.empty()
                                     ? 0
                                     : Decimal::parse(sheet->cutting->price_per_cut).to_double();
            cost += static_cast<std::int64_t>(std::clamp(round_to(price * 100, 0), 0.0, 1e9)) *
                    paid_cuts(sheet->offer->supplier);
        } catch (const FaultError&) {
            continue; // a price that is none guides nothing; the host says so
        }
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
