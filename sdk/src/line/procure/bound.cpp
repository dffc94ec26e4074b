#include "line/procure/bound.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <set>

namespace aumbry::procurement {

namespace {

constexpr double infinite = std::numeric_limits<double>::infinity();
constexpr double tiny = 1e-6;
constexpr std::int64_t most_counts =
    400; // up to which the least price of a count is found one by one
constexpr std::size_t most_bands = 10;
constexpr std::int64_t load_states = 8; // of several loads, for a supplier with bands of mass
constexpr std::size_t few_combinations =
    40; // of one bundle; beyond, totals are better where they can be had
constexpr std::size_t most_combinations = 600; // of one bundle
constexpr std::int64_t most_total = 300;       // of one offer in a bundle

double as_double(std::int64_t value) {
    return static_cast<double>(value);
}

// What an amount without tax adds to the cost.
double tax_factor(const Model& model, Decimal percent) {
    return model.problem->tax_is_cost ? 1 + percent.to_double() / 100 : 1;
}

// Project money without tax for one minor unit as the seller lists it.
double listed_factor(const Model& model, const Seller& seller, Decimal tax_percent) {
    double factor = 1;
    if (seller.supplier->currency != model.problem->currency)
        factor = seller.rate.to_double() *
                 std::pow(10.0, model.problem->currency.digits - seller.supplier->currency.digits);
    if (seller.supplier->tax_included) factor /= 1 + tax_percent.to_double() / 100;
    return factor;
}

bool rounds(const Model& model, const Seller& seller) {
    return seller.supplier->currency != model.problem->currency || seller.supplier->tax_included;
}

// Least and greatest figures of one use of an offer, when others may buy the same.
class UsePrices {
  public:
    UsePrices(const Model& model, const Pricer& pricer) : model_(model), pricer_(pricer) {
        std::vector<std::map<std::size_t, std::int64_t>> most(
            model.offers.size()); // offer -> demand -> count
        for (std::size_t d = 0; d < model.demands.size(); ++d)
            for (const Way& way : model.demands[d].ways) {
                std::map<std::size_t, std::int64_t> counts;
                for (const Use& use : way.uses) counts[use.offer] += use.count;
                for (const auto& [offer, count] : counts)
                    most[offer][d] = std::max(most[offer][d], count);
            }
        for (const auto& by_demand : most) {
            std::int64_t sum = 0;
            for (const auto& [demand, count] : by_demand) sum = std::min(sum + count, no_limit);
            totals_.push_back(sum);
            shared_.push_back(by_demand.size() > 1);
        }
        ratios_.resize(model.offers.size());
    }

    // What `counts` of an offer (by quantity) cost at least, without tax.
    double least(std::size_t offer_at,
                 const std::vector<std::pair<std::size_t, std::int64_t>>& counts) {
        const Offer& offer = model_.offers[offer_at];
        if (!shared_[offer_at]) return as_double(pricer_.cheapest(offer_at, counts).net);
        std::int64_t count = 0;
        for (const auto& [quantity, part] : counts) count += part;
        if (offer.quantities.size() == 1 && totals_[offer_at] <= most_counts)
            return as_double(count) * ratio(offer_at, count);
        const Seller& seller = model_.suppliers[offer.supplier];
        double lowest = infinite;
        for (const OfferTerms::Break& tier : offer.tiers)
            if (tier.from <= offer.limit) lowest = std::min(lowest, tier.price.to_double());
        const Currency& listed =
            seller.supplier ? seller.supplier->currency : model_.problem->currency;
        double sum = 0;
        for (const auto& [quantity, part] : counts)
            sum += lowest * offer.quantities[quantity].to_double() * as_double(part) *
                   std::pow(10.0, listed.digits);
        const double factor =
            seller.supplier ? listed_factor(model_, seller, offer.tax_percent) : 1;
        return std::max(0.0,
                        sum * factor - 2 * as_double(static_cast<std::int64_t>(counts.size())));
    }

    // What it adds at most to the goods as listed.
    double listed(std::size_t offer_at,
                  const std::vector<std::pair<std::size_t, std::int64_t>>& counts) const {
        const Offer& offer = model_.offers[offer_at];
        double highest = 0;
        for (const OfferTerms::Break& tier : offer.tiers)
            highest = std::max(highest, tier.price.to_double());
        const Seller& seller = model_.suppliers[offer.supplier];
        double quantity_sum = 0;
        double most_quantity = 0;
        std::int64_t count = 0;
        for (const auto& [quantity, part] : counts) {
            const double of = offer.quantities[quantity].to_double();
            quantity_sum += of * as_double(part);
            most_quantity = std::max(most_quantity, of);
            count += part;
        }
        if (count < offer.least) quantity_sum += most_quantity * as_double(offer.least - count);
        return highest * quantity_sum * std::pow(10.0, seller.supplier->currency.digits) + 1;
    }

  private:
    // Least cost of one, when at least `count` are bought: any count from there to all that could
    // be.
    double ratio(std::size_t offer, std::int64_t count) {
        std::vector<double>& ratios = ratios_[offer];
        if (ratios.empty()) {
            const auto most = static_cast<std::size_t>(totals_[offer]);
            ratios.assign(most + 2, infinite);
            for (std::size_t n = most; n >= 1; --n) {
                ratios[n] = ratios[n + 1];
                const Pricer::Cheapest cheapest =
                    pricer_.cheapest(offer, {{0, static_cast<std::int64_t>(n)}});
                if (cheapest.possible)
                    ratios[n] =
                        std::min(ratios[n], as_double(cheapest.net) / static_cast<double>(n));
            }
        }
        return ratios[static_cast<std::size_t>(count)];
    }

    const Model& model_;
    const Pricer& pricer_;
    std::vector<std::int64_t> totals_; // by offer: of all demands at most
    std::vector<bool> shared_;
    std::vector<std::vector<double>> ratios_;
};

// What a way buys of each offer of one supplier, by quantity.
using Counts = std::map<std::size_t, std::map<std::size_t, std::int64_t>>;

std::vector<std::pair<std::size_t, std::int64_t>>
as_list(const std::map<std::size_t, std::int64_t>& counts) {
    return {counts.begin(), counts.end()};
}

/// Full loads of the last band and the rest in a band of its own: charge as listed, and the mass up
/// to which it holds. The last stands for all that is heavier.
template <class Open>
void open_loads(const DeliveryConditions& delivery, const Open& open) {
    const MassBand& last = delivery.by_mass.back();
    if (!last.up_to) return;
    const auto bands = static_cast<std::int64_t>(delivery.by_mass.size());
    const std::int64_t most_loads = std::max<std::int64_t>(1, load_states / bands);
    for (std::int64_t loads = 1; loads < most_loads; ++loads)
        for (const MassBand& band : delivery.by_mass)
            open(loads * last.cost.minor() + std::min(band.cost.minor(), last.cost.minor()),
                 band.up_to ? std::optional(static_cast<double>(loads) * *last.up_to + *band.up_to)
                            : std::nullopt);
    open(most_loads * last.cost.minor(), std::nullopt);
}

} // namespace

Bound::Bound(const Model& model, const Pricer& pricer, std::optional<int> most_suppliers)
    : model_(model), most_suppliers_(most_suppliers), own_(model.demands.size()),
      bundles_(model.suppliers.size()), states_(model.suppliers.size()) {
    read_ways(pricer);
    read_bundles(pricer);
    read_states(pricer);
}

const Way& Bound::model_way(std::size_t flat) const {
    const std::size_t demand = ways_[flat].demand;
    return model_.demands[demand].ways[flat - first_[demand]];
}

void Bound::read_ways(const Pricer& pricer) {
    std::map<std::size_t, Stock> stocks;
    for (std::size_t d = 0; d < model_.demands.size(); ++d) {
        first_.push_back(ways_.size());
        for (const Way& way : model_.demands[d].ways) {
            const std::size_t flat = ways_.size();
            Counts counts;
            for (const Use& use : way.uses) counts[use.offer][use.quantity] += use.count;
            double least = 0;
            for (const auto& [offer_at, of] : counts) {
                const Offer& offer = model_.offers[offer_at];
                std::int64_t count = 0;
                for (const auto& [quantity, part] : of) count += part;
                least += as_double(pricer.cheapest(offer_at, as_list(of)).net) *
                         tax_factor(model_, offer.tax_percent);
                if (offer.limit == no_limit) continue;
                Stock& stock = stocks[offer_at];
                stock.limit = offer.limit;
                stock.counts.emplace_back(flat, count);
                if (stock.demands.empty() || stock.demands.back() != d) stock.demands.push_back(d);
            }
            ways_.push_back({d, least});
            if (way.suppliers.empty()) own_[d].push_back(flat);
        }
    }
    first_.push_back(ways_.size());
    for (auto& [offer, stock] : stocks)
        if (stock.demands.size() > 1) stocks_.push_back(std::move(stock));
}

void Bound::read_bundles(const Pricer& pricer) {
    UsePrices shared(model_, pricer);
    // What each way asks of each of its suppliers, owned stock counted with the first.
    struct Asked {
        Counts counts;
        std::int64_t cuts = 0;
    };
    std::vector<std::map<std::size_t, Asked>> asked(ways_.size());
    for (std::size_t flat = 0; flat < ways_.size(); ++flat) {
        const Way& way = model_way(flat);
        if (way.suppliers.empty()) continue;
        for (const std::size_t s : way.suppliers) (void)asked[flat][s];
        for (const Use& use : way.uses) {
            const std::size_t s = model_.offers[use.offer].supplier;
            asked[flat][s == owned ? way.suppliers.front() : s].counts[use.offer][use.quantity] +=
                use.count;
        }
        for (const Cuts& cuts : way.cuts) asked[flat][cuts.supplier].cuts += cuts.count;
    }
    const auto cuts_cost = [&](std::size_t s, std::int64_t count) {
        if (count == 0) return 0.0;
        const Seller& seller = model_.suppliers[s];
        const double listed = price_per_cut(*seller.supplier).to_double() * as_double(count) *
                              std::pow(10.0, seller.supplier->currency.digits);
        const Decimal percent = seller.supplier->tax_percent;
        return std::max(
            0.0, listed * listed_factor(model_, seller, percent) * tax_factor(model_, percent) - 1);
    };
    // Figures of ways together, exact for what they buy; alone: at the least it can cost whatever
    // others buy.
    const auto combine = [&](std::size_t s, const std::vector<std::size_t>& flats, bool alone,
                             Combination& combination) {
        Counts sum;
        std::int64_t cuts = 0;
        for (const std::size_t flat : flats) {
            const Asked& of = asked[flat].at(s);
            for (const auto& [offer, counts] : of.counts)
                for (const auto& [quantity, count] : counts) sum[offer][quantity] += count;
            cuts += of.cuts;
        }
        combination.cost = cuts_cost(s, cuts);
        for (const auto& [offer_at, by_quantity] : sum) {
            const Offer& offer = model_.offers[offer_at];
            const auto counts = as_list(by_quantity);
            std::int64_t count = 0;
            for (const auto& [quantity, part] : counts) count += part;
            const Pricer::Cheapest cheapest = pricer.cheapest(offer_at, counts);
            if (!cheapest.possible) return false;
            combination.cost += (alone ? shared.least(offer_at, counts) : as_double(cheapest.net)) *
                                tax_factor(model_, offer.tax_percent);
            if (offer.terms->service || offer.supplier == owned) continue;
            combination.goods = true;
            combination.oversize = combination.oversize || offer.oversize;
            combination.listed +=
                alone ? shared.listed(offer_at, counts) : as_double(cheapest.most_listed);
            combination.mass += offer.terms->mass_kg * as_double(count);
        }
        return true;
    };
    // A way of several suppliers carries its demand's price in proportion to what each gets, to
    // begin with.
    parts_.resize(ways_.size());
    price_count_ = model_.demands.size();
    for (std::size_t flat = 0; flat < ways_.size(); ++flat) {
        const auto& suppliers = model_way(flat).suppliers;
        std::vector<double> costs;
        double sum = 0;
        for (const std::size_t s : suppliers) {
            Combination combination;
            (void)combine(s, {flat}, true, combination);
            costs.push_back(combination.cost + 1);
            sum += costs.back();
        }
        double left = 1;
        for (std::size_t i = 0; i < suppliers.size(); ++i) {
            Part part;
            part.flat = flat;
            const bool last = i + 1 == suppliers.size();
            part.share = last ? left : costs[i] / sum;
            left -= part.share;
            if (i > 0) part.to_previous = parts_[flat].back().from_next;
            if (!last) part.from_next = price_count_++;
            parts_[flat].push_back(part);
        }
    }
    const auto part_at = [&](std::size_t flat, std::size_t s) {
        const auto& suppliers = model_way(flat).suppliers;
        const auto at = std::find(suppliers.begin(), suppliers.end(), s) - suppliers.begin();
        return parts_[flat][static_cast<std::size_t>(at)];
    };
    // A bundle by totals, when every way buys one and the same offer here and beside it only owned
    // stock and cuts.
    const auto add_totals = [&](const std::vector<std::size_t>& demands,
                                std::map<std::size_t, std::vector<std::size_t>>& ways_here,
                                std::size_t s) {
        std::optional<std::size_t> common;
        std::int64_t most = 0;
        Bundle bundle{demands, {}, {}, {}};
        for (const std::size_t demand : demands) {
            std::int64_t most_here = 0;
            bundle.items.emplace_back();
            for (const std::size_t flat : ways_here[demand]) {
                const Asked& of = asked[flat].at(s);
                Bundle::Item item{part_at(flat, s), 0, cuts_cost(s, of.cuts)};
                for (const auto& [offer, counts] : of.counts) {
                    if (model_.offers[offer].supplier == owned) {
                        item.cost += shared.least(offer, as_list(counts));
                        continue;
                    }
                    if (model_.offers[offer].quantities.size() > 1 || (common && *common != offer))
                        return false;
                    common = offer;
                    item.count = counts.begin()->second;
                }
                most_here = std::max(most_here, item.count);
                bundle.items.back().push_back(item);
            }
            most += most_here;
        }
        if (!common || most > most_total) return false;
        const Offer& offer = model_.offers[*common];
        for (std::int64_t total = 0; total <= most; ++total) {
            Combination combination;
            if (total > 0) {
                const Pricer::Cheapest cheapest = pricer.cheapest(*common, {{0, total}});
                bundle.totals.emplace_back();
                if (!cheapest.possible) continue;
                combination.cost = as_double(cheapest.net) * tax_factor(model_, offer.tax_percent);
                if (!offer.terms->service) {
                    combination.goods = true;
                    combination.oversize = offer.oversize;
                    combination.listed = as_double(cheapest.most_listed);
                    combination.mass = offer.terms->mass_kg * as_double(total);
                }
                bundle.totals.back() = std::move(combination);
            } else {
                bundle.totals.emplace_back(std::move(combination));
            }
        }
        bundles_[s].push_back(std::move(bundle));
        return true;
    };
    for (std::size_t s = 1; s < model_.suppliers.size(); ++s) {
        // Demands that can buy the same offer here belong together.
        std::map<std::size_t, std::vector<std::size_t>> ways_here; // demand -> flat ways
        for (std::size_t flat = 0; flat < ways_.size(); ++flat)
            if (asked[flat].count(s)) ways_here[ways_[flat].demand].push_back(flat);
        std::map<std::size_t, std::size_t> group; // demand -> first demand of its group
        std::map<std::size_t, std::size_t> group_of_offer;
        for (const auto& [demand, flats] : ways_here) {
            group[demand] = demand;
            for (const std::size_t flat : flats)
                for (const auto& [offer, counts] : asked[flat].at(s).counts) {
                    const auto [known, is_new] = group_of_offer.emplace(offer, group[demand]);
                    if (is_new || known->second == group[demand]) continue;
                    const std::size_t from = group[demand];
                    const std::size_t to = known->second;
                    for (auto& [other, of] : group)
                        if (of == from) of = to;
                    for (auto& [other, of] : group_of_offer)
                        if (of == from) of = to;
                }
        }
        std::map<std::size_t, std::vector<std::size_t>> members;
        for (const auto& [demand, of] : group) members[of].push_back(demand);
        for (const auto& [first, demands] : members) {
            std::size_t count = 1;
            for (const std::size_t demand : demands)
                count = std::min(count * (ways_here[demand].size() + 1), most_combinations + 2);
            if (count > few_combinations && add_totals(demands, ways_here, s)) continue;
            if (count > most_combinations + 1) {
                for (const std::size_t demand : demands) {
                    Bundle bundle{{demand}, {}, {}, {}};
                    for (const std::size_t flat : ways_here[demand]) {
                        Combination combination;
                        if (!combine(s, {flat}, true, combination)) continue;
                        combination.parts = {part_at(flat, s)};
                        bundle.combinations.push_back(std::move(combination));
                    }
                    bundles_[s].push_back(std::move(bundle));
                }
                continue;
            }
            Bundle bundle{demands, {}, {}, {}};
            std::vector<std::size_t> pick(demands.size(), 0); // 0: elsewhere
            for (std::size_t step = 1; step < count; ++step) {
                for (std::size_t i = 0; i < pick.size(); ++i) {
                    pick[i] = pick[i] == ways_here[demands[i]].size() ? 0 : pick[i] + 1;
                    if (pick[i] != 0) break;
                }
                std::vector<std::size_t> flats;
                for (std::size_t i = 0; i < pick.size(); ++i)
                    if (pick[i] != 0) flats.push_back(ways_here[demands[i]][pick[i] - 1]);
                Combination combination;
                if (!combine(s, flats, false, combination)) continue;
                for (const std::size_t flat : flats) combination.parts.push_back(part_at(flat, s));
                bundle.combinations.push_back(std::move(combination));
            }
            bundles_[s].push_back(std::move(bundle));
        }
    }
}

void Bound::read_states(const Pricer& pricer) {
    for (std::size_t s = 0; s < model_.suppliers.size(); ++s) {
        std::vector<BoundState>& states = states_[s];
        states.push_back({BoundState::Kind::closed});
        if (s == owned) continue;
        const Seller& seller = model_.suppliers[s];
        const Supplier& supplier = *seller.supplier;
        const DeliveryConditions& delivery = supplier.delivery;
        const double tax = tax_factor(model_, supplier.tax_percent);
        const double per_listed = listed_factor(model_, seller, supplier.tax_percent) * tax;
        // Exact amounts are rounded: how much less than computed here an order can cost.
        double slack = rounds(model_, seller) ? 2 : 0;
        if (model_.problem->tax_is_cost) {
            std::set<Decimal> rates{supplier.tax_percent};
            for (const Offer& offer : model_.offers)
                if (offer.supplier == s) rates.insert(offer.tax_percent);
            slack += 0.5 * static_cast<double>(rates.size());
        }
        bool any_oversize = false;
        bool all_goods = true;
        const auto see = [&](const Combination& combination) {
            any_oversize = any_oversize || combination.oversize;
            all_goods = all_goods && combination.goods;
        };
        for (const Bundle& bundle : bundles_[s]) {
            for (const Combination& combination : bundle.combinations) see(combination);
            for (const auto& of_demand : bundle.items)
                for (const Bundle::Item& item : of_demand)
                    if (const auto& total = bundle.totals[static_cast<std::size_t>(item.count)])
                        see(*total);
        }
        if (!all_goods) states.push_back({BoundState::Kind::no_goods, false, -slack});
        std::vector<BoundState::Rule> base;
        if (supplier.minimum_order && supplier.minimum_order->minor() > 0)
            base.push_back({false, as_double(supplier.minimum_order->minor()), per_listed, false});
        const auto open = [&](bool oversize, double fixed, std::vector<BoundState::Rule> rules) {
            states.push_back({BoundState::Kind::open, oversize, fixed, 1e300, std::move(rules)});
        };
        const auto charge = [&](std::int64_t listed) {
            return as_double(pricer.net_of(listed, seller, supplier.tax_percent)) * tax;
        };
        if (delivery.collect) open(true, as_double(pricer.collecting_cost(seller)) - slack, base);
        if (!delivery.delivers()) continue;
        for (const bool oversize : {false, true}) {
            if (oversize && !any_oversize) break;
            const double extra = (oversize ? charge(delivery.oversize->extra.minor()) : 0) - slack;
            const bool allows = oversize || !delivery.oversize;
            if (delivery.free_from) {
                std::vector<BoundState::Rule> rules = base;
                rules.push_back({false, as_double(delivery.free_from->minor()), per_listed, true});
                open(allows, extra, std::move(rules));
            }
            if (delivery.by_mass.empty()) {
                open(allows, charge(delivery.flat->minor()) + extra, base);
            } else if (delivery.by_mass.size() > most_bands) {
                double least = infinite;
                for (const MassBand& band : delivery.by_mass)
                    least = std::min(least, charge(band.cost.minor()));
                open(allows, least + extra, base);
            } else {
                for (const MassBand& band : delivery.by_mass) {
                    std::vector<BoundState::Rule> rules = base;
                    const double fixed = charge(band.cost.minor()) + extra;
                    if (band.up_to)
                        rules.push_back({true, -*band.up_to - tiny, std::max(fixed, 1.0), true});
                    open(allows, fixed, std::move(rules));
                    if (band.up_to) states.back().most_mass = *band.up_to + tiny;
                }
                open_loads(delivery, [&](std::int64_t listed, std::optional<double> most) {
                    std::vector<BoundState::Rule> rules = base;
                    const double fixed = charge(listed) + extra;
                    if (most) rules.push_back({true, -*most - tiny, std::max(fixed, 1.0), true});
                    open(allows, fixed, std::move(rules));
                    if (most) states.back().most_mass = *most + tiny;
                });
            }
        }
    }
}

double Bound::price_of(const Part& part, const std::vector<double>& prices) const {
    double price = part.share * prices[ways_[part.flat].demand];
    if (part.from_next != none) price += prices[part.from_next];
    if (part.to_previous != none) price -= prices[part.to_previous];
    return price;
}

std::vector<double> Bound::first_prices() const {
    std::vector<double> prices(price_count_, 0);
    for (std::size_t d = 0; d < model_.demands.size(); ++d) {
        prices[d] = infinite;
        for (std::size_t flat = first_[d]; flat < first_[d + 1]; ++flat)
            prices[d] = std::min(prices[d], ways_[flat].least);
    }
    return prices;
}

Domain Bound::whole() const {
    Domain domain;
    domain.ways.assign(ways_.size(), 1);
    for (const auto& states : states_) domain.states.push_back((1U << states.size()) - 1);
    return domain;
}

bool Bound::allowed(const BoundState& state, const Combination& combination) {
    if (state.kind == BoundState::Kind::no_goods) return !combination.goods;
    return (state.allows_oversize || !combination.oversize) && combination.mass <= state.most_mass;
}

double Bound::part_of(const Combination& combination, const BoundState::Rule* rule) {
    if (!rule) return 0;
    return rule->by_mass ? -combination.mass : combination.listed;
}

bool Bound::propagate(Domain& domain) const {
    Market market;
    const std::vector<double> no_prices(price_count_, 0);
    for (bool changed = true; changed;) {
        changed = false;
        const auto drop = [&](std::size_t flat) {
            if (domain.ways[flat] == 0) return;
            domain.ways[flat] = 0;
            changed = true;
        };
        // Suppliers that some demand cannot do without.
        std::vector<bool> needed(states_.size(), false);
        for (std::size_t d = 0; d + 1 < first_.size(); ++d) {
            std::vector<std::size_t> common;
            bool first = true;
            for (std::size_t flat = first_[d]; flat < first_[d + 1]; ++flat) {
                if (domain.ways[flat] == 0) continue;
                const Way& way = model_way(flat);
                if (first)
                    common = way.suppliers;
                else
                    std::erase_if(common, [&](std::size_t s) {
                        return !std::binary_search(way.suppliers.begin(), way.suppliers.end(), s);
                    });
                first = false;
            }
            if (first) return false;
            for (const std::size_t s : common) needed[s] = true;
        }
        for (std::size_t s = 1; s < states_.size(); ++s) {
            std::uint32_t& mask = domain.states[s];
            const std::uint32_t before = mask;
            if (needed[s]) mask &= ~1U;
            open_market(s, domain, no_prices, false, market);
            bool goods = false;
            bool oversize = false;
            bool any = false;
            for (std::size_t r = 1; r < states_[s].size(); ++r) {
                if ((mask >> r & 1U) == 0) continue;
                const BoundState& state = states_[s][r];
                for (const BoundState::Rule& rule : state.rules) {
                    if (!rule.hard || rule.by_mass) continue;
                    double sum = 0;
                    std::size_t at = 0;
                    for (const std::size_t end : market.ends) {
                        double most = 0;
                        for (; at < end; ++at)
                            if (allowed(state, *market.open[at].combination))
                                most = std::max(most, market.open[at].combination->listed);
                        sum += most;
                    }
                    if (sum + tiny < rule.at_least) mask &= ~(1U << r);
                }
                if ((mask >> r & 1U) == 0) continue;
                any = true;
                if (state.kind == BoundState::Kind::open) {
                    goods = true;
                    oversize = oversize || state.allows_oversize;
                }
            }
            if (mask == 0) return false;
            changed = changed || mask != before;
            if (!any || !goods || !oversize) {
                const auto cannot = [&](const Combination& combination) {
                    return !any || (combination.goods && !goods) ||
                           (combination.oversize && !oversize);
                };
                for (const Bundle& bundle : bundles_[s]) {
                    for (const Combination& combination : bundle.combinations)
                        if (combination.parts.size() == 1 && cannot(combination))
                            drop(combination.parts.front().flat);
                    for (const auto& of_demand : bundle.items)
                        for (const Bundle::Item& item : of_demand) {
                            const auto& total = bundle.totals[static_cast<std::size_t>(item.count)];
                            if (!total || cannot(*total)) drop(item.part.flat);
                        }
                }
            }
        }
        for (const Stock& stock : stocks_) {
            // A demand with a way that leaves this stock alone need not take of it.
            std::map<std::size_t, std::int64_t> least;
            std::int64_t sum = 0;
            for (const std::size_t demand : stock.demands) {
                std::int64_t lowest = no_limit;
                for (std::size_t flat = first_[demand]; flat < first_[demand + 1]; ++flat) {
                    if (domain.ways[flat] == 0) continue;
                    const auto found = std::lower_bound(stock.counts.begin(), stock.counts.end(),
                                                        std::pair(flat, std::int64_t{0}));
                    lowest = std::min(lowest, found == stock.counts.end() || found->first != flat
                                                  ? 0
                                                  : found->second);
                }
                least[demand] = lowest;
                sum += lowest;
            }
            if (sum > stock.limit) return false;
            for (const auto& [flat, count] : stock.counts)
                if (domain.ways[flat] != 0 && sum - least[ways_[flat].demand] + count > stock.limit)
                    drop(flat);
        }
    }
    return true;
}

void Bound::open_market(std::size_t supplier, const Domain& domain,
                        const std::vector<double>& prices, bool all, Market& market) const {
    market.made.clear();
    market.open.clear();
    market.ends.clear();
    market.bundles.clear();
    for (std::size_t b = 0; b < bundles_[supplier].size(); ++b) {
        const Bundle& bundle = bundles_[supplier][b];
        const std::size_t before = market.open.size();
        for (const Combination& combination : bundle.combinations) {
            Open open{combination.cost, &combination};
            bool possible = true;
            for (const Part& part : combination.parts) {
                possible = possible && domain.ways[part.flat] != 0;
                open.reduced -= price_of(part, prices);
            }
            if (possible) market.open.push_back(open);
        }
        if (!bundle.items.empty()) {
            open_totals(bundle, domain, prices, std::nullopt, std::nullopt, market);
            for (std::size_t d = 0; all && d < bundle.items.size(); ++d) {
                open_totals(bundle, domain, prices, d, std::nullopt, market);
                for (std::size_t w = 0; w < bundle.items[d].size(); ++w)
                    open_totals(bundle, domain, prices, d, w, market);
            }
        }
        if (market.open.size() == before) continue;
        market.ends.push_back(market.open.size());
        market.bundles.push_back(b);
    }
}

// For each total of the common offer the best of what takes as much; one demand may be held to a
// way or, without one, be left out.
void Bound::open_totals(const Bundle& bundle, const Domain& domain,
                        const std::vector<double>& prices, std::optional<std::size_t> demand,
                        std::optional<std::size_t> way, Market& market) const {
    const std::size_t size = bundle.totals.size();
    std::vector<double> least(size, infinite);
    least[0] = 0;
    std::vector<double> next;
    std::vector<std::vector<std::size_t>>
        taken; // by demand and total: 0, or the item counted from 1
    for (std::size_t d = 0; d < bundle.items.size(); ++d) {
        const bool held = demand && *demand == d;
        if (held && way)
            next.assign(size, infinite);
        else
            next = least;
        taken.emplace_back(size, 0);
        for (std::size_t i = 0; i < bundle.items[d].size(); ++i) {
            const Bundle::Item& item = bundle.items[d][i];
            if (domain.ways[item.part.flat] == 0 || (held && (!way || *way != i))) continue;
            const double cost = item.cost - price_of(item.part, prices);
            const auto count = static_cast<std::size_t>(item.count);
            for (std::size_t to = count; to < size; ++to) {
                if (least[to - count] + cost >= next[to]) continue;
                next[to] = least[to - count] + cost;
                taken[d][to] = i + 1;
            }
        }
        least.swap(next);
    }
    for (std::size_t total = 0; total < size; ++total) {
        if (least[total] == infinite || !bundle.totals[total]) continue;
        Combination combination = *bundle.totals[total];
        std::size_t left = total;
        for (std::size_t d = bundle.items.size(); d-- > 0;) {
            const std::size_t i = taken[d][left];
            if (i == 0) continue;
            combination.parts.push_back(bundle.items[d][i - 1].part);
            left -= static_cast<std::size_t>(bundle.items[d][i - 1].count);
        }
        if (combination.parts.empty()) continue;
        const double reduced = least[total] + combination.cost;
        market.made.push_back(std::move(combination));
        market.open.push_back({reduced, &market.made.back()});
    }
}

// Fixed cost of a state and what pays to take, with one rule set aside at a price. The slope is
// what the value gains for each unit of that price. A supplier that is used meets at least one
// demand.
double Bound::value_at(const Market& market, const BoundState& state, const BoundState::Rule* rule,
                       double price, double& slope, std::vector<const Combination*>* taken) {
    double value = state.fixed;
    slope = 0;
    if (rule) {
        value += price * rule->at_least;
        slope = rule->at_least;
    }
    double nearest = infinite;
    const Combination* nearest_at = nullptr;
    bool any = false;
    std::size_t at = 0;
    for (const std::size_t end : market.ends) {
        double best = infinite;
        const Combination* best_at = nullptr;
        for (; at < end; ++at) {
            const Open& open = market.open[at];
            const double cost = open.reduced - price * part_of(*open.combination, rule);
            if (cost >= best || !allowed(state, *open.combination)) continue;
            best = cost;
            best_at = open.combination;
        }
        if (best < 0) {
            any = true;
            value += best;
            slope -= part_of(*best_at, rule);
            if (taken) taken->push_back(best_at);
        } else if (best < nearest) {
            nearest = best;
            nearest_at = best_at;
        }
    }
    if (!any) {
        value += nearest;
        if (nearest_at) {
            slope -= part_of(*nearest_at, rule);
            if (taken) taken->push_back(nearest_at);
        }
    }
    return value;
}

Bound::Valued Bound::value_of(const Market& market, const BoundState& state) {
    double slope = 0;
    Valued best{value_at(market, state, nullptr, 0, slope, nullptr), nullptr, 0};
    if (best.value == infinite) return best;
    for (const BoundState::Rule& rule : state.rules) {
        (void)value_at(market, state, &rule, 0, slope, nullptr);
        if (slope <= 0) continue; // it holds by itself
        best.binding = true;
        double low = 0;
        double high = rule.most_price;
        for (int step = 0; step < 9; ++step) {
            const double middle = step == 0 ? high : (low + high) / 2;
            const double value = value_at(market, state, &rule, middle, slope, nullptr);
            if (value > best.value) {
                best.value = value;
                best.rule = &rule;
                best.price = middle;
            }
            (slope > 0 ? low : high) = middle;
            if (low >= high) break;
        }
    }
    return best;
}

double Bound::count_out(const Market& market, const BoundState& state, const BoundState::Rule& rule,
                        std::vector<const Combination*>* taken) {
    constexpr std::size_t steps = 100;
    const double step = std::abs(rule.at_least) / static_cast<double>(steps);
    if (!(step > 0)) return -infinite;
    // Least reduced cost by steps reached: of mass rounded down, at most all of them; of goods
    // rounded up, where all of them and more count as all.
    std::vector<double> least(steps + 1, infinite);
    least[0] = 0;
    std::vector<double> next;
    struct Move {
        const Combination* combination = nullptr;
        std::size_t from = 0;
    };
    std::vector<std::vector<Move>> trace; // by bundle and step reached
    double nearest = infinite;
    const Combination* nearest_at = nullptr;
    std::size_t at = 0;
    for (const std::size_t end : market.ends) {
        next = least;
        if (taken) {
            trace.emplace_back(steps + 1);
            for (std::size_t to = 0; to <= steps; ++to) trace.back()[to].from = to;
        }
        for (; at < end; ++at) {
            const Combination& combination = *market.open[at].combination;
            if (!allowed(state, combination)) continue;
            const double cost = market.open[at].reduced;
            const double exact = (rule.by_mass ? combination.mass : combination.listed) / step;
            const double rounded = rule.by_mass ? std::floor(exact) : std::ceil(exact);
            if (rule.by_mass && rounded > static_cast<double>(steps)) continue;
            if (cost < nearest) {
                nearest = cost;
                nearest_at = &combination;
            }
            if (cost >= 0 && (rule.by_mass || rounded <= 0)) continue;
            const auto weight =
                static_cast<std::size_t>(std::min(rounded, static_cast<double>(steps)));
            for (std::size_t from = 0; from <= steps; ++from) {
                if (least[from] == infinite) continue;
                if (rule.by_mass && from + weight > steps) break;
                const std::size_t to = std::min(from + weight, steps);
                if (least[from] + cost >= next[to]) continue;
                next[to] = least[from] + cost;
                if (taken) trace.back()[to] = {&combination, from};
            }
        }
        least.swap(next);
    }
    double best = infinite;
    std::size_t reached = 0;
    for (std::size_t to = rule.hard && !rule.by_mass ? steps : 0; to <= steps; ++to) {
        const double missing = rule.by_mass ? 0 : rule.at_least - static_cast<double>(to) * step;
        const double value = least[to] + (missing > 0 ? rule.most_price * missing : 0);
        if (value >= best) continue;
        best = value;
        reached = to;
    }
    if (rule.by_mass && best >= 0) { // a supplier that is used meets at least one demand
        if (taken && nearest_at) taken->push_back(nearest_at);
        return state.fixed + nearest;
    }
    if (taken && best < infinite) {
        for (std::size_t b = trace.size(); b-- > 0;) {
            const Move& move = trace[b][reached];
            if (move.combination) taken->push_back(move.combination);
            reached = move.from;
        }
    }
    return state.fixed + best;
}

// Counts out the rules of a state that do not hold by themselves; the strongest stands.
void Bound::sharpen(const Market& market, const BoundState& state, Valued& valued) {
    for (const BoundState::Rule& rule : state.rules) {
        const double value = count_out(market, state, rule, nullptr);
        if (value <= valued.value) continue;
        valued.value = value;
        valued.exact = &rule;
    }
    valued.binding = false;
}

void Bound::relax(const Domain& domain, const std::vector<double>& prices, bool all,
                  Relaxed& relaxed) const {
    relaxed.value = 0;
    for (std::size_t d = 0; d + 1 < first_.size(); ++d) {
        double least = prices[d];
        for (const std::size_t flat : own_[d])
            if (domain.ways[flat] != 0) least = std::min(least, ways_[flat].least);
        relaxed.value += least;
    }
    relaxed.markets.resize(states_.size());
    relaxed.valued.resize(states_.size());
    relaxed.state.assign(states_.size(), 0);
    struct Gain {
        double value;
        std::size_t supplier;
    };
    std::vector<Gain> may;
    int must = 0;
    for (std::size_t s = 1; s < states_.size(); ++s) {
        open_market(s, domain, prices, all, relaxed.markets[s]);
        relaxed.valued[s].assign(states_[s].size(), {});
        for (std::size_t r = 1; r < states_[s].size(); ++r) {
            if ((domain.states[s] >> r & 1U) == 0) continue;
            relaxed.valued[s][r] = value_of(relaxed.markets[s], states_[s][r]);
            relaxed.work += static_cast<std::int64_t>(relaxed.markets[s].open.size() + 1);
        }
        // The state of least value; its rules are counted out, which may make another the least.
        double best = infinite;
        for (bool sharp = false; !sharp;) {
            best = infinite;
            for (std::size_t r = 1; r < states_[s].size(); ++r) {
                if ((domain.states[s] >> r & 1U) == 0 || relaxed.valued[s][r].value >= best)
                    continue;
                best = relaxed.valued[s][r].value;
                relaxed.state[s] = r;
            }
            Valued& least = relaxed.valued[s][relaxed.state[s]];
            sharp =
                best == infinite || !least.binding || (best >= 0 && (domain.states[s] & 1U) != 0);
            if (!sharp) sharpen(relaxed.markets[s], states_[s][relaxed.state[s]], least);
        }
        if ((domain.states[s] & 1U) == 0) {
            relaxed.value += best;
            ++must;
        } else if (best < 0) {
            may.push_back({best, s});
        } else {
            relaxed.state[s] = 0;
        }
    }
    std::size_t most = may.size();
    if (most_suppliers_) {
        if (must > *most_suppliers_) relaxed.value = infinite;
        most = std::min(most, static_cast<std::size_t>(std::max(*most_suppliers_ - must, 0)));
        std::stable_sort(may.begin(), may.end(),
                         [](const Gain& a, const Gain& b) { return a.value < b.value; });
    }
    for (std::size_t i = 0; i < may.size(); ++i) {
        if (i < most)
            relaxed.value += may[i].value;
        else
            relaxed.state[may[i].supplier] = 0;
    }
}

// Takes out states and ways that cannot lead below the target at these prices: what the relaxation
// would cost with them.
void Bound::fix(Domain& domain, const std::vector<double>& prices, double target,
                Relaxed& relaxed) const {
    relax(domain, prices, true, relaxed);
    const double room = target - 1 + tiny - relaxed.value;
    if (!(room > 0) || relaxed.value == infinite) return;
    const std::size_t demands = model_.demands.size();
    const auto counted = [&](std::size_t s) {
        return relaxed.state[s] == 0 ? 0.0 : relaxed.valued[s][relaxed.state[s]].value;
    };
    // By supplier: the least value with a way taken, and without a demand.
    std::vector<std::vector<double>> without(states_.size());
    std::vector<std::map<std::size_t, double>> with(states_.size());
    std::vector<double> losses(demands, 0);
    for (std::size_t s = 1; s < states_.size(); ++s) {
        const bool may_close = (domain.states[s] & 1U) != 0;
        without[s].assign(demands, counted(s));
        std::vector<double> best_without(demands, may_close ? 0 : infinite);
        std::vector<bool> here(demands, false);
        const Market& market = relaxed.markets[s];
        for (std::size_t r = 1; r < states_[s].size(); ++r) {
            if ((domain.states[s] >> r & 1U) == 0) continue;
            const BoundState& state = states_[s][r];
            const Valued& of = relaxed.valued[s][r];
            if (of.value == infinite) continue;
            // The value before the rule that something must be taken, which what follows replaces.
            double sum = state.fixed + (of.rule ? of.price * of.rule->at_least : 0);
            std::vector<double> bests;
            std::size_t at = 0;
            for (const std::size_t end : market.ends) {
                double best = 0;
                for (; at < end; ++at)
                    if (allowed(state, *market.open[at].combination))
                        best = std::min(
                            best, market.open[at].reduced -
                                      of.price * part_of(*market.open[at].combination, of.rule));
                bests.push_back(best);
                sum += best;
            }
            at = 0;
            for (std::size_t b = 0; b < market.ends.size(); ++b) {
                const Bundle& bundle = bundles_[s][market.bundles[b]];
                std::vector<double> elsewhere(bundle.demands.size(), 0);
                for (; at < market.ends[b]; ++at) {
                    const Combination& combination = *market.open[at].combination;
                    if (!allowed(state, combination)) continue;
                    const double cost =
                        market.open[at].reduced - of.price * part_of(combination, of.rule);
                    for (const Part& part : combination.parts) {
                        const double value = std::max(sum - bests[b] + cost, of.value);
                        const auto [entry, is_new] = with[s].try_emplace(part.flat, value);
                        if (!is_new) entry->second = std::min(entry->second, value);
                    }
                    for (std::size_t i = 0; i < bundle.demands.size(); ++i) {
                        const bool touches =
                            std::any_of(combination.parts.begin(), combination.parts.end(),
                                        [&](const Part& part) {
                                            return ways_[part.flat].demand == bundle.demands[i];
                                        });
                        if (!touches) elsewhere[i] = std::min(elsewhere[i], cost);
                    }
                }
                for (std::size_t i = 0; i < bundle.demands.size(); ++i) {
                    const std::size_t d = bundle.demands[i];
                    here[d] = true;
                    best_without[d] = std::min(best_without[d],
                                               std::max(sum - bests[b] + elsewhere[i], of.value));
                }
            }
        }
        if (most_suppliers_) continue; // who is used depends on all of them: leave this out
        for (std::size_t d = 0; d < demands; ++d) {
            if (!here[d] || best_without[d] == infinite) continue;
            without[s][d] = std::max(counted(s), best_without[d]);
            losses[d] += without[s][d] - counted(s);
        }
    }
    for (std::size_t s = 1; s < states_.size(); ++s) {
        for (std::size_t r = 0; r < states_[s].size(); ++r) {
            if ((domain.states[s] >> r & 1U) == 0) continue;
            const double value = r == 0 ? 0 : relaxed.valued[s][r].value;
            if (most_suppliers_ && (relaxed.state[s] == 0 ? value < 0 : r == 0)) continue;
            if (value - counted(s) > room) domain.states[s] &= ~(1U << r);
        }
    }
    for (std::size_t flat = 0; flat < ways_.size(); ++flat) {
        if (domain.ways[flat] == 0) continue;
        const std::size_t d = ways_[flat].demand;
        double more = losses[d];
        double own = 0; // what a way without a supplier gains
        for (const std::size_t other : own_[d])
            if (domain.ways[other] != 0) own = std::min(own, ways_[other].least - prices[d]);
        const auto& suppliers = model_way(flat).suppliers;
        if (suppliers.empty())
            more += ways_[flat].least - prices[d] - own;
        else
            more -= own;
        bool known = true;
        for (const std::size_t s : suppliers) {
            const auto entry = with[s].find(flat);
            if (entry == with[s].end()) {
                more = infinite; // no state allows it
                break;
            }
            if (most_suppliers_ && relaxed.state[s] == 0 && entry->second < 0) known = false;
            more += entry->second - counted(s) - (without[s][d] - counted(s));
        }
        if (known && more > room) domain.ways[flat] = 0;
    }
}

Bound::Result Bound::evaluate(Domain& domain, std::vector<double>& prices, int iterations,
                              double target) const {
    const std::size_t demands = model_.demands.size();
    Result result;
    result.value = -infinite;
    result.often.assign(ways_.size(), 0);
    result.state.assign(states_.size(), 0);
    result.uncertainty.assign(states_.size(), 0);
    std::vector<std::vector<double>> turns(states_.size());
    for (std::size_t s = 0; s < states_.size(); ++s) turns[s].assign(states_[s].size(), 0);
    std::vector<double> best_prices = prices;
    std::vector<const Combination*> taken;
    std::vector<double> gaps(price_count_); // by price: what moving it up by one would gain
    Relaxed relaxed;
    const bool known = target < 1e17;
    double pace = 1;
    int since = 0;
    double weights = 0;
    for (int iteration = 0; iteration < iterations; ++iteration) {
        relax(domain, prices, false, relaxed);
        result.work = relaxed.work;
        if (relaxed.value > result.value) {
            since = 0;
            result.value = relaxed.value;
            best_prices = prices;
            result.state = relaxed.state;
        } else if (++since >= 6) {
            pace /= 2;
            since = 0;
            if (pace < 0.01) break;
            prices = best_prices;
            continue;
        }
        if (result.value > target - 1 + tiny) {
            result.value = infinite;
            return result;
        }
        // What this solution takes, and how often each demand.
        std::fill(gaps.begin(), gaps.end(), 0.0);
        const double weight = 1 + iteration; // late iterations tell more
        weights += weight;
        for (std::size_t d = 0; d < demands; ++d) {
            gaps[d] += 1;
            double least = prices[d];
            std::size_t at = ways_.size();
            for (const std::size_t flat : own_[d])
                if (domain.ways[flat] != 0 && ways_[flat].least < least) {
                    least = ways_[flat].least;
                    at = flat;
                }
            if (at == ways_.size()) continue;
            gaps[d] -= 1;
            result.often[at] += weight;
        }
        for (std::size_t s = 1; s < states_.size(); ++s) {
            turns[s][relaxed.state[s]] += weight;
            if (relaxed.state[s] == 0) continue;
            const Valued& of = relaxed.valued[s][relaxed.state[s]];
            taken.clear();
            const BoundState& state = states_[s][relaxed.state[s]];
            double slope = 0;
            if (of.exact)
                (void)count_out(relaxed.markets[s], state, *of.exact, &taken);
            else
                (void)value_at(relaxed.markets[s], state, of.rule, of.price, slope, &taken);
            for (const Combination* combination : taken)
                for (const Part& part : combination->parts) {
                    gaps[ways_[part.flat].demand] -= part.share;
                    if (part.from_next != none) gaps[part.from_next] -= 1;
                    if (part.to_previous != none) gaps[part.to_previous] += 1;
                    result.often[part.flat] += weight * part.share;
                }
        }
        double norm = 0;
        for (const double gap : gaps) norm += gap * gap;
        if (norm < 1e-9) break;
        const double aim = known ? target : result.value * 1.05 + 1;
        const double step = pace * (aim - relaxed.value) / norm;
        for (std::size_t i = 0; i < price_count_; ++i) prices[i] += step * gaps[i];
    }
    prices = best_prices;
    for (double& of : result.often) of /= std::max(weights, 1.0);
    for (std::size_t s = 1; s < states_.size(); ++s)
        result.uncertainty[s] = std::max(
            0.0, 1 - *std::max_element(turns[s].begin(), turns[s].end()) / std::max(weights, 1.0));
    if (known) fix(domain, prices, target, relaxed);
    return result;
}

} // namespace aumbry::procurement
