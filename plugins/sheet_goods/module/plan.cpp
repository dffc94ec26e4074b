#include "sheet_goods/module/plan.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/grid.hpp"
#include "aumbry/money.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>

namespace aumbry::sheet_goods {

namespace {

Format format_of(const Stock& sheet) {
    Format format;
    format.name = sheet.offer->id;
    format.length = to_grid(sheet.length);
    format.width = to_grid(sheet.width);
    format.cost = sheet.cost;
    format.limit = sheet.limit;
    const GridLength off = to_grid(sheet.clean_up);
    format.clean_up = {off, off, off, off};
    format.grain = sheet.grain;
    format.owned = sheet.owned();
    return format;
}

Part part_of(const CutPart& part) {
    return {part.name, to_grid(part.size.length), to_grid(part.size.width), part.count, part.turn};
}

bool can_be_carried(const CutPart& part, const Shop& shop) {
    return shop.carries(part.size.length, part.size.width);
}

/// The vehicle limits the first cuts when every sheet that does not lie in it is cut by its dealer,
/// and every part lies in it. Otherwise sheets come by delivery, and the finding about it is the
/// caller's.
std::optional<BlankLimit> blank_limit(const std::vector<const Stock*>& stock,
                                      const std::vector<CutPart>& parts, const Terms& terms) {
    if (!terms.carried || !terms.shop.vehicle_length || !terms.shop.vehicle_width)
        return std::nullopt;
    for (const Stock* sheet : stock) {
        if (!sheet->owned() && sheet->cutting == nullptr &&
            !terms.shop.carries(sheet->length, sheet->width))
            return std::nullopt;
    }
    for (const CutPart& part : parts) {
        if (!can_be_carried(part, terms.shop)) return std::nullopt;
    }
    return BlankLimit{to_grid(*terms.shop.vehicle_length), to_grid(*terms.shop.vehicle_width)};
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

/// Who makes each cut. What the dealer cuts he cuts first, so every cut that leads to one of his is
/// his too.
std::vector<bool> dealer_cuts_of(const SheetPlan& sheet, const Stock& stock, const Terms& terms) {
    std::vector<bool> dealer(sheet.cuts.size(), false);
    if (stock.cutting == nullptr) return dealer;
    std::vector<bool> wanted(sheet.blanks.size(),
                             false); // blanks that must exist when the dealer is done
    for (std::size_t i = sheet.cuts.size(); i-- > 0;) {
        const Cut& cut = sheet.cuts[i];
        const auto at = [](int blank) { return static_cast<std::size_t>(blank); };
        dealer[i] = cut.dealer || beyond_workshop(sheet.blanks[at(cut.blank)], cut.axis, terms) ||
                    (cut.first >= 0 && wanted[at(cut.first)]) ||
                    (cut.second >= 0 && wanted[at(cut.second)]);
        if (dealer[i]) wanted[at(cut.blank)] = true;
    }
    return dealer;
}

/// Puts the dealer's cuts first, in their order.
void sort_cuts(SheetPlan& sheet, std::vector<bool>& dealer) {
    std::vector<Cut> sorted;
    std::vector<bool> marks;
    for (const bool turn : {true, false}) {
        for (std::size_t i = 0; i < sheet.cuts.size(); ++i) {
            if (dealer[i] != turn) continue;
            sorted.push_back(sheet.cuts[i]);
            marks.push_back(turn);
        }
    }
    sheet.cuts = std::move(sorted);
    dealer = std::move(marks);
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

double plan_kerf(const std::vector<const Stock*>& stock, const Terms& terms) {
    double kerf = std::max(0.0, terms.shop.kerf);
    for (const Stock* sheet : stock) {
        if (dealer_divides(*sheet, terms))
            kerf = std::max(kerf, sheet->cutting->kerf + sheet->cutting->accuracy +
                                      2 * terms.shop.dealer_edge);
    }
    return round_to(kerf, 4);
}

std::optional<CuttingPlan> plan_cutting(const std::vector<Panel>& panels,
                                        const std::vector<const Stock*>& stock, const Terms& terms,
                                        Effort effort, const CuttingPlan* start) {
    CuttingPlan made;
    made.stock = stock;
    made.kerf = plan_kerf(stock, terms);
    std::vector<contract::Finding> said; // the caller has said it already
    made.parts = cut_parts(panels, made.kerf, said);
    for (const CutPart& part : made.parts) {
        if (std::none_of(stock.begin(), stock.end(),
                         [&](const Stock* sheet) { return fits(part, *sheet); }))
            return std::nullopt;
    }
    CuttingJob order;
    for (const Stock* sheet : stock) order.formats.push_back(format_of(*sheet));
    for (const CutPart& part : made.parts) order.parts.push_back(part_of(part));
    order.kerf = to_grid(made.kerf);
    order.blank_limit = blank_limit(stock, made.parts, terms);
    order.effort = effort;
    order.stop = terms.stop;
    if (start != nullptr) order.warm_start = start->plan;
    made.plan = cut(order);
    if (!made.plan.unplaced.empty()) return std::nullopt;
    return on_stock(std::move(made), stock, terms);
}

CuttingPlan on_stock(CuttingPlan plan, const std::vector<const Stock*>& stock, const Terms& terms) {
    plan.stock = stock;
    plan.by_dealer.clear();
    for (SheetPlan& sheet : plan.plan.sheets) {
        plan.by_dealer.push_back(
            dealer_cuts_of(sheet, *stock[static_cast<std::size_t>(sheet.format)], terms));
        sort_cuts(sheet, plan.by_dealer.back());
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
            count +=
                std::count(by_dealer[i].begin(), by_dealer[i].end(), true) * plan.sheets[i].copies;
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
        for (std::size_t c = 0; c < plan.sheets[i].cuts.size(); ++c) {
            const Cut& made = plan.sheets[i].cuts[c];
            if (!by_dealer[i][c]) continue;
            for (const int blank : {made.first, made.second}) {
                if (blank < 0) continue;
                const Blank& strip = plan.sheets[i].blanks[static_cast<std::size_t>(blank)];
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
