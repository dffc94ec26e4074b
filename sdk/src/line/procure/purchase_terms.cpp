#include "line/procure/purchase_terms.hpp"

#include "aumbry/line_access.hpp"

#include <algorithm>
#include <map>
#include <set>

namespace aumbry {
namespace {

/// The mass of one count of each offer, from whichever module says one.
std::map<std::string, double> masses_of(const TakenOff& taken_off) {
    std::map<std::string, double> masses;
    const auto note = [&](const std::string& offer, double mass) {
        if (mass > 0) masses[offer] = std::max(masses[offer], mass);
    };
    for (const contract::Demand& demand : taken_off.demands) {
        if (demand.amount) {
            for (const contract::AmountOffer& offer : demand.amount->offers)
                note(offer.offer, offer.mass);
        }
        for (const contract::Way& way : demand.ways) {
            for (const contract::Use& use : way.uses) note(use.offer, use.mass);
        }
    }
    return masses;
}

/// Where a row stands within its catalog, so that an estimate does not depend on the folder from
/// which it is asked for.
std::string place_in_catalog(std::string source) {
    const auto within = source.rfind("suppliers/");
    return within == std::string::npos ? source : source.substr(within);
}

} // namespace

std::vector<SupplierTerms> supplier_terms(const Resolved& project, const Catalog& catalog,
                                          const TakenOff& taken_off) {
    std::set<std::string> in_play;
    for (const auto& [id, offer] : taken_off.offers) in_play.insert(offer.offer.supplier);
    const auto named = [](const std::vector<std::string>& list, const std::string& id) {
        return std::find(list.begin(), list.end(), id) != list.end();
    };
    std::vector<SupplierTerms> list;
    for (const Supplier& supplier : catalog.suppliers()) {
        if (!in_play.contains(supplier.id)) continue;
        SupplierTerms terms;
        terms.supplier = supplier;
        for (const ExchangeRate& rate : project.suppliers.rates) {
            if (rate.currency == supplier.currency.code) terms.rate = rate.rate;
        }
        terms.excluded = named(project.suppliers.exclude, supplier.id);
        terms.preferred = named(project.suppliers.prefer, supplier.id);
        if (const auto wish = project.suppliers.carriage.find(supplier.id);
            wish != project.suppliers.carriage.end())
            terms.carriage = wish->second;
        list.push_back(std::move(terms));
    }
    std::set<std::string> stated;
    for (const StatedOffer& offer : taken_off.stated) {
        if (!stated.insert(offer.supplier()).second) continue;
        SupplierTerms terms;
        terms.supplier.id = offer.supplier();
        terms.supplier.name =
            offer.price.supplier.empty() ? "Prices stated in the project" : offer.price.supplier;
        terms.supplier.currency = project.currency;
        terms.supplier.delivery.flat = Money::zero(project.currency);
        list.push_back(std::move(terms));
    }
    return list;
}

std::vector<OfferTerms> offer_terms(const Resolved& project, const Catalog& catalog,
                                    const TakenOff& taken_off) {
    const std::map<std::string, double> masses = masses_of(taken_off);
    const auto mass_of = [&](const std::string& id) {
        const auto found = masses.find(id);
        return found == masses.end() ? 0.0 : found->second;
    };
    std::vector<OfferTerms> list;
    for (const auto& [id, dated] : taken_off.offers) {
        const contract::Offer& offer = dated.offer;
        const PriceRow& row = *dated.rows.front();
        OfferTerms terms;
        terms.id = id;
        terms.supplier = offer.supplier;
        terms.sku = offer.sku;
        terms.description = offer.description;
        terms.price = Decimal::parse(offer.price);
        for (const contract::PriceBreak& price : dated.breaks)
            terms.breaks.push_back({price.from, Decimal::parse(price.price)});
        terms.price_unit = offer.price_unit;
        terms.pack = Decimal::from_double(offer.pack, 6);
        terms.min_quantity = offer.min_quantity;
        terms.limit = offer.limit;
        terms.lead_days = row.lead_days.value_or(0);
        terms.service = project.services.contains(offer.catalog_class);
        terms.mass_kg = mass_of(id);
        terms.longest_mm =
            std::max(number(offer.attributes, "length", 0), number(offer.attributes, "width", 0));
        terms.valid_from = row.valid_from;
        for (const PriceRow* other : dated.rows) {
            if (other->valid_to && (!terms.valid_to || *other->valid_to < *terms.valid_to))
                terms.valid_to = other->valid_to;
        }
        terms.row = {place_in_catalog(catalog.source(row)), "", row.row, 0};
        list.push_back(std::move(terms));
    }
    for (const StatedOffer& stated : taken_off.stated) {
        OfferTerms terms;
        terms.id = stated.id;
        terms.supplier = stated.supplier();
        terms.description = stated.description;
        terms.tax_percent = stated.price.tax_rate.empty() ? project.pricing.tax_paid
                                                          : Decimal::parse(stated.price.tax_rate);
        terms.price = Decimal::parse(stated.price.price);
        if (stated.price.tax_included)
            terms.price =
                (terms.price * Decimal(100)).divided_by(*terms.tax_percent + Decimal(100), 6);
        // A unit of one is a count like any other; the measure makes up the amount.
        terms.price_unit = stated.unit.empty() || stated.unit == "each" ? "piece" : stated.unit;
        terms.lead_days = static_cast<int>(stated.price.lead_days);
        terms.service = project.services.contains(stated.price.catalog_class);
        terms.row = {"stated in the project", "", 0, 0};
        list.push_back(std::move(terms));
    }
    for (const OwnedItem& item : taken_off.owned) {
        OfferTerms terms;
        terms.id = "owned/" + item.id;
        terms.description = item.title;
        terms.price = item.value.decimal();
        terms.price_unit = "pack";
        terms.limit = item.count;
        terms.owned = true;
        terms.arrives = item.arrives;
        terms.mass_kg = mass_of(terms.id);
        list.push_back(std::move(terms));
    }
    return list;
}

} // namespace aumbry
