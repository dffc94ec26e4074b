#include "line/procure/model.hpp"

#include "line/procure/refusal.hpp"

#include "aumbry/rounding.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

namespace aumbry::procurement {

namespace {

constexpr std::size_t max_choices = 160; // of one supplier for one amount

// Quantities of amounts are compared in millionths.
std::int64_t millionths(double value) {
    const double rounded = round_to(value, 6) * 1e6;
    if (!(rounded > 0)) return 0;
    if (rounded > 4e18)
        fail("amount-overflow", {}, "a quantity of " + format_trimmed(value, 6) + " is too large",
             "check the figures that lead to it");
    return std::llround(rounded);
}

class Builder {
  public:
    Builder(const ProcureProblem& problem, bool mix) : problem_(problem), mix_(mix) {
        model_.problem = &problem;
    }

    Model build() {
        read_suppliers();
        say_missing_rates();
        read_offers();
        for (const DemandTerms& terms : problem_.demands) read_demand(terms);
        return std::move(model_);
    }

  private:
    void note(contract::Severity severity, std::string code, std::string text) {
        model_.findings.push_back({severity, std::move(code), "", std::move(text)});
    }

    void caution(std::string code, std::string text) {
        note(contract::Severity::caution, std::move(code), std::move(text));
    }

    void read_suppliers() {
        model_.suppliers.push_back({});
        for (const SupplierTerms& stated : problem_.suppliers) {
            const Supplier& terms = stated.supplier;
            if (known_suppliers_.count(terms.id)) {
                caution("duplicate-supplier",
                        "Two suppliers have the id '" + terms.id +
                            "'; the second is left out. Give each its own id.");
                continue;
            }
            known_suppliers_.insert(terms.id);
            if (stated.excluded) {
                left_out_[terms.id] = "'" + terms.id + "' is excluded";
                continue;
            }
            if (terms.currency != problem_.currency &&
                !(stated.rate && *stated.rate > Decimal(0))) {
                left_out_[terms.id] = "'" + terms.id + "' has no rate for " + terms.currency.code;
                without_rate_[terms.currency.code].push_back(terms.id);
                continue;
            }
            try {
                (void)terms.calendar.next_working(problem_.order_date);
            } catch (const FaultError&) {
                left_out_[terms.id] = "'" + terms.id + "' has no working day";
                caution(
                    "no-working-day",
                    "The calendar of supplier '" + terms.id +
                        "' has no working day; it is left out. Check its weekdays and holidays.");
                continue;
            }
            if (const std::string missing = lacks(stated); !missing.empty()) {
                left_out_[terms.id] = "'" + terms.id + "' " + missing;
                caution("no-carriage", "Supplier '" + terms.id + "' " + missing +
                                           ", and \"carriage\" under \"suppliers\" wants it; it is "
                                           "left out. Change its \"by\".");
                continue;
            }
            supplier_index_[terms.id] = model_.suppliers.size();
            Seller seller;
            seller.supplier = &terms;
            if (terms.currency != problem_.currency) seller.rate = *stated.rate;
            seller.preferred = stated.preferred;
            seller.ordered = stated.goes_out.value_or(problem_.order_date);
            seller.delivers =
                terms.delivery.delivers() && stated.carriage != contract::Carriage::vehicle;
            seller.collected =
                terms.delivery.collect && stated.carriage != contract::Carriage::delivered;
            model_.suppliers.push_back(seller);
        }
    }

    // What a supplier does not do that the project wants; empty when he does.
    static std::string lacks(const SupplierTerms& stated) {
        const DeliveryConditions& terms = stated.supplier.delivery;
        if (stated.carriage == contract::Carriage::delivered && !terms.delivers())
            return "does not deliver";
        if (stated.carriage == contract::Carriage::vehicle && !terms.collect)
            return "lets nothing be fetched";
        return {};
    }

    // One sentence for all suppliers whose currency has no rate.
    void say_missing_rates() {
        std::string said;
        std::size_t suppliers = 0;
        for (const auto& [currency, ids] : without_rate_) {
            said += (said.empty() ? "" : ", ") + currency + " (";
            for (const std::string& id : ids)
                said += (&id == &ids.front() ? "'" : ", '") + id + "'";
            said += ")";
            suppliers += ids.size();
        }
        if (suppliers == 0) return;
        caution("no-rate", "No rate to " + problem_.currency.code + " is stated for " + said +
                               (suppliers == 1 ? ": this supplier is" : ": these suppliers are") +
                               " left out. State a dated rate, or exclude " +
                               (suppliers == 1 ? "it." : "them."));
    }

    // Why an offer cannot be used, empty when it can.
    std::string refuse(const OfferTerms& terms) {
        if (!terms.owned && !known_suppliers_.count(terms.supplier)) {
            caution("unknown-supplier", "Offer '" + terms.id + "' names the supplier '" +
                                            terms.supplier +
                                            "', which does not exist; it is left out.");
            return "'" + terms.id + "' names an unknown supplier";
        }
        if (const auto found = left_out_.find(terms.supplier);
            !terms.owned && found != left_out_.end())
            return found->second;
        Refusal refusal = refuse_offer(terms, problem_.priced_on);
        if (!refusal.code.empty()) caution(std::move(refusal.code), std::move(refusal.text));
        return std::move(refusal.reason);
    }

    void read_offers() {
        for (const OfferTerms& terms : problem_.offers) {
            if (offer_index_.count(terms.id) || refused_.count(terms.id)) {
                caution("duplicate-offer", "Two offers have the id '" + terms.id +
                                               "'; the second is left out. Give each its own sku.");
                continue;
            }
            if (std::string reason = refuse(terms); !reason.empty()) {
                refused_[terms.id] = std::move(reason);
                continue;
            }
            Offer offer;
            offer.terms = &terms;
            offer.supplier = terms.owned ? owned : supplier_index_.at(terms.supplier);
            offer.tiers.push_back({1, terms.price});
            std::vector<OfferTerms::Break> breaks = terms.breaks;
            std::stable_sort(breaks.begin(), breaks.end(),
                             [](const auto& a, const auto& b) { return a.from < b.from; });
            for (const OfferTerms::Break& tier : breaks) {
                if (tier.from <= offer.tiers.back().from)
                    offer.tiers.back().price = tier.price;
                else
                    offer.tiers.push_back(tier);
            }
            offer.min_count = std::max<std::int64_t>(terms.min_quantity, 1);
            offer.limit = std::min(terms.limit.value_or(no_limit), no_limit);
            offer.by_measure = terms.price_unit != "each" && terms.price_unit != "pack";
            if (offer.supplier == owned) {
                offer.arrives =
                    std::max(problem_.order_date, terms.arrives.value_or(problem_.order_date));
            } else {
                const Seller& seller = model_.suppliers[offer.supplier];
                const Supplier& supplier = *seller.supplier;
                offer.tax_percent = terms.tax_percent.value_or(supplier.tax_percent);
                try {
                    offer.arrives = arrival_date(supplier, terms, seller.ordered);
                } catch (const FaultError&) {
                    refused_[terms.id] =
                        "the calendar of '" + terms.supplier + "' has no working day";
                    caution("no-working-day",
                            "The calendar of supplier '" + terms.supplier +
                                "' has no working day on which '" + terms.id +
                                "' could arrive; it is left out. Check its holidays.");
                    continue;
                }
                const auto& oversize = supplier.delivery.oversize;
                offer.oversize = !terms.service && oversize &&
                                 round_to(terms.longest_mm, 3) > round_to(oversize->longer_than, 3);
            }
            offer_index_[terms.id] = model_.offers.size();
            model_.offers.push_back(std::move(offer));
        }
    }

    // The offer's quantity as stated; empty when no measure is stated where one is needed.
    std::optional<std::size_t> quantity_of(std::size_t offer_at, double measure, double mass_kg,
                                           bool must_be_delivered) {
        Offer& offer = model_.offers[offer_at];
        Measured quantity;
        quantity.mass_kg = mass_kg > 0 ? mass_kg : offer.terms->mass_kg;
        quantity.must_be_delivered = must_be_delivered;
        if (offer.by_measure) {
            const double rounded = round_to(measure, 6);
            if (!(rounded > 0)) return std::nullopt;
            quantity.measure = Decimal::from_double(rounded, 6);
        } else if (offer.terms->price_unit == "each") {
            quantity.measure = offer.terms->pack;
        }
        const auto found = std::find_if(
            offer.quantities.begin(), offer.quantities.end(), [&](const Measured& known) {
                return known.measure == quantity.measure &&
                       known.must_be_delivered == quantity.must_be_delivered;
            });
        if (found == offer.quantities.end()) {
            offer.quantities.push_back(quantity);
            return offer.quantities.size() - 1;
        }
        found->mass_kg = std::max(found->mass_kg, quantity.mass_kg);
        return static_cast<std::size_t>(found - offer.quantities.begin());
    }

    // The offer's index, or the reason why it cannot be used.
    std::optional<std::size_t> usable(const std::string& id, std::set<std::string>& reasons) {
        if (const auto found = offer_index_.find(id); found != offer_index_.end())
            return found->second;
        if (const auto found = refused_.find(id); found != refused_.end())
            reasons.insert(found->second);
        else
            reasons.insert("'" + id + "' is not among the offers");
        return std::nullopt;
    }

    bool within_stock(const Way& way) const {
        std::map<std::size_t, std::int64_t> counts;
        for (const Use& use : way.uses) counts[use.offer] += use.count;
        return std::all_of(counts.begin(), counts.end(), [&](const auto& entry) {
            const Offer& offer = model_.offers[entry.first];
            return std::max(entry.second, offer.min_count) <= offer.limit;
        });
    }

    void finish_way(Way& way) const {
        std::set<std::size_t> suppliers;
        for (const Use& use : way.uses) suppliers.insert(model_.offers[use.offer].supplier);
        for (const Cuts& cuts : way.cuts) suppliers.insert(cuts.supplier);
        suppliers.erase(owned);
        way.suppliers.assign(suppliers.begin(), suppliers.end());
    }

    void read_ways(Demand& demand, std::set<std::string>& reasons) {
        for (const contract::Way& plan : demand.terms->ways) {
            Way way;
            way.plan = &plan;
            bool can = true;
            for (const contract::Use& use : plan.uses) {
                if (use.count <= 0) continue;
                const auto offer = usable(use.offer, reasons);
                if (!offer) {
                    can = false;
                    continue;
                }
                const std::size_t seller = model_.offers[*offer].supplier;
                if (use.must_be_delivered && seller != owned &&
                    !model_.suppliers[seller].delivers) {
                    reasons.insert("'" + use.offer + "' is to be delivered and '" +
                                   model_.suppliers[seller].supplier->id + "' does not deliver");
                    can = false;
                    continue;
                }
                const auto quantity =
                    quantity_of(*offer, use.measure, use.mass, use.must_be_delivered);
                if (!quantity) {
                    reasons.insert("no measure in " + model_.offers[*offer].terms->price_unit +
                                   " is stated for '" + use.offer + "'");
                    can = false;
                    continue;
                }
                if (use.count > max_count) {
                    reasons.insert(too_many(use.offer, use.count));
                    can = false;
                    continue;
                }
                way.uses.push_back({*offer, *quantity, use.count, &use});
            }
            for (const contract::DealerCuts& cuts : plan.dealer_cuts) {
                if (cuts.cuts <= 0) continue;
                const auto supplier = supplier_index_.find(cuts.supplier);
                if (supplier == supplier_index_.end()) {
                    const auto why = left_out_.find(cuts.supplier);
                    reasons.insert(why != left_out_.end()
                                       ? why->second
                                       : "'" + cuts.supplier + "' that is to cut does not exist");
                    can = false;
                    continue;
                }
                if (cuts.cuts > max_count) {
                    reasons.insert(too_many("cuts of " + cuts.supplier, cuts.cuts));
                    can = false;
                    continue;
                }
                way.cuts.push_back({supplier->second, cuts.cuts});
            }
            if (!can) continue;
            if (!within_stock(way)) {
                reasons.insert("stock does not suffice");
                continue;
            }
            finish_way(way);
            demand.ways.push_back(std::move(way));
        }
    }

    struct Fill {
        std::size_t offer;
        std::size_t quantity;
        Content content;
    };

    void add_pack_counts(Demand& demand, const std::vector<Fill>& fills, std::int64_t need,
                         std::set<std::string>& reasons) {
        std::vector<Content> contents;
        for (const Fill& fill : fills) contents.push_back(fill.content);
        bool complete = true;
        for (const auto& counts : minimal_pack_counts(contents, need, max_choices, complete)) {
            Way way;
            for (std::size_t i = 0; i < fills.size(); ++i)
                if (counts[i] > 0)
                    way.uses.push_back({fills[i].offer, fills[i].quantity, counts[i]});
            const auto most =
                std::max_element(way.uses.begin(), way.uses.end(),
                                 [](const Use& a, const Use& b) { return a.count < b.count; });
            if (most != way.uses.end() && most->count > max_count) {
                reasons.insert(too_many(model_.offers[most->offer].terms->id, most->count));
                continue;
            }
            if (!within_stock(way)) continue;
            finish_way(way);
            demand.ways.push_back(std::move(way));
        }
        if (!complete) demand.all_ways = false;
    }

    void read_amount(Demand& demand, std::set<std::string>& reasons) {
        const contract::Amount& amount = *demand.terms->amount;
        const std::int64_t need = millionths(amount.quantity);
        if (need == 0) {
            demand.ways.push_back({}); // nothing is needed, so nothing is bought
            return;
        }
        std::vector<Fill> own;
        std::map<std::size_t, std::vector<Fill>> of_supplier;
        for (const contract::AmountOffer& entry : amount.offers) {
            const auto offer = usable(entry.offer, reasons);
            if (!offer) continue;
            const std::int64_t content = millionths(entry.content);
            if (content == 0) {
                reasons.insert("'" + entry.offer + "' holds nothing");
                continue;
            }
            const auto quantity = quantity_of(*offer, entry.measure, entry.mass, false);
            if (!quantity) {
                reasons.insert("no measure in " + model_.offers[*offer].terms->price_unit +
                               " is stated for '" + entry.offer + "'");
                continue;
            }
            const Fill fill{*offer, *quantity, {content, model_.offers[*offer].limit}};
            const std::size_t supplier = model_.offers[*offer].supplier;
            if (supplier == owned)
                own.push_back(fill);
            else
                of_supplier[supplier].push_back(fill);
        }
        const std::size_t told = reasons.size();
        if (!mix_) {
            if (of_supplier.empty()) add_pack_counts(demand, own, need, reasons);
            for (const auto& [supplier, fills] : of_supplier) {
                std::vector<Fill> all = own;
                all.insert(all.end(), fills.begin(), fills.end());
                add_pack_counts(demand, all, need, reasons);
            }
        }
        if (mix_ || demand.ways.empty()) {
            std::vector<Fill> all = own;
            for (const auto& [supplier, fills] : of_supplier)
                all.insert(all.end(), fills.begin(), fills.end());
            add_pack_counts(demand, all, need, reasons);
        }
        drop_repeated(demand);
        if (demand.ways.empty() && reasons.size() == told && (!own.empty() || !of_supplier.empty()))
            reasons.insert("stock does not suffice for " + format_trimmed(amount.quantity, 6) +
                           " " + amount.unit);
    }

    // Choices from owned stock alone are found once for each supplier.
    static void drop_repeated(Demand& demand) {
        std::set<std::vector<std::pair<std::size_t, std::int64_t>>> seen;
        std::vector<Way> kept;
        for (Way& way : demand.ways) {
            std::vector<std::pair<std::size_t, std::int64_t>> key;
            for (const Use& use : way.uses) key.emplace_back(use.offer, use.count);
            std::sort(key.begin(), key.end());
            if (seen.insert(std::move(key)).second) kept.push_back(std::move(way));
        }
        demand.ways = std::move(kept);
    }

    void keep_preferred(Demand& demand) const {
        const auto preferred = [&](const Way& way) {
            return std::all_of(way.suppliers.begin(), way.suppliers.end(),
                               [&](std::size_t s) { return model_.suppliers[s].preferred; });
        };
        if (std::any_of(demand.ways.begin(), demand.ways.end(),
                        [&](const Way& way) { return !way.suppliers.empty() && preferred(way); }))
            std::erase_if(demand.ways, [&](const Way& way) { return !preferred(way); });
    }

    void read_demand(const DemandTerms& terms) {
        Demand demand;
        demand.terms = &terms;
        std::set<std::string> reasons;
        if (terms.amount)
            read_amount(demand, reasons);
        else
            read_ways(demand, reasons);
        keep_preferred(demand);
        if (!demand.ways.empty()) {
            model_.demands.push_back(std::move(demand));
            return;
        }
        std::string reason;
        std::size_t named = 0;
        for (const std::string& one : reasons) {
            if (++named > 3) break;
            reason += (reason.empty() ? "" : ", ") + one;
        }
        if (reason.empty()) reason = "no supplier offers it";
        model_.unmet.push_back({terms.id, reason});
    }

    const ProcureProblem& problem_;
    bool mix_;
    Model model_;
    std::set<std::string> known_suppliers_;
    std::map<std::string, std::size_t> supplier_index_;
    std::map<std::string, std::string> left_out_;                  // supplier -> why
    std::map<std::string, std::vector<std::string>> without_rate_; // currency -> suppliers
    std::map<std::string, std::size_t> offer_index_;
    std::map<std::string, std::string> refused_; // offer -> why
};

} // namespace

Model build_model(const ProcureProblem& problem, bool mix) {
    return Builder(problem, mix).build();
}

Date arrival(const Model& model, const Way& way) {
    Date latest = model.problem->order_date;
    for (const Use& use : way.uses) latest = std::max(latest, model.offers[use.offer].arrives);
    return latest;
}

} // namespace aumbry::procurement
