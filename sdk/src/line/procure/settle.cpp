#include "line/procure/settle.hpp"

#include "aumbry/rounding.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <set>
#include <tuple>

namespace aumbry {
namespace {

using Suppliers = std::set<std::string>;
using Premiums = std::map<std::string, double>;

/// A way that costs less by no more than this is not asked for, in units of the currency.
constexpr double smallest_gain = 0.005;

/// A bound as high as this says that there is no way at all.
constexpr double no_way = 1e10;

/// Of one demand: beyond, only single suppliers and all of them together are looked at.
constexpr std::size_t most_in_all_sets = 3;

/// How many times modules are asked for ways.
std::size_t asks_for(const std::string& effort) {
    return effort == "thorough" ? 24 : 0; // less effort bounds what it has found
}

/// Every set of suppliers from which a demand could be bought.
std::vector<Suppliers> sets_of(const Suppliers& all, bool owned) {
    const std::vector<std::string> list(all.begin(), all.end());
    std::vector<Suppliers> sets;
    if (owned) sets.push_back({});
    if (list.size() > most_in_all_sets) {
        for (const std::string& one : list) sets.push_back({one});
        return sets;
    }
    for (unsigned bits = 1; bits < (1U << list.size()); ++bits) {
        Suppliers set;
        for (std::size_t i = 0; i < list.size(); ++i)
            if ((bits & (1U << i)) != 0) set.insert(list[i]);
        sets.push_back(std::move(set));
    }
    std::stable_sort(sets.begin(), sets.end(),
                     [](const Suppliers& a, const Suppliers& b) { return a.size() < b.size(); });
    return sets;
}

/// One demand in the conversation.
class Talk {
  public:
    /// `demands`: of how many demands' requests each offer is part.
    Talk(const AskedDemand& asked, const ProcureProblem& problem,
         const std::map<std::string, int>& demands, PluginHost& host)
        : asked_(asked), host_(host), request_(*asked.request), demand_(asked.demand) {
        std::set<std::string> lines;
        for (const contract::Demand& each : problem.demands)
            if (each.id == demand_)
                for (const contract::Share& share : each.shares) lines.insert(share.line);
        std::erase_if(request_.lines,
                      [&](const contract::Line& line) { return !lines.contains(line.id); });
        read_breaks(problem, demands);
        for (const contract::Offer& offer : request_.offers) {
            if (!offer.owned && offer.cost) dealers_.insert(offer.supplier);
            owned_ = owned_ || offer.owned;
        }
    }

    [[nodiscard]] const std::string& demand() const { return demand_; }
    [[nodiscard]] const Suppliers& dealers() const { return dealers_; }
    [[nodiscard]] bool owned() const { return owned_; }

    /// Whether the module was given all that the demand's ways use.
    [[nodiscard]] bool knows(const contract::Demand& demand) const {
        const auto known = [&](const contract::Use& use) {
            return std::any_of(request_.offers.begin(), request_.offers.end(),
                               [&](const contract::Offer& offer) { return offer.id == use.offer; });
        };
        return std::all_of(demand.ways.begin(), demand.ways.end(), [&](const contract::Way& way) {
            return std::all_of(way.uses.begin(), way.uses.end(), known);
        });
    }

    /// The request with the offers of some suppliers, and what is owned.
    [[nodiscard]] contract::PlanRequest request(const Suppliers& suppliers,
                                                const std::string& effort) const {
        contract::PlanRequest request;
        request.demand = demand_.substr(asked_.module.size() + 1);
        request.group = request_;
        request.group.settings.effort = effort;
        std::erase_if(request.group.offers, [&](const contract::Offer& offer) {
            return !offer.owned && (!offer.cost || !suppliers.contains(offer.supplier));
        });
        std::erase_if(request.group.cutting, [&](const contract::CuttingService& cutting) {
            return !suppliers.contains(cutting.supplier);
        });
        return request;
    }

    /// None when the module fails: what it took off stands.
    [[nodiscard]] std::optional<contract::PlanReply> ask(const contract::PlanRequest& request) {
        try {
            return *host_.plan(asked_.module, request);
        } catch (const ModuleError&) {
            return std::nullopt;
        }
    }

    /// The bound of a reply, where prices by count do not let it be lower.
    [[nodiscard]] double bound(const contract::PlanReply& reply, const Suppliers& suppliers,
                               const Premiums& premiums) const {
        double least = reply.lower_bound;
        for (const auto& [supplier, cost] : from_breaks_) {
            if (!suppliers.contains(supplier)) continue;
            const auto less = premiums.find(supplier);
            least = std::min(least, cost * (less == premiums.end() ? 1 : 1 - less->second));
        }
        return least;
    }

    /// What a way costs under the request's costs; none when it buys from others.
    [[nodiscard]] std::optional<double> cost_of(const contract::Way& way,
                                                const Suppliers& suppliers) const {
        double cost = 0;
        for (const contract::Use& use : way.uses) {
            const auto offer =
                std::find_if(request_.offers.begin(), request_.offers.end(),
                             [&](const contract::Offer& each) { return each.id == use.offer; });
            if (offer == request_.offers.end() || !offer->cost) return std::nullopt;
            if (!offer->owned && !suppliers.contains(offer->supplier)) return std::nullopt;
            const double of_one = use.measure > 0               ? use.measure
                                  : offer->price_unit == "each" ? offer->pack
                                                                : 1;
            cost += *offer->cost * of_one * static_cast<double>(use.count);
        }
        for (const contract::DealerCuts& cuts : way.dealer_cuts) {
            if (!suppliers.contains(cuts.supplier)) return std::nullopt;
            for (const contract::CuttingService& service : request_.cutting)
                if (service.supplier == cuts.supplier)
                    cost += service.cost_per_cut.value_or(0) * static_cast<double>(cuts.cuts);
        }
        return cost;
    }

  private:
    /// Prices by count. Where only this demand could buy enough for one, that much is a cost that
    /// its ways have at least; else no count costs less than at the lowest of them.
    void read_breaks(const ProcureProblem& problem, const std::map<std::string, int>& demands) {
        for (contract::Offer& offer : request_.offers) {
            if (!offer.cost) continue;
            for (const OfferTerms& terms : problem.offers) {
                if (terms.id != offer.id || !(terms.price > Decimal(0))) continue;
                const auto share = [&](const OfferTerms::Break& price) {
                    return price.price.to_double() / terms.price.to_double();
                };
                const bool alone = demands.at(offer.id) == 1 &&
                                   (offer.price_unit == "each" || offer.price_unit == "pack");
                double least = 1;
                for (const OfferTerms::Break& price : terms.breaks) {
                    if (price.from <= 1) continue;
                    const double of_all = *offer.cost * share(price) *
                                          static_cast<double>(price.from) *
                                          (offer.price_unit == "each" ? offer.pack : 1);
                    if (alone)
                        from_breaks_.push_back({offer.supplier, of_all});
                    else
                        least = std::min(least, share(price));
                }
                offer.cost = round_to(*offer.cost * least, 6);
            }
        }
    }

    const AskedDemand& asked_;
    PluginHost& host_;
    contract::TakeOffRequest request_;
    std::string demand_;
    Suppliers dealers_;
    bool owned_ = false;
    std::vector<std::pair<std::string, double>> from_breaks_; ///< supplier, least cost from there
};

class Conversation {
  public:
    Conversation(TakenOff& taken, ProcureProblem& problem, PluginHost& host, std::string effort)
        : taken_(taken), problem_(problem), host_(host), effort_(std::move(effort)) {}

    Settlement run() {
        std::map<std::string, int> demands;
        for (const AskedDemand& asked : taken_.asked)
            for (const contract::Offer& offer : asked.request->offers) ++demands[offer.id];
        for (const contract::Demand& demand : problem_.demands)
            if (demand.amount)
                for (const contract::AmountOffer& offer : demand.amount->offers)
                    ++demands[offer.offer];
        for (const AskedDemand& asked : taken_.asked) {
            const bool there = std::any_of(
                problem_.demands.begin(), problem_.demands.end(),
                [&](const contract::Demand& demand) { return demand.id == asked.demand; });
            if (there) begin(Talk(asked, problem_, demands, host_));
        }
        const std::size_t asks = asks_for(effort_);
        if (asks > 0) look_for_chances();
        for (std::size_t asked = 0; asked < std::min(asks, chances_.size()); ++asked)
            ask_for_ways(chances_[asked]);
        return std::move(settlement_);
    }

  private:
    [[nodiscard]] contract::Demand& demand(const std::string& id) {
        return *std::find_if(problem_.demands.begin(), problem_.demands.end(),
                             [&](const contract::Demand& each) { return each.id == id; });
    }

    /// Whether the ways of a demand are all there are: nothing is cut, so nothing can be planned.
    [[nodiscard]] static bool is_complete(const contract::Demand& demand) {
        return std::all_of(demand.ways.begin(), demand.ways.end(), [](const contract::Way& way) {
            return way.plans.sheets.empty() && way.plans.boards.empty();
        });
    }

    void begin(Talk talk) {
        const contract::Demand& of = demand(talk.demand());
        if (is_complete(of) || !talk.knows(of)) return; // what is bought stays as it was planned
        DemandBound bound;
        bound.demand = talk.demand();
        bool answered = false;
        bool failed = false; // ways of a set that is not bounded could cost anything
        const bool all_sets = talk.dealers().size() <= most_in_all_sets;
        const auto least = [&](const Suppliers& set,
                               const Premiums& premiums) -> std::optional<double> {
            contract::PlanRequest request = talk.request(set, effort_);
            request.only_bound = true;
            for (contract::Offer& offer : request.group.offers)
                if (const auto less = premiums.find(offer.supplier); less != premiums.end())
                    offer.cost = round_to(*offer.cost * (1 - less->second), 6);
            request.known = cheapest(talk, of, set);
            // With more suppliers no bound can be higher than with fewer of them.
            for (const SupplierSetBound& known : bound.sets)
                if (std::includes(set.begin(), set.end(), known.suppliers.begin(),
                                  known.suppliers.end()))
                    request.known = std::min(known.cost, request.known.value_or(known.cost));
            const auto reply = talk.ask(request);
            failed = failed || !reply;
            if (!reply) return std::nullopt;
            answered = answered || reply->lower_bound > 0 || request.known == 0.0;
            return talk.bound(*reply, set, premiums);
        };
        for (const Suppliers& set : sets_of(talk.dealers(), talk.owned())) {
            const auto cost = least(set, {});
            if (!cost || *cost >= no_way) continue;
            SupplierSetBound made{set, *cost};
            if (set.size() > 1) {
                made.premium = premiums(bound, set);
                made.base = least(set, made.premium).value_or(0);
            }
            bound.sets.push_back(std::move(made));
        }
        if (!all_sets) bound.beyond = least(talk.dealers(), {});
        if (failed || !answered) {
            if (settlement_.not_bounded.empty())
                settlement_.not_bounded = "nothing bounds what " +
                                          (of.title.empty() ? of.id : of.title) +
                                          " costs in other ways of cutting it";
            return;
        }
        settlement_.bounds.push_back(std::move(bound));
        talks_.push_back(std::move(talk));
    }

    /// How much dearer each of several suppliers is, alone, than the cheapest of them; one that
    /// cannot meet the demand alone counts as ten times as dear.
    static Premiums premiums(const DemandBound& bound, const Suppliers& set) {
        std::map<std::string, double> alone;
        double least = no_way;
        for (const SupplierSetBound& each : bound.sets) {
            if (each.suppliers.size() != 1 || !set.contains(*each.suppliers.begin())) continue;
            alone[*each.suppliers.begin()] = each.cost;
            least = std::min(least, each.cost);
        }
        Premiums premiums;
        for (const std::string& supplier : set) {
            const auto cost = alone.find(supplier);
            const double share = cost == alone.end() ? 0.9
                                 : cost->second > 0  ? 1 - least / cost->second
                                                     : 0;
            if (share > 0) premiums[supplier] = round_to(std::min(share, 0.9), 6);
        }
        return premiums;
    }

    static std::optional<double> cheapest(const Talk& talk, const contract::Demand& demand,
                                          const Suppliers& set) {
        std::optional<double> least;
        for (const contract::Way& way : demand.ways) {
            if (const auto cost = talk.cost_of(way, set))
                least = std::min(*cost, least.value_or(*cost));
        }
        return least ? std::optional(round_to(*least, 6)) : std::nullopt;
    }

    /// Ways of a demand that could be cheaper than those known.
    struct Chance {
        Talk* talk = nullptr;
        Suppliers from;
        bool in_use = false; ///< the cheapest way known buys there
        double gain = 0;     ///< at most
    };

    /// Where the cheapest way known buys comes first, then what could gain most.
    void look_for_chances() {
        for (Talk& talk : talks_) {
            const contract::Demand& of = demand(talk.demand());
            const auto known = cheapest(talk, of, talk.dealers());
            for (const SupplierSetBound& set : bound_of(talk.demand()).sets) {
                const auto here = cheapest(talk, of, set.suppliers);
                if (here && *here < set.cost + smallest_gain) continue;
                const double gain = known ? *known - set.cost : set.cost;
                const bool in_use = here && known && *here < *known + smallest_gain;
                if (gain > 0) chances_.push_back({&talk, set.suppliers, in_use, gain});
            }
        }
        std::stable_sort(chances_.begin(), chances_.end(), [](const Chance& a, const Chance& b) {
            return std::tuple(!a.in_use, -a.gain) < std::tuple(!b.in_use, -b.gain);
        });
    }

    void ask_for_ways(const Chance& chance) {
        Talk& talk = *chance.talk;
        contract::PlanRequest request = talk.request(chance.from, effort_);
        request.known = cheapest(talk, demand(talk.demand()), chance.from);
        if (const auto reply = talk.ask(request)) add_ways(talk.demand(), reply->ways);
    }

    [[nodiscard]] const DemandBound& bound_of(const std::string& id) const {
        return *std::find_if(settlement_.bounds.begin(), settlement_.bounds.end(),
                             [&](const DemandBound& each) { return each.demand == id; });
    }

    void add_ways(const std::string& id, const std::vector<contract::Way>& ways) {
        for (contract::Demand* of : {&demand(id), taken(id)}) {
            if (of == nullptr) continue;
            for (contract::Way way : ways) {
                const std::string name = way.id;
                for (int number = 2;
                     std::any_of(of->ways.begin(), of->ways.end(),
                                 [&](const contract::Way& each) { return each.id == way.id; });
                     ++number)
                    way.id = name + " (" + std::to_string(number) + ')';
                of->ways.push_back(std::move(way));
            }
        }
    }

    [[nodiscard]] contract::Demand* taken(const std::string& id) {
        const auto found =
            std::find_if(taken_.demands.begin(), taken_.demands.end(),
                         [&](const contract::Demand& each) { return each.id == id; });
        return found == taken_.demands.end() ? nullptr : &*found;
    }

    TakenOff& taken_;
    ProcureProblem& problem_;
    PluginHost& host_;
    std::string effort_;
    Settlement settlement_;
    std::vector<Talk> talks_;
    std::vector<Chance> chances_;
};

} // namespace

Settlement settle(TakenOff& taken, ProcureProblem& problem, PluginHost& host,
                  const std::string& effort) {
    return Conversation(taken, problem, host, effort).run();
}

void bound_all_ways(const Settlement& settlement, const ProcureProblem& problem,
                    Procurement& bought) {
    bought.not_bounded = settlement.not_bounded;
    if (!bought.not_bounded.empty() || !bought.unmet.empty()) return;
    bought.bound = least_cost(problem, settlement.bounds);
    if (bought.bound && bought.cost < *bought.bound) bought.bound = bought.cost;
    if (!bought.bound) bought.not_bounded = "the bound could not be worked out";
}

} // namespace aumbry
