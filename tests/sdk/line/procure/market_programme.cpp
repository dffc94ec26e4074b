#include "market_programme.hpp"

#include "reference.hpp"

#include <algorithm>
#include <cmath>
#include <set>
#include <sstream>

namespace aumbry::test {

namespace {

using Terms = std::vector<std::pair<int, double>>; // column, coefficient

constexpr double smallest = 1e-6;

class Programme {
  public:
    enum class Kind { binary, whole };

    int column(Kind kind, double cost = 0) {
        kinds_.push_back(kind);
        costs_.push_back(cost);
        return static_cast<int>(kinds_.size()) - 1;
    }
    void at_least(const Terms& terms, double least) { row(terms, ">=", least); }
    void at_most(const Terms& terms, double most) { row(terms, "<=", most); }
    void equal(const Terms& terms, double value) { row(terms, "=", value); }

    [[nodiscard]] std::string text() const {
        std::ostringstream out;
        out.precision(15);
        out << "Minimize\n cost:";
        for (std::size_t c = 0; c < costs_.size(); ++c) write(out, static_cast<int>(c), costs_[c]);
        out << "Subject To\n" << rows_.str();
        for (const auto& [kind, name] :
             {std::pair(Kind::whole, "General"), std::pair(Kind::binary, "Binary")}) {
            out << name << '\n';
            for (std::size_t c = 0; c < kinds_.size(); ++c)
                if (kinds_[c] == kind) out << " x" << c << '\n';
        }
        out << "End\n";
        return out.str();
    }

  private:
    static void write(std::ostream& out, int column, double coefficient) {
        out << (coefficient < 0 ? " - " : " + ") << std::fabs(coefficient) << " x" << column
            << '\n';
    }
    void row(const Terms& terms, const char* sense, double right) {
        rows_.precision(15);
        rows_ << " r" << row_count_++ << ':';
        std::map<int, double> sums;
        for (const auto& [c, coefficient] : terms) sums[c] += coefficient;
        if (sums.empty()) sums[0] = 0;
        for (const auto& [c, coefficient] : sums) write(rows_, c, coefficient);
        rows_ << ' ' << sense << ' ' << right << '\n';
    }

    std::vector<Kind> kinds_;
    std::vector<double> costs_;
    std::ostringstream rows_;
    int row_count_ = 0;
};

class Writer {
  public:
    explicit Writer(const ProcureProblem& market) : market_(market), reference_(market) {
        for (const SupplierTerms& terms : market.suppliers)
            if (!terms.excluded) sellers_[terms.supplier.id].terms = &terms;
    }

    MarketProgramme write() {
        for (const DemandTerms& demand : market_.demands) {
            if (demand.amount)
                write_amount(demand);
            else
                write_ways(demand);
        }
        for (const auto& [id, need] : needs_) write_offer(reference_.offer(id), need);
        Terms orders;
        for (auto& [id, seller] : sellers_) {
            write_order(seller);
            for (const int used : seller.used) {
                if (orders.empty() || orders.back().first != seller.order)
                    orders.emplace_back(seller.order, 1);
                programme_.at_least({{seller.order, 1}, {used, -1}}, 0);
            }
        }
        if (market_.max_suppliers) programme_.at_most(orders, *market_.max_suppliers);
        made_.text = programme_.text();
        return std::move(made_);
    }

  private:
    using Kind = Programme::Kind;

    struct Seller {
        const SupplierTerms* terms = nullptr;
        std::vector<int> used;     // binaries, each of which is an order here
        std::vector<int> goods;    // binaries, each of which has goods in it
        std::vector<int> oversize; // likewise
        Terms listed;              // goods, as listed
        std::vector<std::pair<int, double>> mass;
        std::map<Decimal, Terms> net; // by rate of tax
        std::vector<std::pair<int, std::int64_t>> cuts;
        double max_mass = 0;
        int order = 0;
    };
    struct Need {
        Terms terms;
        std::int64_t most = 0;
    };

    [[nodiscard]] bool sold(const std::string& offer) const {
        const OfferTerms& terms = reference_.offer(offer);
        return terms.owned || sellers_.count(terms.supplier) > 0;
    }
    [[nodiscard]] std::int64_t stock(const OfferTerms& offer) const {
        return offer.limit.value_or(1'000'000);
    }
    [[nodiscard]] bool preferred(const std::string& supplier) const {
        return reference_.supplier(supplier).preferred;
    }

    void write_ways(const DemandTerms& demand) {
        std::vector<const contract::Way*> ways;
        bool any_preferred = false;
        const auto suppliers = [&](const contract::Way& way) {
            std::set<std::string> ids;
            for (const contract::Use& use : way.uses)
                if (!reference_.offer(use.offer).owned)
                    ids.insert(reference_.offer(use.offer).supplier);
            for (const contract::DealerCuts& cuts : way.dealer_cuts) ids.insert(cuts.supplier);
            return ids;
        };
        const auto wished = [&](const contract::Way& way) {
            const auto ids = suppliers(way);
            return std::all_of(ids.begin(), ids.end(),
                               [&](const std::string& id) { return preferred(id); });
        };
        for (const contract::Way& way : demand.ways) {
            const auto ids = suppliers(way);
            bool can = std::all_of(ids.begin(), ids.end(),
                                   [&](const std::string& id) { return sellers_.count(id) > 0; });
            std::map<std::string, std::int64_t> counts;
            for (const contract::Use& use : way.uses) counts[use.offer] += use.count;
            for (const auto& [id, count] : counts) {
                const OfferTerms& offer = reference_.offer(id);
                can = can && std::max(count, offer.min_quantity) <= stock(offer);
            }
            if (!can) continue;
            ways.push_back(&way);
            any_preferred = any_preferred || (!ids.empty() && wished(way));
        }
        Terms one;
        std::map<std::string, std::int64_t> most;
        for (const contract::Way* way : ways) {
            if (any_preferred && !wished(*way)) continue;
            const int chosen = programme_.column(Kind::binary);
            one.emplace_back(chosen, 1);
            std::map<std::string, std::int64_t> counts;
            for (const contract::Use& use : way->uses) counts[use.offer] += use.count;
            for (const auto& [id, count] : counts) {
                needs_[id].terms.emplace_back(chosen, static_cast<double>(count));
                most[id] = std::max(most[id], count);
            }
            for (const contract::DealerCuts& cuts : way->dealer_cuts)
                sellers_.at(cuts.supplier).cuts.emplace_back(chosen, cuts.cuts);
            Reference::Choice& needs = made_.parts.emplace_back(chosen, Reference::Choice{}).second;
            needs.counts = counts;
            for (const contract::DealerCuts& cuts : way->dealer_cuts)
                needs.cuts[cuts.supplier] += cuts.cuts;
            for (const std::string& id : suppliers(*way)) sellers_.at(id).used.push_back(chosen);
        }
        for (const auto& [id, count] : most) needs_[id].most += count;
        if (!one.empty()) programme_.equal(one, 1);
    }

    // Counts of one supplier's offers and owned stock that reach the quantity, none of which could
    // be left out; in millionths.
    void write_amount(const DemandTerms& demand) {
        const contract::Amount& amount = *demand.amount;
        const auto parts = [](double value) {
            return static_cast<double>(std::llround(value * 1e6));
        };
        const double need = parts(amount.quantity);
        std::set<std::string> suppliers;
        bool any_preferred = false;
        for (const contract::AmountOffer& entry : amount.offers) {
            const OfferTerms& offer = reference_.offer(entry.offer);
            if (offer.owned || !sold(entry.offer)) continue;
            suppliers.insert(offer.supplier);
        }
        std::set<std::string> can;
        for (const std::string& id : suppliers)
            if (fills(amount, id, need)) can.insert(id);
        for (const std::string& id : can) any_preferred = any_preferred || preferred(id);
        if (any_preferred)
            std::erase_if(can, [&](const std::string& id) { return !preferred(id); });
        if (can.empty() && !fills(amount, "", need)) return;
        std::map<std::string, int> from;
        Terms at_most_one;
        for (const std::string& id : can) {
            from[id] = programme_.column(Kind::binary);
            at_most_one.emplace_back(from[id], 1);
        }
        if (!at_most_one.empty()) programme_.at_most(at_most_one, 1);
        struct Part {
            int count;
            int any;
            double content;
        };
        std::vector<Part> of;
        Terms sum;
        for (const contract::AmountOffer& entry : amount.offers) {
            const OfferTerms& offer = reference_.offer(entry.offer);
            if (!offer.owned && can.count(offer.supplier) == 0) continue;
            const double content = parts(entry.content);
            const double most =
                std::min(std::ceil(need / content), static_cast<double>(stock(offer)));
            Part part{programme_.column(Kind::whole), programme_.column(Kind::binary), content};
            programme_.at_most({{part.count, 1}, {part.any, -most}}, 0);
            programme_.at_least({{part.count, 1}, {part.any, -1}}, 0);
            if (!offer.owned) {
                programme_.at_most({{part.any, 1}, {from.at(offer.supplier), -1}}, 0);
                sellers_.at(offer.supplier).used.push_back(part.any);
            }
            sum.emplace_back(part.count, content / 1e5);
            needs_[entry.offer].terms.emplace_back(part.count, 1);
            needs_[entry.offer].most += static_cast<std::int64_t>(most);
            made_.parts.emplace_back(part.count, Reference::Choice{{{entry.offer, 1}}, {}});
            of.push_back(part);
        }
        programme_.at_least(sum, need / 1e5);
        // With one count less of anything it is not enough.
        double max_sum = need;
        for (const Part& part : of) max_sum = std::max(max_sum, need + part.content);
        for (const Part& part : of) {
            Terms spare = sum;
            spare.emplace_back(part.any, max_sum / 1e5);
            programme_.at_most(spare, (need - 1 + part.content + max_sum) / 1e5);
        }
    }

    // Whether one supplier with owned stock can reach a quantity.
    [[nodiscard]] bool fills(const contract::Amount& amount, const std::string& supplier,
                             double need) const {
        double sum = 0;
        for (const contract::AmountOffer& entry : amount.offers) {
            const OfferTerms& offer = reference_.offer(entry.offer);
            if (!offer.owned && offer.supplier != supplier) continue;
            if (offer.limit && *offer.limit < offer.min_quantity) continue;
            sum += static_cast<double>(std::llround(entry.content * 1e6)) *
                   static_cast<double>(stock(offer));
        }
        return sum >= need;
    }

    // A binary for each need of an offer and each count that may be bought for it.
    void write_offer(const OfferTerms& offer, const Need& need) {
        Terms one;
        Terms reached = need.terms;
        const double measure = reference_.measure(offer.id);
        for (std::int64_t needed = 0; needed <= need.most; ++needed) {
            if (offer.owned && needed > stock(offer)) break;
            const std::vector<std::int64_t> counts =
                offer.owned ? std::vector<std::int64_t>{needed}
                            : reference_.counts(offer, measure, needed);
            for (const std::int64_t count : counts) {
                const Reference::Amounts of = reference_.amounts(offer, measure, count);
                const int bought = programme_.column(Kind::binary, static_cast<double>(of.net));
                one.emplace_back(bought, 1);
                reached.emplace_back(bought, -static_cast<double>(needed));
                if (!offer.owned && count > 0)
                    add_goods(sellers_.at(offer.supplier), offer, bought, count, of);
            }
        }
        programme_.equal(one, 1);
        programme_.equal(reached, 0);
    }

    void add_goods(Seller& seller, const OfferTerms& offer, int bought, std::int64_t count,
                   const Reference::Amounts& of) {
        seller.net[reference_.tax_percent(offer)].emplace_back(bought, static_cast<double>(of.net));
        if (offer.service) return;
        seller.goods.push_back(bought);
        seller.listed.emplace_back(bought, static_cast<double>(of.listed));
        const double mass = offer.mass_kg * static_cast<double>(count);
        seller.mass.emplace_back(bought, mass);
        seller.max_mass += mass;
        const auto& oversize = seller.terms->supplier.delivery.oversize;
        if (oversize && offer.longest_mm > oversize->longer_than) seller.oversize.push_back(bought);
    }

    // A whole number that is at least an amount as listed, without tax and in the project's
    // currency, rounded half up.
    int rounded_net(const Seller& seller, const Terms& listed, double constant) {
        const Supplier& supplier = seller.terms->supplier;
        double factor = 1;
        if (supplier.currency != market_.currency) factor *= seller.terms->rate->to_double();
        if (supplier.tax_included) factor /= 1 + supplier.tax_percent.to_double() / 100;
        const int net = programme_.column(Kind::whole, 1);
        Terms terms{{net, 1}};
        for (const auto& [c, coefficient] : listed) terms.emplace_back(c, -factor * coefficient);
        const bool exact = factor == 1;
        programme_.at_least(terms, factor * constant - (exact ? 0 : 0.5 - smallest));
        return net;
    }

    void write_order(Seller& seller) {
        const Supplier& supplier = seller.terms->supplier;
        seller.order = programme_.column(Kind::binary);
        Terms& charges = seller.net[supplier.tax_percent];
        const int goods = programme_.column(Kind::binary);
        for (const int bought : seller.goods) programme_.at_least({{goods, 1}, {bought, -1}}, 0);
        if (!seller.cuts.empty()) {
            const double each = Decimal::parse(supplier.cutting.price_per_cut).to_double() * 100;
            Terms listed;
            for (const auto& [way, count] : seller.cuts)
                listed.emplace_back(way, each * static_cast<double>(count));
            charges.emplace_back(rounded_net(seller, listed, 0), 1);
        }
        if (supplier.minimum_order) {
            Terms missing{{goods, static_cast<double>(supplier.minimum_order->minor())}};
            for (const auto& [c, listed] : seller.listed) missing.emplace_back(c, -listed);
            charges.emplace_back(rounded_net(seller, missing, 0), 1);
        }
        write_delivery(seller, goods, charges);
        if (!market_.tax_is_cost) return;
        for (const auto& [percent, taxed] : seller.net) {
            Terms terms{{programme_.column(Kind::whole, 1), 100}};
            for (const auto& [c, net] : taxed) terms.emplace_back(c, -net * percent.to_double());
            programme_.at_least(terms, -49);
        }
    }

    // One kind of delivery when there are goods, each at its charge.
    void write_delivery(const Seller& seller, int goods, Terms& charges) {
        const DeliveryConditions& terms = seller.terms->supplier.delivery;
        Terms kinds{{goods, -1}};
        std::vector<int> carries_oversize;
        Terms free;
        if (terms.collect) {
            const int collected = programme_.column(
                Kind::binary, static_cast<double>(reference_.collecting(*seller.terms)));
            kinds.emplace_back(collected, 1);
            carries_oversize.push_back(collected);
        }
        const auto add = [&](std::int64_t listed, std::optional<double> max_mass, bool is_free) {
            for (const bool oversize : {false, true}) {
                if (oversize && seller.oversize.empty()) break;
                const auto net = static_cast<double>(
                    reference_.net(listed + (oversize ? terms.oversize->extra.minor() : 0),
                                   *seller.terms, seller.terms->supplier.tax_percent));
                const int kind = programme_.column(Kind::binary, net);
                kinds.emplace_back(kind, 1);
                charges.emplace_back(kind, net);
                if (oversize) carries_oversize.push_back(kind);
                if (is_free) free.emplace_back(kind, 1);
                if (max_mass) {
                    Terms mass{{kind, seller.max_mass}};
                    mass.insert(mass.end(), seller.mass.begin(), seller.mass.end());
                    programme_.at_most(mass, *max_mass + smallest + seller.max_mass);
                }
            }
        };
        if (terms.delivers()) {
            if (terms.flat) add(terms.flat->minor(), std::nullopt, false);
            if (terms.free_from) add(0, std::nullopt, true);
            // Full loads of the last band, and the rest in a band of its own.
            for (std::int64_t loads = 0; !terms.by_mass.empty(); ++loads) {
                const MassBand& last = terms.by_mass.back();
                const double full = static_cast<double>(loads) * last.up_to.value_or(0);
                if (loads > 0) add(loads * last.cost.minor(), full, false);
                for (const MassBand& band : terms.by_mass)
                    add(loads * last.cost.minor() + band.cost.minor(),
                        band.up_to ? std::optional(full + *band.up_to) : std::nullopt, false);
                if (!last.up_to || full + *last.up_to >= seller.max_mass) break;
            }
        }
        for (const auto& [kind, coefficient] : free) {
            Terms reached{{kind, -static_cast<double>(terms.free_from->minor())}};
            reached.insert(reached.end(), seller.listed.begin(), seller.listed.end());
            programme_.at_least(reached, 0);
        }
        programme_.equal(kinds, 0);
        for (const int bought : seller.oversize) {
            Terms carried{{bought, -1}};
            for (const int kind : carries_oversize) carried.emplace_back(kind, 1);
            programme_.at_least(carried, 0);
        }
    }

    const ProcureProblem& market_;
    Reference reference_;
    Programme programme_;
    MarketProgramme made_;
    std::map<std::string, Seller> sellers_;
    std::map<std::string, Need> needs_;
};

} // namespace

Reference::Choice MarketProgramme::needs(const std::vector<double>& values) const {
    Reference::Choice sum;
    for (const auto& [column, each] : parts) {
        const std::int64_t times = std::llround(values.at(column));
        for (const auto& [offer, count] : each.counts) sum.counts[offer] += times * count;
        for (const auto& [supplier, cuts] : each.cuts) sum.cuts[supplier] += times * cuts;
    }
    return sum;
}

MarketProgramme programme_of(const ProcureProblem& market) {
    return Writer(market).write();
}

} // namespace aumbry::test
