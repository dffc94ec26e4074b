#include "finish/engine/coats.hpp"

#include "finish/engine/coverage.hpp"

#include "aumbry/fault.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

namespace aumbry::finish {
namespace {

/// The theoretical rate of a coat, m2/L.
double rate_of(const Coat& coat, const std::string& who) {
    const bool by_film = coat.volume_solids.has_value() || coat.dry_film.has_value();
    if (by_film) {
        if (!coat.volume_solids || !coat.dry_film)
            fail("rate-incomplete", {}, who + " states only one of volume solids and dry film",
                 "give both, or the maker's spread rate");
        if (coat.spread_rate != 0)
            fail("rate-twice", {},
                 who + " states a spread rate as well as volume solids and dry film",
                 "give one of the two");
        return spread_rate(*coat.volume_solids, *coat.dry_film);
    }
    if (!(coat.spread_rate > 0))
        fail("no-spread-rate", {},
             fmt::format("{} has a spread rate of {:g} m2/L", who, coat.spread_rate),
             "give the maker's spread rate above zero, or volume solids and dry film");
    return coat.spread_rate;
}

void add_to(std::vector<ProductUse>& uses, const std::string& product, double amount) {
    const auto at = std::find_if(uses.begin(), uses.end(),
                                 [&](const ProductUse& use) { return use.product == product; });
    if (at != uses.end())
        at->amount += amount;
    else
        uses.push_back({product, amount});
}

} // namespace

double usual_loss(Application application) {
    switch (application) {
    case Application::brush:
        return 0.05;
    case Application::roller:
        return 0.10;
    case Application::pad:
        return 0.05;
    case Application::cloth:
        return 0.05;
    case Application::spray:
        return 0.35; // low-pressure spraying of furniture parts
    }
    return 0.05;
}

const std::vector<Substrate>& substrates() {
    static const std::vector<Substrate> table{
        {"sealed", 1.0},
        {"hardwood", 1.1},
        {"softwood", 1.2},
        {"plywood", 1.2},
        {"mdf face", 1.1},
        {"mdf edge", 2.0},
        {"weathered wood", 450.0 / 350.0},
    };
    return table;
}

const Substrate& substrate_named(std::string_view name) {
    std::vector<std::string> known;
    std::string list;
    for (const Substrate& substrate : substrates()) {
        if (substrate.name == name) return substrate;
        known.push_back(substrate.name);
        list += (list.empty() ? "" : ", ") + substrate.name;
    }
    const std::string nearest = nearest_name(std::string(name), known);
    fail("unknown-substrate", {}, "unknown substrate '" + std::string(name) + "'",
         nearest.empty() ? "substrates are " + list : "did you mean '" + nearest + "'?");
}

std::vector<std::string> bare_grits(std::string_view substrate) {
    if (substrate == "sealed") return {};
    if (substrate == "hardwood" || substrate == "softwood" || substrate == "weathered wood")
        return {"80", "120", "180"};
    return {"120", "180"};
}

const std::vector<PaintingRate>& painting_rates() {
    static const std::vector<PaintingRate> table{
        {"new wood", true, 500, 600},
        {"weathered wood", true, 300, 400},
        {"weathered wood", false, 400, 500},
    };
    return table;
}

SystemUse system_use(const std::vector<Coat>& system, const std::vector<Surface>& surfaces) {
    if (system.empty())
        fail("no-coats", {}, "the system has no coats", "list at least one coat with its product");
    for (const Surface& surface : surfaces) {
        if (!(surface.area >= 0))
            fail("area-out-of-range", {},
                 fmt::format("surface '{}' has an area of {:g} m2", surface.name, surface.area),
                 "give an area of zero or more");
        if (!(surface.first_coat_factor >= 1))
            fail("absorption-out-of-range", {},
                 fmt::format("surface '{}' has a first-coat factor of {:g}", surface.name,
                             surface.first_coat_factor),
                 "give 1 for a sealed face, more for one that drinks");
    }
    SystemUse use;
    for (std::size_t c = 0; c < system.size(); ++c) {
        const Coat& coat = system[c];
        const std::string who = fmt::format("coat {}", c + 1);
        if (coat.product.empty())
            fail("no-product", {}, who + " names no product", "name what it is made with");
        CoatUse taken;
        taken.coat = c;
        taken.rate = rate_of(coat, who);
        taken.loss = coat.loss.value_or(usual_loss(coat.application));
        if (!(taken.loss >= 0 && taken.loss < 1))
            fail("loss-out-of-range", {}, fmt::format("{} has a loss of {:g}", who, taken.loss),
                 "give a share from 0 to below 1");
        if (!(coat.thinning >= 0))
            fail("thinning-out-of-range", {},
                 fmt::format("{} is thinned by {:g}", who, coat.thinning),
                 "give litres of thinner to a litre of product, zero or more");
        for (const Surface& surface : surfaces) {
            taken.area += surface.area;
            taken.weighted_area += surface.area * (c == 0 ? surface.first_coat_factor : 1.0);
        }
        taken.litres = taken.weighted_area / taken.rate / (1.0 - taken.loss);
        taken.thinner_litres = taken.litres * coat.thinning;
        add_to(use.products, coat.product, taken.litres);
        if (taken.thinner_litres > 0 && !coat.thinner.empty())
            add_to(use.products, coat.thinner, taken.thinner_litres);
        if (!coat.abrasive.empty()) {
            if (!(coat.abrasive_area > 0))
                fail("no-abrasive-area", {},
                     fmt::format("{} does not say how far its abrasive goes", who),
                     "give the m2 that one sheet or disc serves");
            taken.abrasive_pieces = taken.area / coat.abrasive_area;
            add_to(use.abrasives, coat.abrasive, taken.abrasive_pieces);
        }
        use.coats.push_back(taken);
    }
    // Pieces are bought whole; a rounding error must not buy one more.
    for (ProductUse& abrasive : use.abrasives) abrasive.amount = std::ceil(abrasive.amount - 1e-9);
    return use;
}

} // namespace aumbry::finish
