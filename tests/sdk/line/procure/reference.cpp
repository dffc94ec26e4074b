#include "reference.hpp"

#include <cmath>

namespace aumbry::test {

namespace {

__extension__ using Wide = __int128;

std::int64_t rounded(Wide numerator, Wide denominator) {
    return static_cast<std::int64_t>((2 * numerator + denominator) /
                                     (2 * denominator)); // nothing here is below zero
}

Wide power(int exponent) {
    Wide value = 1;
    for (int i = 0; i < exponent; ++i) value *= 10;
    return value;
}

} // namespace

Reference::Reference(const ProcureProblem& problem) : problem_(problem) {
    for (const OfferTerms& offer : problem.offers) offers_[offer.id] = &offer;
    for (const SupplierTerms& terms : problem.suppliers) suppliers_[terms.supplier.id] = &terms;
    for (const DemandTerms& demand : problem.demands)
        for (const contract::Way& way : demand.ways)
            for (const contract::Use& use : way.uses) measures_[use.offer] = use.measure;
}

double Reference::measure(const std::string& offer) const {
    const auto found = measures_.find(offer);
    return found == measures_.end() ? 0 : found->second;
}

Decimal Reference::tax_percent(const OfferTerms& offer) const {
    if (offer.owned) return Decimal();
    return offer.tax_percent.value_or(supplier(offer.supplier).supplier.tax_percent);
}

std::int64_t Reference::net(std::int64_t listed, const SupplierTerms& terms,
                            Decimal tax_percent) const {
    Wide numerator = listed;
    Wide denominator = 1;
    if (terms.supplier.currency != problem_.currency) {
        numerator *= terms.rate->unscaled();
        denominator *= power(terms.rate->scale());
    }
    if (terms.supplier.tax_included) {
        numerator *= 100 * power(tax_percent.scale());
        denominator *= 100 * power(tax_percent.scale()) + tax_percent.unscaled();
    }
    return rounded(numerator, denominator);
}

std::int64_t Reference::collecting(const SupplierTerms& terms) const {
    const std::int64_t time = problem_.trip ? problem_.trip->minor() : 0;
    Wide numerator = terms.supplier.delivery.collect->minor();
    if (terms.supplier.currency == problem_.currency)
        return static_cast<std::int64_t>(numerator) + time;
    return rounded(numerator * terms.rate->unscaled(), power(terms.rate->scale())) + time;
}

Reference::Amounts Reference::amounts(const OfferTerms& offer, double measure,
                                      std::int64_t count) const {
    Decimal price = offer.price;
    for (const OfferTerms::Break& tier : offer.breaks)
        if (count >= tier.from) price = tier.price;
    Wide numerator = Wide{price.unscaled()} * count * 100;
    Wide denominator = power(price.scale());
    if (offer.price_unit == "each") {
        numerator *= offer.pack.unscaled();
        denominator *= power(offer.pack.scale());
    } else if (offer.price_unit != "pack") {
        numerator *= static_cast<Wide>(std::llround(measure * 1e6));
        denominator *= 1'000'000;
    }
    Amounts result;
    result.listed = rounded(numerator, denominator);
    result.net = offer.owned ? result.listed
                             : net(result.listed, supplier(offer.supplier), tax_percent(offer));
    return result;
}

std::vector<std::int64_t> Reference::counts(const OfferTerms& offer, double measure,
                                            std::int64_t needed) const {
    if (needed == 0) return {0};
    const std::int64_t first = std::max(needed, offer.min_quantity);
    if (offer.limit && first > *offer.limit) return {};
    std::vector<std::int64_t> result{first};
    for (const OfferTerms::Break& tier : offer.breaks)
        if (tier.from > first && (!offer.limit || tier.from <= *offer.limit) &&
            amounts(offer, measure, tier.from).net < amounts(offer, measure, result.back()).net)
            result.push_back(tier.from);
    return result;
}

std::vector<Reference::Choice> Reference::choices(const DemandTerms& demand) const {
    std::vector<Choice> result;
    for (const contract::Way& way : demand.ways) {
        Choice choice;
        for (const contract::Use& use : way.uses) {
            choice.counts[use.offer] += use.count;
            if (use.must_be_delivered) choice.delivered.insert(offer(use.offer).supplier);
        }
        for (const contract::DealerCuts& cuts : way.dealer_cuts)
            choice.cuts[cuts.supplier] += cuts.cuts;
        result.push_back(std::move(choice));
    }
    if (!demand.amount) return result;
    const auto& offers = demand.amount->offers;
    std::vector<std::int64_t> counts(offers.size(), 0);
    const std::int64_t need = std::llround(demand.amount->quantity * 1e6);
    add_fills(*demand.amount, 0, need, counts, result);
    return result;
}

// Every count of every offer until it is enough; kept when nothing is spare and one supplier fills.
void Reference::add_fills(const contract::Amount& amount, std::size_t at, std::int64_t missing,
                          std::vector<std::int64_t>& counts, std::vector<Choice>& result) const {
    if (missing <= 0) {
        std::map<std::string, bool> used;
        Choice choice;
        for (std::size_t i = 0; i < counts.size(); ++i) {
            if (counts[i] == 0) continue;
            if (missing + std::llround(amount.offers[i].content * 1e6) <= 0) return;
            if (!offer(amount.offers[i].offer).owned)
                used[offer(amount.offers[i].offer).supplier] = true;
            choice.counts[amount.offers[i].offer] = counts[i];
        }
        if (used.size() <= 1) result.push_back(std::move(choice));
        return;
    }
    if (at == counts.size()) return;
    const std::int64_t one = std::llround(amount.offers[at].content * 1e6);
    const std::int64_t most = offer(amount.offers[at].offer).limit.value_or(missing);
    for (counts[at] = 0; counts[at] <= most; ++counts[at]) {
        add_fills(amount, at + 1, missing - counts[at] * one, counts, result);
        if (missing - counts[at] * one <= 0) break;
    }
    counts[at] = 0;
}

// Loads as heavy as the last band allows, and the rest by its band.
std::int64_t Reference::by_mass(const DeliveryConditions& terms, double mass) {
    const MassBand& last = terms.by_mass.back();
    std::int64_t charge = 0;
    for (; last.up_to && mass > *last.up_to + 1e-9; mass -= *last.up_to)
        charge += last.cost.minor();
    if (charge > 0 && mass < 1e-9) return charge;
    for (const MassBand& band : terms.by_mass)
        if (!band.up_to || mass <= *band.up_to + 1e-9) return charge + band.cost.minor();
    return charge;
}

std::int64_t Reference::order_cost(const std::string& supplier_id, const Choice& needs) const {
    const SupplierTerms& terms = supplier(supplier_id);
    const Supplier& seller = terms.supplier;
    std::vector<const OfferTerms*> lines;
    std::vector<std::vector<std::int64_t>> options;
    for (const auto& [id, needed] : needs.counts) {
        if (offer(id).owned || offer(id).supplier != supplier_id || needed == 0) continue;
        lines.push_back(&offer(id));
        options.push_back(counts(offer(id), measure(id), needed));
        if (options.back().empty()) return -1;
    }
    const auto cuts = needs.cuts.find(supplier_id);
    const std::int64_t cut_count = cuts == needs.cuts.end() ? 0 : cuts->second;
    if (lines.empty() && cut_count == 0) return 0;
    std::int64_t least = -1;
    std::vector<std::size_t> pick(lines.size(), 0);
    while (true) {
        std::int64_t listed = 0;
        double mass = 0;
        bool goods = false;
        bool oversize = false;
        std::map<Decimal, std::int64_t> taxable;
        for (std::size_t i = 0; i < lines.size(); ++i) {
            const std::int64_t count = options[i][pick[i]];
            const Amounts of = amounts(*lines[i], measure(lines[i]->id), count);
            taxable[tax_percent(*lines[i])] += of.net;
            if (lines[i]->service) continue;
            goods = true;
            listed += of.listed;
            mass += lines[i]->mass_kg * static_cast<double>(count);
            oversize = oversize || (seller.delivery.oversize &&
                                    lines[i]->longest_mm > seller.delivery.oversize->longer_than);
        }
        std::int64_t charges = 0;
        if (cut_count > 0)
            charges +=
                net(std::llround(Decimal::parse(seller.cutting.price_per_cut).to_double() * 100) *
                        cut_count,
                    terms, seller.tax_percent);
        if (goods && seller.minimum_order && listed < seller.minimum_order->minor())
            charges += net(seller.minimum_order->minor() - listed, terms, seller.tax_percent);
        for (const bool collect : {false, true}) {
            if (collect && (!goods || !seller.delivery.collect)) continue;
            if (collect && needs.delivered.contains(supplier_id)) continue;
            if (!collect && goods && !seller.delivery.delivers()) continue;
            std::int64_t delivery = 0;
            if (goods && !collect) {
                if (!seller.delivery.free_from || listed < seller.delivery.free_from->minor()) {
                    if (seller.delivery.flat) delivery = seller.delivery.flat->minor();
                    if (!seller.delivery.by_mass.empty()) delivery = by_mass(seller.delivery, mass);
                }
                if (oversize) delivery += seller.delivery.oversize->extra.minor();
                delivery = net(delivery, terms, seller.tax_percent);
            }
            auto taxed = taxable;
            taxed[seller.tax_percent] += charges + delivery;
            std::int64_t total = 0;
            if (goods && collect) {
                // A trip for every load, and one for what is left.
                total = collecting(terms);
                for (double left = mass; problem_.load && left > *problem_.load + 1e-9;
                     left -= *problem_.load)
                    total += collecting(terms);
            }
            for (const auto& [percent, amount] : taxed) {
                total += amount;
                if (problem_.tax_is_cost) total += (amount * percent.unscaled() + 50) / 100;
            }
            if (least < 0 || total < least) least = total;
        }
        std::size_t i = 0;
        for (; i < pick.size() && ++pick[i] == options[i].size(); ++i) pick[i] = 0;
        if (i == pick.size()) break;
    }
    return least;
}

std::int64_t Reference::cost(const Choice& needs) const {
    std::int64_t total = 0;
    for (const auto& [id, needed] : needs.counts) {
        if (!offer(id).owned || needed == 0) continue;
        if (offer(id).limit && needed > *offer(id).limit) return -1;
        total += amounts(offer(id), 0, needed).net;
    }
    for (const auto& [id, terms] : suppliers_) {
        const std::int64_t order = order_cost(id, needs);
        if (order < 0) return -1;
        total += order;
    }
    return total;
}

} // namespace aumbry::test
