#include "procure_bound.hpp"

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
constexpr std::size_t most_bands = 12;

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

} // namespace

Bound::Bound(const Model& model, const Pricer& pricer, std::optional<int> most_suppliers)
    : model_(model), most_suppliers_(most_suppliers), entries_(model.suppliers.size()),
      loose_(model.demands.size()), states_(model.suppliers.size()) {
    read_ways(pricer);
    read_states(pricer);
}

const Way& Bound::model_way(std::size_t flat) const {
    const std::size_t demand = ways_[flat].demand;
    return model_.demands[demand].ways[flat - first_[demand]];
}

void Bound::read_ways(const Pricer& pricer) {
    UsePrices prices(model_, pricer);
    std::map<std::size_t, std::map<std::size_t, std::vector<std::pair<std::size_t, std::int64_t>>>>
        by_offer;
    for (std::size_t d = 0; d < model_.demands.size(); ++d) {
        first_.push_back(ways_.size());
        for (const Way& way : model_.demands[d].ways) {
            const std::size_t flat = ways_.size();
            BoundWay bound;
            bound.demand = d;
            std::map<std::size_t, std::vector<std::pair<std::size_t, std::int64_t>>> counts;
            for (const Use& use : way.uses) counts[use.offer].emplace_back(use.quantity, use.count);
            for (const auto& [offer_at, of] : counts) {
                const Offer& offer = model_.offers[offer_at];
                std::int64_t count = 0;
                for (const auto& [quantity, part] : of) count += part;
                bound.least += prices.least(offer_at, of) * tax_factor(model_, offer.tax_percent);
                if (offer.limit < no_limit) by_offer[offer_at][d].emplace_back(flat, count);
                if (offer.terms->service || offer.supplier == owned) continue;
                bound.goods = true;
                bound.oversize = bound.oversize || offer.oversize;
                bound.listed += prices.listed(offer_at, of);
                bound.mass += offer.terms->mass_kg * as_double(count);
            }
            for (const Cuts& cuts : way.cuts) {
                const Seller& seller = model_.suppliers[cuts.supplier];
                const double listed = price_per_cut(*seller.supplier).to_double() *
                                      as_double(cuts.count) *
                                      std::pow(10.0, seller.supplier->currency.digits);
                const double net =
                    listed * listed_factor(model_, seller, seller.supplier->tax_percent);
                bound.least +=
                    std::max(0.0, net * tax_factor(model_, seller.supplier->tax_percent) - 1);
            }
            if (way.suppliers.size() == 1)
                entries_[way.suppliers[0]].push_back(
                    {flat, d, bound.least, bound.listed, bound.mass, bound.goods, bound.oversize});
            else
                loose_[d].push_back(flat);
            ways_.push_back(bound);
        }
    }
    first_.push_back(ways_.size());
    for (auto& [offer, by_demand] : by_offer) {
        if (by_demand.size() < 2) continue;
        Stock stock{model_.offers[offer].limit, {}};
        for (auto& [demand, counts] : by_demand)
            stock.counts.insert(stock.counts.end(), counts.begin(), counts.end());
        stocks_.push_back(std::move(stock));
    }
}

void Bound::read_states(const Pricer& pricer) {
    // What ways of several suppliers could add to each of them.
    std::vector<double> beside(model_.suppliers.size(), 0);
    has_loose_.assign(model_.suppliers.size(), false);
    for (const auto& of_demand : loose_) {
        std::vector<double> most(model_.suppliers.size(), 0);
        for (const std::size_t flat : of_demand)
            for (const std::size_t s : model_way(flat).suppliers) {
                most[s] = std::max(most[s], ways_[flat].listed);
                has_loose_[s] = true;
            }
        for (std::size_t s = 0; s < most.size(); ++s) beside[s] += most[s];
    }
    for (std::size_t s = 0; s < model_.suppliers.size(); ++s) {
        std::vector<BoundState>& states = states_[s];
        states.push_back({BoundState::Kind::closed, true, 0, {}});
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
            slack += 0.5 * static_cast<double>(rates.size()) + 1;
        }
        const bool any_oversize = std::any_of(entries_[s].begin(), entries_[s].end(),
                                              [](const Entry& entry) { return entry.oversize; });
        const bool all_goods =
            !has_loose_[s] && std::all_of(entries_[s].begin(), entries_[s].end(),
                                          [](const Entry& entry) { return entry.goods; });
        if (!all_goods) states.push_back({BoundState::Kind::no_goods, false, -slack, {}});
        std::vector<BoundState::Rule> base;
        if (supplier.minimum_order && supplier.minimum_order->minor() > 0)
            base.push_back(
                {false, as_double(supplier.minimum_order->minor()) - beside[s], per_listed, false});
        if (delivery.collect)
            states.push_back({BoundState::Kind::open, true,
                              as_double(pricer.collecting_cost(seller)) - slack, base});
        if (!delivery.delivers()) continue;
        const auto charge = [&](std::int64_t listed) {
            return as_double(pricer.net_of(listed, seller, supplier.tax_percent)) * tax;
        };
        for (const bool oversize : {false, true}) {
            if (oversize && !any_oversize && !has_loose_[s]) break;
            const double extra =
                oversize && delivery.oversize ? charge(delivery.oversize->extra.minor()) : 0;
            if (delivery.free_from) {
                std::vector<BoundState::Rule> rules = base;
                rules.push_back(
                    {false, as_double(delivery.free_from->minor()) - beside[s], per_listed, true});
                states.push_back(
                    {BoundState::Kind::open, oversize, extra - slack, std::move(rules)});
            }
            if (delivery.by_mass.empty()) {
                states.push_back({BoundState::Kind::open, oversize,
                                  charge(delivery.flat->minor()) + extra - slack, base});
            } else if (delivery.by_mass.size() > most_bands) {
                double least = infinite;
                for (const MassBand& band : delivery.by_mass)
                    least = std::min(least, charge(band.cost.minor()));
                states.push_back({BoundState::Kind::open, oversize, least + extra - slack, base});
            } else {
                for (const MassBand& band : delivery.by_mass) {
                    std::vector<BoundState::Rule> rules = base;
                    const double fixed = charge(band.cost.minor()) + extra - slack;
                    if (band.up_to) rules.push_back({true, -*band.up_to - tiny, fixed + 1, true});
                    states.push_back({BoundState::Kind::open, oversize, fixed, std::move(rules)});
                }
                const MassBand& last = delivery.by_mass.back();
                if (last.up_to) // several loads
                    states.push_back({BoundState::Kind::open, oversize,
                                      charge(last.cost.minor()) + extra - slack, base});
            }
            if (!delivery.oversize) {
                // Without an extra, long goods make no difference.
                for (BoundState& state : states) state.allows_oversize = true;
                break;
            }
        }
        if (has_loose_[s])
            for (BoundState& state : states) state.allows_oversize = true;
    }
}

Domain Bound::whole() const {
    Domain domain;
    domain.ways.assign(ways_.size(), 1);
    for (const auto& states : states_) domain.states.push_back((1U << states.size()) - 1);
    return domain;
}

namespace {

bool allowed(const BoundState& state, bool goods, bool oversize) {
    switch (state.kind) {
    case BoundState::Kind::closed:
        return false;
    case BoundState::Kind::no_goods:
        return !goods;
    case BoundState::Kind::open:
        return state.allows_oversize || !oversize;
    }
    return false;
}

} // namespace

bool Bound::propagate(Domain& domain) const {
    for (bool changed = true; changed;) {
        changed = false;
        const auto drop = [&](std::size_t flat) {
            if (domain.ways[flat] == 0) return;
            domain.ways[flat] = 0;
            changed = true;
        };
        // Suppliers that some demand cannot do without, and the mass that must come from them.
        std::vector<bool> needed(states_.size(), false);
        std::vector<double> mass(states_.size(), 0);
        for (std::size_t d = 0; d + 1 < first_.size(); ++d) {
            std::vector<std::size_t> common;
            bool first = true;
            double least_mass = infinite;
            bool single = true;
            for (std::size_t flat = first_[d]; flat < first_[d + 1]; ++flat) {
                if (domain.ways[flat] == 0) continue;
                const Way& way = model_way(flat);
                if (first) {
                    common = way.suppliers;
                } else {
                    std::erase_if(common, [&](std::size_t s) {
                        return !std::binary_search(way.suppliers.begin(), way.suppliers.end(), s);
                    });
                }
                first = false;
                single = single && way.suppliers.size() == 1;
                least_mass = std::min(least_mass, ways_[flat].mass);
            }
            if (first) return false;
            for (const std::size_t s : common) {
                needed[s] = true;
                if (single) mass[s] += least_mass;
            }
        }
        for (std::size_t s = 0; s < states_.size(); ++s) {
            std::uint32_t& mask = domain.states[s];
            const std::uint32_t before = mask;
            if (needed[s]) mask &= ~1U;
            bool goods = false;
            bool oversize = false;
            bool any = false;
            for (std::size_t r = 0; r < states_[s].size(); ++r) {
                if ((mask >> r & 1U) == 0) continue;
                const BoundState& state = states_[s][r];
                for (const BoundState::Rule& rule : state.rules) {
                    if (!rule.hard) continue;
                    double sum = 0;
                    if (rule.by_mass) {
                        sum = -mass[s];
                    } else {
                        double most = 0;
                        std::size_t demand = model_.demands.size();
                        for (const Entry& entry : entries_[s]) {
                            if (domain.ways[entry.flat] == 0 ||
                                !allowed(state, entry.goods, entry.oversize))
                                continue;
                            if (entry.demand != demand) {
                                sum += most;
                                most = 0;
                                demand = entry.demand;
                            }
                            most = std::max(most, entry.listed);
                        }
                        sum += most;
                    }
                    if (sum + tiny < rule.at_least) mask &= ~(1U << r);
                }
                if ((mask >> r & 1U) == 0 || state.kind == BoundState::Kind::closed) continue;
                any = true;
                if (state.kind == BoundState::Kind::open) {
                    goods = true;
                    oversize = oversize || state.allows_oversize;
                }
            }
            if (mask == 0) return false;
            changed = changed || mask != before;
            for (const Entry& entry : entries_[s])
                if (!any || (entry.goods && !goods) || (entry.oversize && !oversize))
                    drop(entry.flat);
            if (!any) {
                for (const auto& of_demand : loose_)
                    for (const std::size_t flat : of_demand) {
                        const auto& suppliers = model_way(flat).suppliers;
                        if (std::binary_search(suppliers.begin(), suppliers.end(), s)) drop(flat);
                    }
            }
        }
        for (const Stock& stock : stocks_) {
            // Counts are grouped by demand; a demand with a way that leaves this stock alone needs
            // none of it.
            std::map<std::size_t, std::int64_t> least;
            for (const auto& [flat, count] : stock.counts) least.emplace(ways_[flat].demand, 0);
            std::int64_t sum = 0;
            for (auto& [demand, of] : least) {
                std::int64_t lowest = no_limit;
                for (std::size_t flat = first_[demand]; flat < first_[demand + 1]; ++flat) {
                    if (domain.ways[flat] == 0) continue;
                    const auto found =
                        std::find_if(stock.counts.begin(), stock.counts.end(),
                                     [&](const auto& entry) { return entry.first == flat; });
                    lowest = std::min(lowest, found == stock.counts.end() ? 0 : found->second);
                }
                of = lowest;
                sum += of;
            }
            if (sum > stock.limit) return false;
            for (const auto& [flat, count] : stock.counts)
                if (domain.ways[flat] != 0 && sum - least[ways_[flat].demand] + count > stock.limit)
                    drop(flat);
        }
    }
    return true;
}

// Fixed cost of a state and the reduced costs of what pays to take, with one rule set aside at a
// price. The slope is what the value gains for each unit of that price.
double Bound::state_sum(std::size_t supplier, const BoundState& state, const Domain& domain,
                        const std::vector<double>& prices, const BoundState::Rule* rule,
                        double price, double& slope, std::vector<double>* reduced,
                        std::vector<std::size_t>* taken) const {
    double value = state.fixed;
    slope = 0;
    if (rule) {
        value += price * rule->at_least;
        slope = rule->at_least;
    }
    double nearest = infinite;
    std::size_t nearest_flat = 0;
    double best = 0;
    double best_part = 0;
    std::size_t best_flat = 0;
    std::size_t demand = model_.demands.size();
    const auto close = [&] {
        if (best < 0) {
            value += best;
            slope -= best_part;
            if (reduced) (*reduced)[demand] = best;
            if (taken) taken->push_back(best_flat);
        }
    };
    bool any = false;
    for (const Entry& entry : entries_[supplier]) {
        if (domain.ways[entry.flat] == 0 || !allowed(state, entry.goods, entry.oversize)) continue;
        if (entry.demand != demand) {
            close();
            any = any || best < 0;
            best = 0;
            demand = entry.demand;
        }
        const double part = !rule ? 0 : rule->by_mass ? -entry.mass : entry.listed;
        const double cost = entry.least - prices[entry.demand] - price * part;
        if (cost < best) {
            best = cost;
            best_part = part;
            best_flat = entry.flat;
        }
        if (cost < nearest) {
            nearest = cost;
            nearest_flat = entry.flat;
        }
    }
    close();
    any = any || best < 0;
    // A supplier that is used meets at least one demand.
    if (!any && !has_loose_[supplier]) {
        value += nearest;
        if (taken && nearest < infinite) taken->push_back(nearest_flat);
    }
    return value;
}

Bound::Valued Bound::value_state(std::size_t supplier, const BoundState& state,
                                 const Domain& domain, const std::vector<double>& prices) const {
    if (state.kind == BoundState::Kind::closed) return {0, 0, -1};
    double slope = 0;
    Valued best{state_sum(supplier, state, domain, prices, nullptr, 0, slope, nullptr, nullptr), 0,
                -1};
    if (best.value == infinite) return best;
    for (std::size_t i = 0; i < state.rules.size(); ++i) {
        const BoundState::Rule& rule = state.rules[i];
        double low = 0;
        double high = rule.most_price;
        (void)state_sum(supplier, state, domain, prices, &rule, 0, slope, nullptr, nullptr);
        if (slope <= 0) continue;
        for (int step = 0; step < 9; ++step) {
            const double middle = step == 0 ? high : (low + high) / 2;
            const double value =
                state_sum(supplier, state, domain, prices, &rule, middle, slope, nullptr, nullptr);
            if (value > best.value) best = {value, middle, static_cast<int>(i)};
            if (slope > 0)
                low = middle;
            else
                high = middle;
            if (low >= high) break;
        }
    }
    return best;
}

double Bound::relax(const Domain& domain, const std::vector<double>& prices,
                    std::vector<std::vector<Valued>>& valued,
                    std::vector<std::size_t>& state) const {
    double value = 0;
    for (std::size_t d = 0; d + 1 < first_.size(); ++d) {
        double least = prices[d];
        for (const std::size_t flat : loose_[d])
            if (domain.ways[flat] != 0) least = std::min(least, ways_[flat].least);
        value += least;
    }
    valued.resize(states_.size());
    state.assign(states_.size(), 0);
    struct Open {
        double gain;
        std::size_t supplier;
    };
    std::vector<Open> may;
    int must = 0;
    for (std::size_t s = 0; s < states_.size(); ++s) {
        valued[s].resize(states_[s].size());
        double best = infinite;
        std::size_t at = 0;
        for (std::size_t r = 1; r < states_[s].size(); ++r) {
            if ((domain.states[s] >> r & 1U) == 0) continue;
            valued[s][r] = value_state(s, states_[s][r], domain, prices);
            if (valued[s][r].value < best) {
                best = valued[s][r].value;
                at = r;
            }
        }
        if ((domain.states[s] & 1U) == 0) {
            if (best == infinite) return infinite;
            value += best;
            state[s] = at;
            ++must;
        } else if (best < 0) {
            may.push_back({best, s});
            state[s] = at;
        }
    }
    std::size_t most = may.size();
    if (most_suppliers_) {
        if (must > *most_suppliers_) return infinite;
        most = std::min(most, static_cast<std::size_t>(*most_suppliers_ - must));
        std::stable_sort(may.begin(), may.end(),
                         [](const Open& a, const Open& b) { return a.gain < b.gain; });
    }
    for (std::size_t i = 0; i < may.size(); ++i) {
        if (i < most)
            value += may[i].gain;
        else
            state[may[i].supplier] = 0;
    }
    return value;
}

// Takes out states and ways that cannot lead below the target at these prices.
void Bound::fix(Domain& domain, const std::vector<double>& prices, double target) const {
    std::vector<std::vector<Valued>> valued;
    std::vector<std::size_t> state;
    const double value = relax(domain, prices, valued, state);
    const double room = target - 1 + tiny - value;
    if (!(room > 0) || value == infinite) return;
    const std::size_t demands = model_.demands.size();
    const auto value_of = [&](std::size_t s) {
        return state[s] == 0 ? 0.0 : valued[s][state[s]].value;
    };
    // By supplier and state: what each demand contributes; by supplier: the loss when a demand goes
    // elsewhere.
    std::vector<std::vector<std::vector<double>>> parts(states_.size());
    std::vector<std::vector<double>> losses(states_.size(), std::vector<double>(demands, 0));
    std::vector<double> sum_of_losses(demands, 0);
    for (std::size_t s = 0; s < states_.size(); ++s) {
        parts[s].resize(states_[s].size());
        std::vector<double> without(demands, (domain.states[s] & 1U) != 0 ? 0 : infinite);
        for (std::size_t r = 1; r < states_[s].size(); ++r) {
            if ((domain.states[s] >> r & 1U) == 0 || valued[s][r].value == infinite) continue;
            parts[s][r].assign(demands, 0);
            const Valued& of = valued[s][r];
            double slope = 0;
            (void)state_sum(s, states_[s][r], domain, prices,
                            of.rule >= 0 ? &states_[s][r].rules[static_cast<std::size_t>(of.rule)]
                                         : nullptr,
                            of.price, slope, &parts[s][r], nullptr);
            for (std::size_t d = 0; d < demands; ++d)
                without[d] = std::min(without[d], of.value - parts[s][r][d]);
        }
        if (most_suppliers_) continue; // who is open depends on all of them: leave this out
        for (std::size_t d = 0; d < demands; ++d) {
            if (without[d] == infinite) without[d] = value_of(s);
            losses[s][d] = std::max(0.0, without[d] - value_of(s));
            sum_of_losses[d] += losses[s][d];
        }
    }
    for (std::size_t d = 0; d < demands; ++d) {
        double least = 0;
        for (const std::size_t flat : loose_[d])
            if (domain.ways[flat] != 0) least = std::min(least, ways_[flat].least - prices[d]);
        for (const std::size_t flat : loose_[d])
            if (domain.ways[flat] != 0 &&
                ways_[flat].least - prices[d] - least + sum_of_losses[d] > room)
                domain.ways[flat] = 0;
    }
    for (std::size_t s = 0; s < states_.size(); ++s) {
        // What opening costs when another may have to make room for it is at least nothing more
        // than not to use it.
        const double now = most_suppliers_ ? std::max(0.0, value_of(s)) : value_of(s);
        const double base = most_suppliers_ && state[s] != 0 ? value_of(s) : now;
        for (std::size_t r = 0; r < states_[s].size(); ++r) {
            if ((domain.states[s] >> r & 1U) == 0) continue;
            const double other = r == 0 ? 0 : valued[s][r].value;
            if (most_suppliers_ && (state[s] == 0 ? other < 0 : r == 0)) continue;
            if (other - base > room) domain.states[s] &= ~(1U << r);
        }
        for (const Entry& entry : entries_[s]) {
            if (domain.ways[entry.flat] == 0) continue;
            double least = infinite;
            for (std::size_t r = 1; r < states_[s].size(); ++r) {
                if (parts[s][r].empty() || !allowed(states_[s][r], entry.goods, entry.oversize))
                    continue;
                const Valued& of = valued[s][r];
                double cost = entry.least - prices[entry.demand];
                if (of.rule >= 0) {
                    const BoundState::Rule& rule =
                        states_[s][r].rules[static_cast<std::size_t>(of.rule)];
                    cost -= of.price * (rule.by_mass ? -entry.mass : entry.listed);
                }
                // Where the state's value counts the nearest way for want of a better one, this
                // adds it again.
                double value_now = of.value;
                if (std::all_of(parts[s][r].begin(), parts[s][r].end(),
                                [](double part) { return part == 0; }))
                    value_now = std::min(value_now, fixed_value(states_[s][r], of));
                least = std::min(least, value_now + cost - parts[s][r][entry.demand]);
            }
            if (most_suppliers_ && state[s] == 0 && least < 0) continue;
            const double more =
                least - base + (sum_of_losses[entry.demand] - losses[s][entry.demand]);
            if (more > room) domain.ways[entry.flat] = 0;
        }
    }
}

// The value of a state before anything is taken.
double Bound::fixed_value(const BoundState& state, const Valued& valued) {
    double value = state.fixed;
    if (valued.rule >= 0)
        value += valued.price * state.rules[static_cast<std::size_t>(valued.rule)].at_least;
    return value;
}

Bound::Result Bound::evaluate(Domain& domain, std::vector<double>& prices, int iterations,
                              double target) const {
    const std::size_t demands = model_.demands.size();
    Result result;
    result.value = -infinite;
    result.often.assign(ways_.size(), 0);
    result.state.assign(states_.size(), 0);
    std::vector<std::vector<double>> turns(states_.size());
    for (std::size_t s = 0; s < states_.size(); ++s) turns[s].assign(states_[s].size(), 0);
    std::vector<double> best_prices = prices;
    std::vector<std::vector<Valued>> valued;
    std::vector<std::size_t> state;
    std::vector<std::size_t> taken;
    std::vector<double> copies(demands);
    double pace = 1.0;
    int since = 0;
    double weight_sum = 0;
    for (int iteration = 0; iteration < iterations; ++iteration) {
        const double value = relax(domain, prices, valued, state);
        if (value > result.value) {
            if (value > result.value + std::abs(value) * 1e-6) since = 0;
            result.value = value;
            best_prices = prices;
            result.state = state;
        } else if (++since >= 8) {
            pace /= 2;
            since = 0;
            prices = best_prices;
            if (pace < 0.01) break;
            continue;
        }
        if (result.value > target - 1 + tiny) {
            result.value = infinite;
            return result;
        }
        // What this solution takes, how often each demand.
        std::fill(copies.begin(), copies.end(), 0.0);
        const double weight = 1 + iteration; // late iterations tell more
        weight_sum += weight;
        for (std::size_t d = 0; d < demands; ++d) {
            double least = prices[d];
            std::size_t at = ways_.size();
            for (const std::size_t flat : loose_[d])
                if (domain.ways[flat] != 0 && ways_[flat].least < least) {
                    least = ways_[flat].least;
                    at = flat;
                }
            if (at == ways_.size()) continue;
            copies[d] += 1;
            result.often[at] += weight;
        }
        for (std::size_t s = 0; s < states_.size(); ++s) {
            turns[s][state[s]] += weight;
            if (state[s] == 0) continue;
            const Valued& of = valued[s][state[s]];
            const BoundState& open = states_[s][state[s]];
            taken.clear();
            double slope = 0;
            (void)state_sum(s, open, domain, prices,
                            of.rule >= 0 ? &open.rules[static_cast<std::size_t>(of.rule)] : nullptr,
                            of.price, slope, nullptr, &taken);
            for (const std::size_t flat : taken) {
                copies[ways_[flat].demand] += 1;
                result.often[flat] += weight;
            }
        }
        double norm = 0;
        for (const double of : copies) norm += (1 - of) * (1 - of);
        if (norm == 0) break;
        const double aim = target < 1e17 ? target : result.value * 1.05 + 1;
        const double step = pace * (aim * 1.002 - value) / norm;
        for (std::size_t d = 0; d < demands; ++d) prices[d] += step * (1 - copies[d]);
    }
    prices = best_prices;
    for (double& of : result.often) of /= std::max(weight_sum, 1.0);
    result.uncertainty.assign(states_.size(), 0);
    if (target < 1e17) fix(domain, prices, target);
    for (std::size_t s = 0; s < states_.size(); ++s) {
        double most = 0;
        double stake = 1;
        for (std::size_t r = 0; r < states_[s].size(); ++r) {
            most = std::max(most, turns[s][r]);
            if ((domain.states[s] >> r & 1U) != 0) stake = std::max(stake, states_[s][r].fixed);
        }
        result.uncertainty[s] = std::max(0.0, 1 - most / std::max(weight_sum, 1.0));
    }
    return result;
}

} // namespace aumbry::procurement
