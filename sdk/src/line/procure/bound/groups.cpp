// Reads the ways of a model by supplier: groups of demands and their combinations.
#include "line/procure/bound/use_cost.hpp"

#include <algorithm>
#include <cmath>

namespace aumbry::procurement {

namespace {

/// Up to so many combinations of a group are listed even where totals could be had.
constexpr std::size_t few_combinations = 40;
constexpr std::size_t max_combinations = 600;
constexpr std::int64_t max_total = 300; // of one offer in a group

/// What a way buys of each offer of one supplier, by quantity.
using Counts = std::map<std::size_t, std::map<std::size_t, std::int64_t>>;

CountsOfOffer as_list(const std::map<std::size_t, std::int64_t>& counts) {
    return {counts.begin(), counts.end()};
}

std::int64_t sum_of(const CountsOfOffer& counts) {
    std::int64_t sum = 0;
    for (const auto& [quantity, count] : counts) sum += count;
    return sum;
}

/// What a way asks of one of its suppliers; owned stock is counted with the first.
struct Asked {
    Counts counts;
    std::int64_t cuts = 0;
};

class GroupReader {
  public:
    GroupReader(RelaxedModel& relaxed, const Pricer& pricer)
        : relaxed_(relaxed), model_(*relaxed.model), pricer_(pricer), use_cost_(model_, pricer) {}

    void run() {
        read_asked();
        read_parts();
        for (std::size_t s = 1; s < model_.suppliers.size(); ++s) read_supplier(s);
    }

  private:
    using WaysByDemand = std::map<std::size_t, std::vector<std::size_t>>;

    void read_asked() {
        asked_.resize(relaxed_.ways.size());
        for (std::size_t flat = 0; flat < relaxed_.ways.size(); ++flat) {
            const Way& way = relaxed_.way(flat);
            if (way.suppliers.empty()) continue;
            auto& asked = asked_[flat];
            for (const std::size_t s : way.suppliers) (void)asked[s];
            for (const Use& use : way.uses) {
                const std::size_t s = model_.offers[use.offer].supplier;
                asked[s == owned ? way.suppliers.front() : s].counts[use.offer][use.quantity] +=
                    use.count;
            }
            for (const Cuts& cuts : way.cuts) asked[cuts.supplier].cuts += cuts.count;
        }
    }

    // A way of several suppliers carries the lambda of its demand in proportion to what each gets,
    // to begin with.
    void read_parts() {
        relaxed_.parts.resize(relaxed_.ways.size());
        relaxed_.multiplier_count = model_.demands.size();
        for (std::size_t flat = 0; flat < relaxed_.ways.size(); ++flat) {
            const auto& suppliers = relaxed_.way(flat).suppliers;
            std::vector<double> costs;
            double sum = 0;
            for (const std::size_t s : suppliers) {
                Combination combination;
                (void)combine(s, {flat}, true, combination);
                costs.push_back(combination.cost + 1);
                sum += costs.back();
            }
            std::vector<Part>& parts = relaxed_.parts[flat];
            double left = 1;
            for (std::size_t i = 0; i < suppliers.size(); ++i) {
                Part part;
                part.flat = flat;
                const bool last = i + 1 == suppliers.size();
                part.share = last ? left : costs[i] / sum;
                left -= part.share;
                if (i > 0) part.to_previous = parts.back().from_next;
                if (!last) part.from_next = relaxed_.multiplier_count++;
                parts.push_back(part);
            }
        }
    }

    void read_supplier(std::size_t s) {
        WaysByDemand ways_here;
        for (std::size_t flat = 0; flat < relaxed_.ways.size(); ++flat)
            if (asked_[flat].count(s)) ways_here[relaxed_.ways[flat].demand].push_back(flat);
        for (const std::vector<std::size_t>& demands : joined_demands(s, ways_here)) {
            std::size_t count = 1;
            for (const std::size_t demand : demands)
                count = std::min(count * (ways_here[demand].size() + 1), max_combinations + 2);
            if (count > few_combinations && add_by_total(s, demands, ways_here)) continue;
            if (count > max_combinations + 1)
                add_one_by_one(s, demands, ways_here);
            else
                add_by_combination(s, demands, ways_here, count);
        }
    }

    // Demands that can buy the same offer here belong together.
    std::vector<std::vector<std::size_t>> joined_demands(std::size_t s,
                                                         const WaysByDemand& ways_here) const {
        std::map<std::size_t, std::size_t> group; // demand -> first demand of its group
        std::map<std::size_t, std::size_t> group_of_offer;
        for (const auto& [demand, flats] : ways_here) {
            group[demand] = demand;
            for (const std::size_t flat : flats)
                for (const auto& [offer, counts] : asked_[flat].at(s).counts) {
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
        std::vector<std::vector<std::size_t>> joined;
        for (auto& [first, demands] : members) joined.push_back(std::move(demands));
        return joined;
    }

    // When every way buys one and the same offer here and beside it only owned stock and cuts;
    // false otherwise.
    bool add_by_total(std::size_t s, const std::vector<std::size_t>& demands,
                      const WaysByDemand& ways_here) {
        std::optional<std::size_t> common;
        std::int64_t total = 0;
        DemandGroup group{demands, {}, {}, {}};
        for (const std::size_t demand : demands) {
            std::int64_t max_here = 0;
            group.items.emplace_back();
            for (const std::size_t flat : ways_here.at(demand)) {
                const Asked& of = asked_[flat].at(s);
                DemandGroup::Item item{part_at(flat, s), 0, cuts_cost(s, of.cuts)};
                for (const auto& [offer, counts] : of.counts) {
                    if (model_.offers[offer].supplier == owned) {
                        item.cost += use_cost_.min(offer, as_list(counts));
                        continue;
                    }
                    if (model_.offers[offer].quantities.size() > 1 || (common && *common != offer))
                        return false;
                    common = offer;
                    item.count = counts.begin()->second;
                }
                max_here = std::max(max_here, item.count);
                group.items.back().push_back(item);
            }
            total = std::min(total + max_here, no_limit);
        }
        if (!common || total > max_total) return false;
        for (std::int64_t count = 0; count <= total; ++count)
            group.totals.push_back(total_of(*common, count));
        relaxed_.groups[s].push_back(std::move(group));
        return true;
    }

    std::optional<Combination> total_of(std::size_t offer_at, std::int64_t count) const {
        Combination combination;
        if (count == 0) return combination;
        const Offer& offer = model_.offers[offer_at];
        const Pricer::Cheapest cheapest = pricer_.cheapest(offer_at, {{0, count}});
        if (!cheapest.possible) return std::nullopt;
        combination.cost = as_double(cheapest.net) * tax_factor(model_, offer.tax_percent);
        if (!offer.terms->service) {
            combination.goods = true;
            combination.oversize = offer.oversize;
            combination.listed = as_double(cheapest.max_listed);
            combination.must_be_delivered = offer.quantities.front().must_be_delivered;
            combination.mass = offer.quantities.front().mass_kg * as_double(count);
        }
        return combination;
    }

    // Too many combinations: each demand alone, at the least it can cost whatever others buy.
    void add_one_by_one(std::size_t s, const std::vector<std::size_t>& demands,
                        const WaysByDemand& ways_here) {
        for (const std::size_t demand : demands) {
            DemandGroup group{{demand}, {}, {}, {}};
            for (const std::size_t flat : ways_here.at(demand)) {
                Combination combination;
                if (!combine(s, {flat}, true, combination)) continue;
                combination.parts = {part_at(flat, s)};
                group.combinations.push_back(std::move(combination));
            }
            relaxed_.groups[s].push_back(std::move(group));
        }
    }

    // `count` combinations, that of nothing among them.
    void add_by_combination(std::size_t s, const std::vector<std::size_t>& demands,
                            const WaysByDemand& ways_here, std::size_t count) {
        DemandGroup group{demands, {}, {}, {}};
        std::vector<std::size_t> pick(demands.size(), 0); // 0: elsewhere
        for (std::size_t step = 1; step < count; ++step) {
            for (std::size_t i = 0; i < pick.size(); ++i) {
                pick[i] = pick[i] == ways_here.at(demands[i]).size() ? 0 : pick[i] + 1;
                if (pick[i] != 0) break;
            }
            std::vector<std::size_t> flats;
            for (std::size_t i = 0; i < pick.size(); ++i)
                if (pick[i] != 0) flats.push_back(ways_here.at(demands[i])[pick[i] - 1]);
            Combination combination;
            if (!combine(s, flats, false, combination)) continue;
            for (const std::size_t flat : flats) combination.parts.push_back(part_at(flat, s));
            group.combinations.push_back(std::move(combination));
        }
        relaxed_.groups[s].push_back(std::move(group));
    }

    // Figures of ways together, exact for what they buy; alone: at the least it can cost whatever
    // others buy. False when there is not as much.
    bool combine(std::size_t s, const std::vector<std::size_t>& flats, bool alone,
                 Combination& combination) {
        Counts sum;
        std::int64_t cuts = 0;
        for (const std::size_t flat : flats) {
            const Asked& of = asked_[flat].at(s);
            for (const auto& [offer, counts] : of.counts)
                for (const auto& [quantity, count] : counts) sum[offer][quantity] += count;
            cuts += of.cuts;
        }
        combination.cost = cuts_cost(s, cuts);
        for (const auto& [offer_at, by_quantity] : sum) {
            const Offer& offer = model_.offers[offer_at];
            const CountsOfOffer counts = as_list(by_quantity);
            const Pricer::Cheapest cheapest = pricer_.cheapest(offer_at, counts);
            if (!cheapest.possible) return false;
            combination.cost +=
                (alone ? use_cost_.min(offer_at, counts) : as_double(cheapest.net)) *
                tax_factor(model_, offer.tax_percent);
            if (offer.terms->service || offer.supplier == owned) continue;
            combination.goods = true;
            combination.oversize = combination.oversize || offer.oversize;
            combination.listed +=
                alone ? use_cost_.max_listed(offer_at, counts) : as_double(cheapest.max_listed);
            for (const auto& [quantity, count] : counts) {
                const Measured& stated = offer.quantities[quantity];
                combination.mass += stated.mass_kg * as_double(count);
                combination.must_be_delivered =
                    combination.must_be_delivered || stated.must_be_delivered;
            }
        }
        return true;
    }

    double cuts_cost(std::size_t s, std::int64_t count) const {
        if (count == 0) return 0.0;
        const Seller& seller = model_.suppliers[s];
        const double listed = price_per_cut(*seller.supplier).to_double() * as_double(count) *
                              std::pow(10.0, seller.supplier->currency.digits);
        const Decimal percent = seller.supplier->tax_percent;
        return std::max(
            0.0, listed * listed_factor(model_, seller, percent) * tax_factor(model_, percent) - 1);
    }

    Part part_at(std::size_t flat, std::size_t s) const {
        const auto& suppliers = relaxed_.way(flat).suppliers;
        const auto at = std::find(suppliers.begin(), suppliers.end(), s) - suppliers.begin();
        return relaxed_.parts[flat][static_cast<std::size_t>(at)];
    }

    RelaxedModel& relaxed_;
    const Model& model_;
    const Pricer& pricer_;
    UseCost use_cost_;
    std::vector<std::map<std::size_t, Asked>> asked_; // by way, supplier
};

} // namespace

void read_groups(RelaxedModel& relaxed, const Pricer& pricer) {
    relaxed.groups.resize(relaxed.model->suppliers.size());
    GroupReader(relaxed, pricer).run();
}

void read_ways(RelaxedModel& relaxed, const Pricer& pricer) {
    const Model& model = *relaxed.model;
    relaxed.own_ways.resize(model.demands.size());
    std::map<std::size_t, RelaxedModel::Stock> stocks;
    for (std::size_t d = 0; d < model.demands.size(); ++d) {
        relaxed.first_way.push_back(relaxed.ways.size());
        for (const Way& way : model.demands[d].ways) {
            const std::size_t flat = relaxed.ways.size();
            Counts counts;
            for (const Use& use : way.uses) counts[use.offer][use.quantity] += use.count;
            double min_cost = 0;
            for (const auto& [offer_at, by_quantity] : counts) {
                const Offer& offer = model.offers[offer_at];
                const CountsOfOffer of = as_list(by_quantity);
                min_cost += as_double(pricer.cheapest(offer_at, of).net) *
                            tax_factor(model, offer.tax_percent);
                if (offer.limit == no_limit) continue;
                RelaxedModel::Stock& stock = stocks[offer_at];
                stock.limit = offer.limit;
                stock.counts.emplace_back(flat, sum_of(of));
                if (stock.demands.empty() || stock.demands.back() != d) stock.demands.push_back(d);
            }
            relaxed.ways.push_back({d, min_cost});
            if (way.suppliers.empty()) relaxed.own_ways[d].push_back(flat);
        }
    }
    relaxed.first_way.push_back(relaxed.ways.size());
    for (auto& [offer, stock] : stocks)
        if (stock.demands.size() > 1) relaxed.stocks.push_back(std::move(stock));
}

} // namespace aumbry::procurement
