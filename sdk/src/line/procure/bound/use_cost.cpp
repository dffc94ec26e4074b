#include "line/procure/bound/use_cost.hpp"

#include <algorithm>
#include <cmath>

namespace aumbry::procurement {

namespace {

/// Up to this total the least cost of each count is found one by one.
constexpr std::int64_t max_counts = 400;

} // namespace

UseCost::UseCost(const Model& model, const Pricer& pricer) : model_(model), pricer_(pricer) {
    // By offer: demand -> count at most.
    std::vector<std::map<std::size_t, std::int64_t>> max_count(model.offers.size());
    for (std::size_t d = 0; d < model.demands.size(); ++d)
        for (const Way& way : model.demands[d].ways) {
            std::map<std::size_t, std::int64_t> counts;
            for (const Use& use : way.uses) counts[use.offer] += use.count;
            for (const auto& [offer, count] : counts)
                max_count[offer][d] = std::max(max_count[offer][d], count);
        }
    for (const auto& by_demand : max_count) {
        std::int64_t sum = 0;
        for (const auto& [demand, count] : by_demand) sum = std::min(sum + count, no_limit);
        totals_.push_back(sum);
        shared_.push_back(by_demand.size() > 1);
    }
    min_each_.resize(model.offers.size());
}

double UseCost::min(std::size_t offer_at, const CountsOfOffer& counts) {
    const Offer& offer = model_.offers[offer_at];
    if (!shared_[offer_at]) return as_double(pricer_.cheapest(offer_at, counts).net);
    std::int64_t count = 0;
    for (const auto& [quantity, part] : counts) count += part;
    if (offer.quantities.size() == 1 && totals_[offer_at] <= max_counts)
        return as_double(count) * min_each(offer_at, count);
    const Seller& seller = model_.suppliers[offer.supplier];
    double lowest = infinite;
    for (const OfferTerms::Break& tier : offer.tiers)
        if (tier.from <= offer.limit) lowest = std::min(lowest, tier.price.to_double());
    const Currency& listed = seller.supplier ? seller.supplier->currency : model_.problem->currency;
    double sum = 0;
    for (const auto& [quantity, part] : counts)
        sum += lowest * offer.quantities[quantity].measure.to_double() * as_double(part) *
               std::pow(10.0, listed.digits);
    const double factor = seller.supplier ? listed_factor(model_, seller, offer.tax_percent) : 1;
    return std::max(0.0, sum * factor - 2 * as_double(static_cast<std::int64_t>(counts.size())));
}

double UseCost::max_listed(std::size_t offer_at, const CountsOfOffer& counts) const {
    const Offer& offer = model_.offers[offer_at];
    double highest = 0;
    for (const OfferTerms::Break& tier : offer.tiers)
        highest = std::max(highest, tier.price.to_double());
    const Seller& seller = model_.suppliers[offer.supplier];
    double quantity_sum = 0;
    double max_quantity = 0;
    std::int64_t count = 0;
    for (const auto& [quantity, part] : counts) {
        const double of = offer.quantities[quantity].measure.to_double();
        quantity_sum += of * as_double(part);
        max_quantity = std::max(max_quantity, of);
        count += part;
    }
    if (count < offer.min_count) quantity_sum += max_quantity * as_double(offer.min_count - count);
    return highest * quantity_sum * std::pow(10.0, seller.supplier->currency.digits) + 1;
}

// Least cost of one, when at least `count` are bought: any count from there to all that could be.
double UseCost::min_each(std::size_t offer, std::int64_t count) {
    std::vector<double>& each = min_each_[offer];
    if (each.empty()) {
        const auto total = static_cast<std::size_t>(totals_[offer]);
        each.assign(total + 2, infinite);
        for (std::size_t n = total; n >= 1; --n) {
            each[n] = each[n + 1];
            const Pricer::Cheapest cheapest =
                pricer_.cheapest(offer, {{0, static_cast<std::int64_t>(n)}});
            if (cheapest.possible)
                each[n] = std::min(each[n], as_double(cheapest.net) / static_cast<double>(n));
        }
    }
    return each[static_cast<std::size_t>(count)];
}

} // namespace aumbry::procurement
