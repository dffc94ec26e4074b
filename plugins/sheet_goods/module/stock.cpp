#include "sheet_goods/module/stock.hpp"

#include "sheet_goods/module/text.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/grid.hpp"
#include "aumbry/money.hpp"
#include "aumbry/plugin.hpp"
#include "aumbry/quantity.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>
#include <cmath>
#include <tuple>

namespace aumbry::sheet_goods {

namespace {

using contract::Offer;
using contract::Severity;

Grain grain_named(const std::string& name) {
    if (name == "none") return Grain::none;
    return name == "width" ? Grain::along_width : Grain::along_length;
}

/// One purchase count in the unit of its price; 0 for a price by count, none when the unit does not
/// measure a sheet.
std::optional<double> measure_of(const Offer& offer, double area, double thickness) {
    if (offer.price_unit == "each" || offer.price_unit == "pack" || offer.price_unit.empty())
        return 0;
    try {
        const Dimension of = dimension_of_unit(offer.price_unit);
        if (of == dimension::area)
            return round_to(in_unit(from_unit(area * offer.pack, "m2"), offer.price_unit), 6);
        if (of == dimension::volume)
            return round_to(
                in_unit(from_unit(area * thickness / 1000 * offer.pack, "m3"), offer.price_unit),
                9);
    } catch (const FaultError&) {
        return std::nullopt;
    }
    return std::nullopt;
}

/// What one sheet adds to the cost of the job; guidance only.
double cost_of(const Offer& offer, double measure) {
    double price = offer.cost ? *offer.cost : amount_of(offer.price);
    if (measure > 0)
        price *= measure / offer.pack;
    else if (offer.price_unit == "pack")
        price /= offer.pack;
    return std::clamp(price, 0.0, 1e7);
}

struct UsableSize {
    GridLength length, width;
};

UsableSize usable(const Stock& stock) {
    const GridLength off = 2 * to_grid(stock.clean_up);
    return {to_grid(stock.length) - off, to_grid(stock.width) - off};
}

bool lies(GridLength length, GridLength width, const UsableSize& space) {
    return length <= space.length && width <= space.width;
}

const contract::CuttingService* cutting_of(const contract::TakeOffRequest& request,
                                           const std::string& supplier) {
    for (const contract::CuttingService& service : request.cutting) {
        if (service.supplier == supplier && service.offered) return &service;
    }
    return nullptr;
}

/// Whether the project wants the sheets delivered. Roles of one specification are cut together:
/// what one of them wants delivered comes with all.
bool is_brought(const contract::TakeOffRequest& request, const Shop& shop) {
    std::optional<contract::Carriage> stated;
    for (const contract::Line& line : request.lines) {
        if (line.material && line.material->carriage && stated != contract::Carriage::delivered)
            stated = line.material->carriage;
    }
    return stated ? *stated == contract::Carriage::delivered : shop.delivered;
}

} // namespace

double amount_of(const std::string& price) {
    if (price.empty()) return 0;
    try {
        return Decimal::parse(price).to_double();
    } catch (const FaultError&) {
        return 0; // the host says so
    }
}

double cost_of_cut(const contract::CuttingService& cutting) {
    return cutting.cost_per_cut ? *cutting.cost_per_cut : amount_of(cutting.price_per_cut);
}

bool too_large_to_fetch(const Stock& sheet, const Shop& shop) {
    return sheet.fetched && !shop.carries(sheet.length, sheet.width);
}

bool fits(const CutPart& part, const Stock& stock) {
    const UsableSize space = usable(stock);
    const GridLength length = to_grid(part.size.length);
    const GridLength width = to_grid(part.size.width);
    const bool straight = lies(length, width, space);
    const bool turned = lies(width, length, space);
    const bool along = part.turn == Turn::with_grain;
    if (part.turn == Turn::free || stock.grain == Grain::none || length == width)
        return straight || turned;
    return along == (stock.grain == Grain::along_length) ? straight : turned;
}

Fit fit_of(const CutPart& part, const std::vector<Stock>& stock) {
    bool somehow = false;
    for (const Stock& sheet : stock) {
        if (fits(part, sheet)) return Fit::fits;
        CutPart free = part;
        free.turn = Turn::free;
        somehow = somehow || fits(free, sheet);
    }
    return somehow ? Fit::against_grain : Fit::too_large;
}

std::vector<Stock> read_stock(const contract::TakeOffRequest& request,
                              const SheetMaterial& material, const GradeTable& grades,
                              const Shop& shop, std::vector<contract::Finding>& findings) {
    std::vector<Stock> stock;
    const bool brought = is_brought(request, shop);
    for (const Offer& offer : request.offers) {
        if (offer.catalog_class != "sheet") continue;
        Stock sheet;
        sheet.offer = &offer;
        sheet.grades =
            grades_of(text(offer.attributes, "grade"), text(offer.attributes, "face_grade"),
                      text(offer.attributes, "back_grade"));
        if (!grades.serves(sheet.grades, material.grades)) continue;
        sheet.length = number(offer.attributes, "length", 0);
        sheet.width = number(offer.attributes, "width", 0);
        if (sheet.length <= 0 || sheet.width <= 0) {
            findings.push_back(
                {Severity::caution, "sheet-without-size", "",
                 "The offer " + offer.id + " is left out: it states no length and width."});
            continue;
        }
        if (offer.limit && *offer.limit <= 0) {
            findings.push_back({Severity::note, "sheet-out-of-stock", "",
                                "The sheet " + offer.id + " (" +
                                    size_text(sheet.length, sheet.width, shop.unit) +
                                    ") is left out: its supplier has none in stock."});
            continue;
        }
        sheet.clean_up = number(offer.attributes, "clean_up", shop.clean_up);
        if (const UsableSize space = usable(sheet); space.length <= 0 || space.width <= 0) {
            findings.push_back({Severity::caution, "offcut-smaller-than-clean-up", "",
                                (offer.owned ? "The offcut " : "The sheet ") + offer.id + " (" +
                                    size_text(sheet.length, sheet.width, shop.unit) +
                                    ") is left out: cleaning up its edges by " +
                                    length_text(sheet.clean_up, shop.unit) + " leaves nothing."});
            continue;
        }
        const auto measure = measure_of(offer, sheet.area(), material.thickness);
        if (!measure) {
            findings.push_back({Severity::caution, "sheet-price-unit", "",
                                "The offer " + offer.id + " is left out: a price by the " +
                                    offer.price_unit + " says nothing of a sheet."});
            continue;
        }
        sheet.measure = *measure;
        sheet.grain = grain_named(text(offer.attributes, "grain", material.grain));
        sheet.pack = std::max<std::int64_t>(1, std::llround(offer.pack));
        const double cost = cost_of(offer, sheet.measure);
        sheet.cost = static_cast<std::int64_t>(round_to(cost * 100, 0));
        sheet.least_cost = static_cast<std::int64_t>(std::floor(round_to(cost * 100, 4)));
        if (offer.limit) sheet.limit = std::max<std::int64_t>(0, *offer.limit) * sheet.pack;
        sheet.cutting = offer.owned ? nullptr : cutting_of(request, offer.supplier);
        sheet.brought = brought && !offer.owned;
        sheet.fetched = !brought && !offer.owned && offer.carriage != contract::Carriage::delivered;
        stock.push_back(sheet);
    }
    std::stable_sort(stock.begin(), stock.end(), [](const Stock& a, const Stock& b) {
        const auto key = [](const Stock& s) {
            return std::tuple(s.owned() ? 0 : 1,
                              round_to(static_cast<double>(s.cost) / s.area(), 3));
        };
        return key(a) < key(b);
    });
    return stock;
}

} // namespace aumbry::sheet_goods
