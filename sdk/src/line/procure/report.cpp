#include "line/procure/report.hpp"

#include "aumbry/rounding.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

namespace aumbry::procurement {

namespace {

class Report {
  public:
    Report(const Model& model, const Pricer& pricer, const SearchResult& result)
        : model_(model), result_(result), assignment_(model, pricer),
          currency_(model.problem->currency) {
        for (std::size_t d = 0; d < model.demands.size(); ++d) {
            assignment_.set(d, result.ways[d]);
            chosen_.push_back(model.demands[d].ways[result.ways[d]]);
        }
        use_up_what_is_open();
        out_.findings = model.findings;
        out_.unmet = model.unmet;
        out_.cost = money(result.cost);
        out_.lower_bound = money(result.lower_bound);
        out_.proven = result.proven;
        out_.steps = result.steps;
        out_.owned_value = money(0);
        for (std::size_t s = 0; s < model.suppliers.size(); ++s) {
            Ask ask = assignment_.ask(s);
            if (s == owned) ask.uses.insert(ask.uses.end(), used_up_.begin(), used_up_.end());
            if (ask.uses.empty() && ask.cuts == 0) continue;
            const Order order = pricer.order(s, ask);
            for (const OrderLine& line : order.lines) add_purchases(line);
            if (s == owned)
                out_.owned_value = money(order.cost);
            else
                add_order(s, order);
        }
        std::stable_sort(out_.purchases.begin(), out_.purchases.end(),
                         [](const Purchase& a, const Purchase& b) {
                             return std::tie(a.supplier, a.sku, a.measure) <
                                    std::tie(b.supplier, b.sku, b.measure);
                         });
        std::stable_sort(
            out_.orders.begin(), out_.orders.end(),
            [](const SupplierOrder& a, const SupplierOrder& b) { return a.supplier < b.supplier; });
        add_choices();
        add_findings();
    }

    Procurement take() { return std::move(out_); }

  private:
    [[nodiscard]] Money money(std::int64_t minor) const { return Money(minor, currency_); }

    [[nodiscard]] const Way& way_of(std::size_t demand) const { return chosen_[demand]; }

    // What is at hand and worth nothing is used up before what is bought beside it, also where that
    // alone would do: else the opened tin is left and a new one stands open next to it.
    void use_up_what_is_open() {
        std::map<std::size_t, std::int64_t> taken;
        for (const Way& way : chosen_)
            for (const Use& use : way.uses) taken[use.offer] += use.count;
        for (std::size_t d = 0; d < chosen_.size(); ++d) {
            const auto& amount = model_.demands[d].terms->amount;
            if (!amount || chosen_[d].suppliers.empty()) continue;
            const Date in_hand = arrival(model_, chosen_[d]);
            for (const contract::AmountOffer& entry : amount->offers) {
                const auto at = std::find_if(
                    model_.offers.begin(), model_.offers.end(),
                    [&](const Offer& offer) { return offer.terms->id == entry.offer; });
                if (at == model_.offers.end() || at->supplier != owned || entry.content <= 0 ||
                    at->quantities.empty() || at->arrives > in_hand || !at->terms->price.is_zero())
                    continue;
                const auto index = static_cast<std::size_t>(at - model_.offers.begin());
                double open = 0; // what of it is in the way already
                for (const Use& use : chosen_[d].uses)
                    if (use.offer == index) open += entry.content * static_cast<double>(use.count);
                const double counts =
                    std::ceil(round_to((amount->quantity - open) / entry.content, 6));
                const std::int64_t more =
                    std::min(at->limit - taken[index],
                             static_cast<std::int64_t>(std::clamp(counts, 0.0, 1e6)));
                if (more <= 0) continue;
                taken[index] += more;
                used_up_.push_back({index, 0, more, nullptr});
                chosen_[d].uses.push_back(used_up_.back());
            }
        }
    }

    void add_purchases(const OrderLine& line) {
        const Offer& offer = model_.offers[line.offer];
        const OfferTerms& terms = *offer.terms;
        const Supplier* supplier = model_.suppliers[offer.supplier].supplier;
        for (std::size_t i = 0; i < line.counts.size(); ++i) {
            const auto& [quantity, count] = line.counts[i];
            Purchase purchase;
            purchase.supplier = terms.owned ? "" : terms.supplier;
            purchase.offer = terms.id;
            purchase.sku = terms.sku;
            purchase.description = terms.description;
            purchase.count = count;
            purchase.measure =
                offer.by_measure ? offer.quantities[quantity].measure.to_double() : 0;
            purchase.price_unit = terms.price_unit;
            purchase.listed_price = Pricer::price_at(offer, line.count);
            purchase.listed_currency = (supplier ? supplier->currency : currency_).code;
            purchase.unit_price =
                unit_price(purchase.listed_price, offer, offer.quantities[quantity].measure);
            purchase.amount = money(line.nets[i]);
            purchase.tax_percent = offer.tax_percent;
            purchase.arrives = offer.arrives;
            purchase.service = terms.service;
            purchase.owned = terms.owned;
            purchase.returnable = terms.returnable;
            purchase.valid_to = terms.valid_to;
            purchase.price_row = terms.row.file;
            if (terms.valid_to && (!out_.prices_hold || *terms.valid_to < *out_.prices_hold))
                out_.prices_hold = terms.valid_to;
            serve(purchase, line.offer, quantity);
            out_.purchases.push_back(std::move(purchase));
        }
    }

    // Price of one count in the project's currency without tax; exact where neither rate nor tax
    // comes in.
    [[nodiscard]] Decimal unit_price(Decimal listed, const Offer& offer, Decimal quantity) const {
        const Seller& seller = model_.suppliers[offer.supplier];
        const Supplier* supplier = seller.supplier;
        Decimal price = listed.multiplied_by(quantity, 6);
        if (supplier && supplier->currency != currency_)
            price = price.multiplied_by(seller.rate, 6);
        if (supplier && supplier->tax_included)
            price = price.divided_by(Decimal(1) + offer.tax_percent * Decimal::scaled(1, 2), 6);
        return price;
    }

    // Names the demands and lines that a purchase is for; the weights of the lines add up to what
    // is needed.
    void serve(Purchase& purchase, std::size_t offer, std::size_t quantity) const {
        std::map<std::string, double> lines;
        for (std::size_t d = 0; d < model_.demands.size(); ++d) {
            std::int64_t needed = 0;
            const DemandTerms& demand = *model_.demands[d].terms;
            for (const Use& use : way_of(d).uses) {
                if (use.offer != offer || use.quantity != quantity) continue;
                needed += use.count;
                share(demand, use, lines);
                if (use.stated != nullptr) add_wanted(purchase, use.stated->wanted);
            }
            if (needed == 0) continue;
            purchase.needed += needed;
            purchase.demands.push_back(demand.id);
            purchase.returnable = purchase.returnable && demand.returnable;
        }
        for (const auto& [line, weight] : lines)
            purchase.lines.push_back({line, round_to(weight, 9)});
    }

    // Adds a use to the lines that need it, by their shares of the demand.
    static void share(const DemandTerms& demand, const Use& use,
                      std::map<std::string, double>& lines) {
        const auto needs = [&](const contract::Share& share) {
            return use.stated == nullptr || use.stated->lines.empty() ||
                   std::find(use.stated->lines.begin(), use.stated->lines.end(), share.line) !=
                       use.stated->lines.end();
        };
        double sum = 0;
        double count = 0;
        for (const contract::Share& share : demand.shares) {
            if (!needs(share)) continue;
            sum += share.weight;
            ++count;
        }
        for (const contract::Share& share : demand.shares) {
            if (needs(share))
                lines[share.line] +=
                    static_cast<double>(use.count) * (sum > 0 ? share.weight / sum : 1 / count);
        }
    }

    // Which of it is asked for, where the list leaves that open.
    static void add_wanted(Purchase& purchase, const std::string& wanted) {
        if (!wanted.empty() && std::find(purchase.wanted.begin(), purchase.wanted.end(), wanted) ==
                                   purchase.wanted.end())
            purchase.wanted.push_back(wanted);
    }

    void add_order(std::size_t supplier, const Order& priced) {
        SupplierOrder order;
        order.supplier = model_.suppliers[supplier].supplier->id;
        order.goods = money(priced.goods);
        order.services = money(priced.services);
        order.cuts = money(priced.cuts);
        order.cut_count = priced.cut_count;
        order.delivery = money(priced.delivery);
        order.small_order = money(priced.small_order);
        for (const TaxRow& row : priced.taxes)
            order.taxes.push_back({row.percent, money(row.taxable), money(row.tax)});
        order.tax = money(priced.tax);
        order.total = order.goods + order.services + order.cuts + order.delivery +
                      order.small_order + order.tax;
        order.collected = priced.collected;
        order.mass = priced.mass_kg;
        order.trips = priced.trips;
        order.arrives = model_.suppliers[supplier].ordered;
        for (const OrderLine& line : priced.lines) {
            const Offer& offer = model_.offers[line.offer];
            order.arrives = std::max(order.arrives, offer.arrives);
        }
        note_charges(*model_.suppliers[supplier].supplier, priced);
        out_.orders.push_back(std::move(order));
    }

    void note_charges(const Supplier& terms, const Order& priced) {
        const auto listed = [&](std::int64_t minor) {
            return Money(minor, terms.currency).str() + " " + terms.currency.code;
        };
        if (priced.small_order > 0)
            note(contract::Severity::caution, "small-order",
                 "The order to '" + terms.id + "' is " +
                     listed(terms.minimum_order->minor() - priced.listed_goods) +
                     " below its minimum order of " + listed(terms.minimum_order->minor()) +
                     "; the supplier charges the difference. Ordering goods for that "
                     "amount costs the same.");
        note_carriage(terms, priced);
        if (terms.delivery.free_from && priced.delivery > 0 && !priced.collected) {
            const std::int64_t gap = terms.delivery.free_from->minor() - priced.listed_goods;
            const std::int64_t saved =
                Pricer::delivery_listed(terms.delivery, priced.listed_goods, priced.mass_kg, false);
            if (gap > 0 && gap < saved)
                note(contract::Severity::note, "delivery-nearly-free",
                     "Goods for another " + listed(gap) + " from '" + terms.id +
                         "' would make its delivery free, which costs " + listed(saved) + ".");
        }
        if (!terms.delivery.by_mass.empty() && !priced.collected) {
            for (const OrderLine& line : priced.lines) {
                const OfferTerms& offer = *model_.offers[line.offer].terms;
                if (!offer.service && offer.mass_kg <= 0) {
                    note(contract::Severity::note, "mass-unknown",
                         "'" + terms.id + "' charges delivery by mass and that of '" + offer.id +
                             "' is not known; it is counted as nothing. Add it to the price list.");
                    break;
                }
            }
        }
    }

    // What the vehicle cannot take, in size or at once.
    void note_carriage(const Supplier& terms, const Order& priced) {
        if (priced.collected && priced.trips > 1)
            note(contract::Severity::caution, "more-than-one-trip",
                 "The order to '" + terms.id + "' weighs about " +
                     format_trimmed(priced.mass_kg, 0) + " kg and the vehicle carries " +
                     format_trimmed(*model_.problem->load, 0) + " kg: it takes " +
                     std::to_string(priced.trips) + " trips, which are counted.");
        if (priced.collected || !terms.delivery.collect) return;
        for (const OrderLine& line : priced.lines) {
            if (!line.must_be_delivered) continue;
            note(contract::Severity::note, "delivered-for-size",
                 "'" + model_.offers[line.offer].terms->id +
                     "' cannot be fetched as it is handed over, so the order to '" + terms.id +
                     "' comes delivered.");
            return;
        }
    }

    void note(contract::Severity severity, std::string code, std::string text) {
        out_.findings.push_back({severity, std::move(code), "", std::move(text)});
    }

    [[nodiscard]] std::vector<contract::Use> uses_of(const Way& way) const {
        std::vector<contract::Use> uses;
        for (const Use& use : way.uses) {
            const Offer& offer = model_.offers[use.offer];
            uses.push_back(
                {offer.terms->id, use.count,
                 offer.by_measure ? offer.quantities[use.quantity].measure.to_double() : 0});
        }
        return uses;
    }

    [[nodiscard]] std::vector<std::string> suppliers_of(const Way& way) const {
        std::vector<std::string> names;
        for (const std::size_t s : way.suppliers) names.push_back(model_.suppliers[s].supplier->id);
        std::sort(names.begin(), names.end());
        return names;
    }

    void add_choices() {
        Arrivals arrivals;
        for (std::size_t d = 0; d < model_.demands.size(); ++d) {
            const Demand& demand = model_.demands[d];
            const Way& way = way_of(d);
            Choice choice;
            choice.demand = demand.terms->id;
            if (way.plan) choice.way = way.plan->id;
            choice.uses = uses_of(way);
            choice.suppliers = suppliers_of(way);
            choice.arrives = arrival(model_, way);
            arrivals[choice.demand] = choice.arrives;
            choice.next_best = next_best(d);
            out_.choices.push_back(std::move(choice));
        }
        if (model_.problem->finish) out_.finish = model_.problem->finish(arrivals);
    }

    std::optional<Choice::NextBest> next_best(std::size_t d) {
        const Demand& demand = model_.demands[d];
        const std::optional<int> most = model_.problem->max_suppliers;
        std::size_t best = Assignment::none;
        std::int64_t least = no_limit;
        for (std::size_t w = 0; w < demand.ways.size(); ++w) {
            if (w == result_.ways[d]) continue;
            assignment_.set(d, w);
            const std::int64_t cost = assignment_.cost();
            if (cost < least &&
                (!most || assignment_.orders() <= static_cast<std::size_t>(*most))) {
                least = cost;
                best = w;
            }
        }
        assignment_.set(d, result_.ways[d]);
        if (best == Assignment::none) return std::nullopt;
        const Way& way = demand.ways[best];
        return Choice::NextBest{way.plan ? way.plan->id : "", uses_of(way), suppliers_of(way),
                                arrival(model_, way), money(least)};
    }

    [[nodiscard]] std::string title_of(const std::string& demand) const {
        for (const DemandTerms& terms : model_.problem->demands) {
            if (terms.id == demand && !terms.title.empty()) return terms.title;
        }
        return demand;
    }

    void add_findings() {
        for (const Unmet& unmet : out_.unmet)
            note(contract::Severity::problem, "demand-unmet",
                 "Nobody can fill '" + title_of(unmet.demand) + "': " + unmet.reason +
                     ". It is not in the total; find a supplier or change the line.");
        if (!out_.proven && !out_.choices.empty())
            note(contract::Severity::note, "purchase-not-proven",
                 "The purchase costs " + out_.cost.str() +
                     "; the search ended before it could show that nothing under " +
                     out_.cost.str() + " exists, only that nothing under " +
                     out_.lower_bound.str() + " does. A higher effort searches longer.");
    }

    const Model& model_;
    const SearchResult& result_;
    Assignment assignment_;
    std::vector<Way> chosen_; ///< by demand
    std::vector<Use> used_up_;
    Currency currency_;
    Procurement out_;
};

// Depth first: the demand with the fewest ways left open decides next.
struct Cover {
    const Model& model;
    std::vector<int> open;
    int count = 0;
    int least;

    void go() {
        if (count >= least) return;
        std::size_t next = model.demands.size();
        std::size_t fewest = static_cast<std::size_t>(-1);
        for (std::size_t d = 0; d < model.demands.size(); ++d) {
            const auto& ways = model.demands[d].ways;
            const bool met = std::any_of(ways.begin(), ways.end(), [&](const Way& way) {
                return std::all_of(way.suppliers.begin(), way.suppliers.end(),
                                   [&](std::size_t s) { return open[s] > 0; });
            });
            if (!met && ways.size() < fewest) {
                fewest = ways.size();
                next = d;
            }
        }
        if (next == model.demands.size()) {
            least = count;
            return;
        }
        std::vector<std::vector<std::size_t>> tried;
        for (const Way& way : model.demands[next].ways) {
            if (std::find(tried.begin(), tried.end(), way.suppliers) != tried.end()) continue;
            tried.push_back(way.suppliers);
            for (const std::size_t s : way.suppliers)
                if (++open[s] == 1) ++count;
            go();
            for (const std::size_t s : way.suppliers)
                if (--open[s] == 0) --count;
        }
    }
};

} // namespace

Procurement report(const Model& model, const Pricer& pricer, const SearchResult& result) {
    return Report(model, pricer, result).take();
}

int min_suppliers(const Model& model) {
    Cover cover{model, std::vector<int>(model.suppliers.size(), 0), 0,
                static_cast<int>(model.suppliers.size())};
    cover.go();
    return cover.least;
}

} // namespace aumbry::procurement
